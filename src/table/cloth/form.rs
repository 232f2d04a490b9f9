//! What may be said of a cloth in fields, as its file has it.

use toml::Value;

use crate::cloth::StripesAlong;
use crate::cloth::file::{ClothEdit, DIRECTIONS, KeyValue, SELVEDGES, StripesSaid, YesOrNo};
use crate::pattern::ClothName;
use crate::table::cloth::listed::table;
use crate::table::field_sort::FieldSort;
use crate::table::form::{FormField, called};
use crate::table::said::Refused;
use crate::units::{Length, UnitError};

const YES: &str = "yes";
const NO: &str = "no";

/// What stands between how often stripes come and where the first lies.
const FROM: &str = "from";

/// What stands between the places of uneven stripes and how often they come again.
const EVERY: &str = "every";

/// A field of a cloth.
#[derive(Clone, Copy)]
enum ClothField {
    Width,
    Length,
    Selvedges,
    Direction,
    Crosswise,
    Gap,
    Stripes(StripesAlong),
}

/// The fields, each with its name and what it is for.
const FIELDS: [(&str, ClothField, &str); 8] = [
    ("width", ClothField::Width, "From selvedge to selvedge; or as measured along it: 0m 37.2cm, 4m 36.6cm"),
    ("length", ClothField::Length, "How long it is; several lengths of it between commas"),
    ("selvedges", ClothField::Selvedges, "Which edges are finished, and may be edges of the garment"),
    ("direction", ClothField::Direction, "One-way where it has a nap, or an up and a down"),
    ("crosswise", ClothField::Crosswise, "Whether pieces may lie with their grain across"),
    ("gap", ClothField::Gap, "How far apart pieces are cut at least"),
    (
        "stripes",
        ClothField::Stripes(StripesAlong::Width),
        "Stripes that run across: how often they come, and where the first lies: 64mm from 10mm. Uneven ones each where it \
         lies, with its colour: 0cm teal, 3cm white, 8cm teal every 20cm; or one by one to the end of the cloth",
    ),
    (
        "stripes-along",
        ClothField::Stripes(StripesAlong::Length),
        "Stripes that run along the length, from the left selvedge: 48mm from 0mm; or each where it lies, as above",
    ),
];

/// The fields of a cloth, with what its file says.
pub(super) fn fields(text: &str, cloth: &ClothName) -> Vec<FormField> {
    let table = table(text, cloth);
    let field = |(name, key, help): (&str, ClothField, &str)| {
        let words = key.words();
        FormField {
            name: name.to_owned(),
            called: called(name),
            help: help.to_owned(),
            needed: false,
            sort: if words.is_empty() { FieldSort::Text } else { FieldSort::Word },
            value: key.value(&table).unwrap_or_default(),
            now: String::new(),
            closed: !words.is_empty(),
            words,
        }
    };
    FIELDS.into_iter().map(field).collect()
}

/// What a field that is filled in changes; an empty one takes away what it says.
pub(super) fn edit(field: &str, value: &str) -> Result<ClothEdit, Refused> {
    let unknown = || Refused::plain(format!("there is no field `{field}`"), "load the page anew");
    let (name, key, _) = FIELDS.into_iter().find(|(name, ..)| *name == field).ok_or_else(unknown)?;
    let value = value.trim();
    if value.is_empty() {
        return Ok(match key {
            ClothField::Stripes(along) => ClothEdit::Stripes(along, None),
            _ => ClothEdit::Said(name, None),
        });
    }
    let listed = || value.split(',').map(str::trim).filter(|one| !one.is_empty());
    Ok(match key {
        ClothField::Stripes(along) => ClothEdit::Stripes(along, Some(stripes(value)?)),
        ClothField::Crosswise => {
            let truth = match value {
                YES => YesOrNo::Yes,
                NO => YesOrNo::No,
                _ => {
                    let what = format!("`{value}` is neither {YES} nor {NO}");
                    return Err(Refused::plain(what, format!("say {YES} or {NO}")));
                }
            };
            ClothEdit::Said(name, Some(KeyValue::Truth(truth)))
        }
        ClothField::Width if listed().count() > 1 || measured_at(value).is_some() => {
            let pairs = listed().map(measured_at).collect::<Option<Vec<_>>>().ok_or_else(|| {
                Refused::plain(
                    format!("`{value}` is no width"),
                    "say where, and how wide it is there: 0m 37.2cm, 4m 36.6cm",
                )
            })?;
            ClothEdit::Said(name, Some(KeyValue::Pairs(pairs)))
        }
        ClothField::Length if listed().count() > 1 => {
            ClothEdit::Said(name, Some(KeyValue::Texts(listed().map(str::to_owned).collect())))
        }
        ClothField::Width
        | ClothField::Length
        | ClothField::Selvedges
        | ClothField::Direction
        | ClothField::Gap => ClothEdit::Said(name, Some(KeyValue::Text(value.to_owned()))),
    })
}

/// Where a width was measured, and how wide it is there: two lengths, each of which may have a space within it.
fn measured_at(one: &str) -> Option<[String; 2]> {
    let is_length = |text: &str| text.parse::<Length>().is_ok();
    let mut spaces = one.match_indices(' ').map(|(at, _)| (one[..at].trim(), one[at..].trim()));
    let (at, width) = spaces.find(|(at, width)| is_length(at) && is_length(width))?;
    Some([at.to_owned(), width.to_owned()])
}

/// How often stripes come, and where the first lies; or where each of them lies.
fn stripes(value: &str) -> Result<StripesSaid, Refused> {
    let length = |text: &str| text.trim().parse::<Length>();
    let (places, again) = match value.rsplit_once(EVERY) {
        Some((places, again)) if length(again).is_ok() => (places, length(again).ok()),
        _ => (value, None),
    };
    if places.contains(',') {
        let wrong = |error: UnitError| {
            Refused::plain(
                error,
                "say where each lies, and its colour: 0cm teal, 3cm white, 8cm teal every 20cm",
            )
        };
        let marks = places.split(',').map(str::trim).filter(|one| !one.is_empty());
        let marks = marks.map(|one| match one.split_once(' ') {
            Some((at, word)) if length(one).is_err() => Ok((length(at)?, Some(word.trim().to_owned()))),
            _ => Ok((length(one)?, None)),
        });
        return Ok(StripesSaid::Marked(marks.collect::<Result<_, _>>().map_err(wrong)?, again));
    }
    let (repeat, first) = value.split_once(FROM).unwrap_or((value, "0mm"));
    let wrong = |error| Refused::plain(error, "say how often, and where the first lies: 64mm from 10mm");
    Ok(StripesSaid::Every(length(repeat).map_err(wrong)?, length(first).map_err(wrong)?))
}

/// Places of stripes as they are filled in.
fn marked(marks: &[Value]) -> Option<String> {
    let mark = |mark: &Value| match mark {
        Value::Array(pair) => {
            let words = pair.iter().map(Value::as_str).collect::<Option<Vec<_>>>()?;
            Some(words.join(" "))
        }
        _ => mark.as_str().map(str::to_owned),
    };
    let marks = marks.iter().map(mark).collect::<Option<Vec<_>>>()?;
    Some(marks.join(", "))
}

impl ClothField {
    fn words(self) -> Vec<String> {
        let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        match self {
            ClothField::Selvedges => words(&SELVEDGES.map(|(word, _)| word)),
            ClothField::Direction => words(&DIRECTIONS.map(|(word, _)| word)),
            ClothField::Crosswise => words(&[YES, NO]),
            ClothField::Width | ClothField::Length | ClothField::Gap | ClothField::Stripes(_) => Vec::new(),
        }
    }

    /// What the table of a cloth says of it, as it is filled in.
    fn value(self, table: &toml::Table) -> Option<String> {
        let text = |value: &Value| value.as_str().map(str::to_owned);
        let listed = |value: &Value, one: &dyn Fn(&Value) -> Option<String>| match value {
            Value::Array(values) => {
                values.iter().map(one).collect::<Option<Vec<_>>>().map(|all| all.join(", "))
            }
            _ => text(value),
        };
        match self {
            ClothField::Width => listed(table.get("width")?, &|pair| {
                let pair = pair.as_array()?.iter().map(text).collect::<Option<Vec<_>>>()?;
                Some(pair.join(" "))
            }),
            ClothField::Length => listed(table.get("length")?, &text),
            ClothField::Selvedges => text(table.get("selvedges")?),
            ClothField::Direction => text(table.get("direction")?),
            ClothField::Gap => text(table.get("gap")?),
            ClothField::Crosswise => {
                Some(if table.get("crosswise")?.as_bool()? { YES } else { NO }.to_owned())
            }
            ClothField::Stripes(along) => {
                let stripes = table.get("stripes")?;
                let sets = stripes.as_array().map_or(std::slice::from_ref(stripes), Vec::as_slice);
                let runs = |set: &&Value| {
                    let said = set.get("along").and_then(Value::as_str);
                    said.unwrap_or(StripesAlong::default().word()) == along.word()
                };
                let set = sets.iter().find(runs)?;
                if let Some(marks) = set.get("marks").and_then(Value::as_array) {
                    let again = set.get("repeat").and_then(Value::as_str);
                    let again = again.map_or_else(String::new, |repeat| format!(" {EVERY} {repeat}"));
                    return marked(marks).map(|marks| marks + &again);
                }
                let repeat = set.get("repeat")?.as_str()?;
                Some(match set.get("first").and_then(Value::as_str) {
                    Some(first) => format!("{repeat} {FROM} {first}"),
                    None => repeat.to_owned(),
                })
            }
        }
    }
}
