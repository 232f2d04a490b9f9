//! The tables of a cloth file: a cloth, its flaws, its stripes.

use toml::de::DeValue;

use crate::cloth::file::beside::FilesBeside;
use crate::cloth::file::colours::{self, COLOURS, PICTURES};
use crate::cloth::{
    Bolt, Cloth, ClothError, Crosswise, Direction, Flaw, Panel, Selvedges, Stripes, StripesAlong, Width,
};
use crate::pattern::ClothName;
use crate::toml_file::{self, TableFields, TextFault, Value};
use crate::units::Length;

/// The words for which edges are finished.
pub const SELVEDGES: [(&str, Selvedges); 4] = [
    ("both", Selvedges::Both),
    ("left", Selvedges::Left),
    ("right", Selvedges::Right),
    ("none", Selvedges::None),
];

/// The words for whether the cloth has an up and a down.
pub const DIRECTIONS: [(&str, Direction); 2] =
    [("one-way", Direction::OneWay), ("two-way", Direction::TwoWay)];

/// The key under which panels stand.
pub(super) const PANELS: &str = "panels";

/// The keys of a cloth that are changed by hand.
pub(super) const WIDTH_KEY: &str = "width";
pub(super) const LENGTH_KEY: &str = "length";
pub(super) const FLAWS_KEY: &str = "flaws";
pub(super) const STRIPES_KEY: &str = "stripes";

/// What a cloth may say of itself.
pub(super) const CLOTH_KEYS: [&str; 10] = [
    WIDTH_KEY,
    LENGTH_KEY,
    "selvedges",
    "direction",
    "crosswise",
    "gap",
    FLAWS_KEY,
    STRIPES_KEY,
    COLOURS,
    PICTURES,
];

const FLAWS: &str = "[{ at = [\"10cm\", \"2.3m\"], size = [\"4cm\", \"2cm\"] }]";
const STRIPES: &str = "{ repeat = \"64mm\", first = \"0mm\", along = \"width\" }";
const WIDTHS: &str =
    "\"37cm\", or as measured along the length: [[\"0m\", \"37.2cm\"], [\"4m\", \"36.6cm\"]]";
const LENGTHS: &str = "\"11.4m\", or several: [\"2.1m\", \"1.8m\"]";

/// A fault of what a value means.
fn meant(value: &Value<'_>, key: &str) -> impl Fn(ClothError) -> TextFault {
    let (span, key) = (value.span(), key.to_owned());
    move |error| {
        TextFault::new(span.clone(), format!("`{key}` is not right"), error, "look at it again on the cloth")
    }
}

/// Reads a cloth; its panels have been read before.
pub(super) fn cloth(
    name: ClothName,
    fields: &TableFields<'_>,
    panels: Vec<Panel>,
    beside: &mut dyn FilesBeside,
) -> Result<Cloth, TextFault> {
    let lengths = if panels.is_empty() { Lengths::Needed } else { Lengths::MayBeMissing };
    let mut bolts = bolts(fields, lengths)?;
    if let Some(value) = fields.get("flaws") {
        for flaw in toml_file::list(value, "`flaws`", FLAWS)? {
            add_flaw(flaw, &mut bolts)?;
        }
    }
    one_pattern(fields)?;
    colours::add(fields, &mut bolts, beside)?;
    let no_cloth = |error| {
        TextFault::new(
            fields.span.clone(),
            format!("{} is no cloth", fields.name),
            error,
            "give it a width and a length",
        )
    };
    let mut cloth = Cloth::new(name, bolts, panels).map_err(no_cloth)?;
    if let Some(value) = fields.get("selvedges") {
        cloth.selvedges = toml_file::word(value, "selvedges", &SELVEDGES)?;
    }
    if let Some(value) = fields.get("direction") {
        cloth.direction = toml_file::word(value, "direction", &DIRECTIONS)?;
    }
    if let Some(value) = fields.get("crosswise") {
        let crosswise = value.get_ref().as_bool();
        let crosswise = crosswise
            .ok_or_else(|| toml_file::wrong(value, "`crosswise`", "true or false, without quotes"))?;
        cloth.crosswise = if crosswise { Crosswise::Allowed } else { Crosswise::Forbidden };
    }
    if let Some(value) = fields.get("gap") {
        cloth.set_gap(toml_file::length(value, "`gap`")?).map_err(meant(value, "gap"))?;
    }
    if let Some(value) = fields.get("stripes") {
        let sets = match value.get_ref() {
            DeValue::Array(_) => toml_file::list(value, "`stripes`", STRIPES)?,
            _ => std::slice::from_ref(value),
        };
        for set in sets {
            cloth.add_stripes(stripes(set, &cloth)?).map_err(meant(set, "stripes"))?;
        }
    }
    Ok(cloth)
}

/// Refuses a cloth whose pattern is told in two ways.
fn one_pattern(fields: &TableFields<'_>) -> Result<(), TextFault> {
    let told = ["stripes", COLOURS, PICTURES].map(|key| (key, fields.get(key)));
    let mut told = told.into_iter().filter_map(|(key, value)| Some((key, value?)));
    match (told.next(), told.next()) {
        (Some((first, _)), Some((second, value))) => Err(TextFault::new(
            value.span(),
            format!("{} has `{first}` or `{second}`, not both", fields.name),
            "one too many",
            "leave one of the two out",
        )),
        _ => Ok(()),
    }
}

/// Whether a cloth must have lengths. One that is there in panels only has neither width nor length.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lengths {
    Needed,
    MayBeMissing,
}

/// The lengths of a cloth.
fn bolts(fields: &TableFields<'_>, lengths: Lengths) -> Result<Vec<Bolt>, TextFault> {
    if lengths == Lengths::MayBeMissing && fields.get("width").is_none() && fields.get("length").is_none() {
        return Ok(Vec::new());
    }
    let (wide, long) = (fields.need("width", "\"37cm\"")?, fields.need("length", "\"11.4m\"")?);
    let width = width(wide)?;
    let lengths = match long.get_ref() {
        DeValue::Array(lengths) if lengths.is_empty() => {
            return Err(toml_file::wrong(long, "`length`", LENGTHS));
        }
        DeValue::Array(_) => toml_file::list(long, "`length`", LENGTHS)?,
        DeValue::String(_) => std::slice::from_ref(long),
        _ => return Err(toml_file::wrong(long, "`length`", LENGTHS)),
    };
    let bolt = |value: &Value<'_>| {
        Bolt::new(width.clone(), toml_file::length(value, "`length`")?).map_err(meant(value, "length"))
    };
    lengths.iter().map(bolt).collect()
}

fn width(value: &Value<'_>) -> Result<Width, TextFault> {
    match value.get_ref() {
        DeValue::String(_) => {
            Width::even(toml_file::length(value, "`width`")?).map_err(meant(value, "width"))
        }
        DeValue::Array(_) => {
            let pairs = toml_file::list(value, "`width`", WIDTHS)?
                .iter()
                .map(|pair| toml_file::pair(pair, "`width`", WIDTHS));
            let pairs = pairs.collect::<Result<Vec<(Length, Length)>, _>>()?;
            Width::measured(pairs).map_err(meant(value, "width"))
        }
        _ => Err(toml_file::wrong(value, "`width`", WIDTHS)),
    }
}

fn add_flaw(value: &Value<'_>, bolts: &mut [Bolt]) -> Result<(), TextFault> {
    let table = toml_file::table(value, "a flaw", FLAWS)?;
    let flaw = TableFields::of("a flaw".to_owned(), value.span(), table, &["at", "size", "on"])?;
    let example = "[\"10cm\", \"2.3m\"]: across, along";
    let pair = |key: &str| toml_file::pair(flaw.need(key, example)?, &format!("`{key}`"), example);
    let found = Flaw::new(pair("at")?, pair("size")?).map_err(meant(value, "flaws"))?;
    match bolts.get_mut(colours::which_length(&flaw, bolts.len())?) {
        Some(bolt) => bolt.add_flaw(found).map_err(meant(value, "flaws")),
        None => {
            let what = "the flaw lies on no length of the cloth";
            Err(TextFault::new(value.span(), what, "panels only", "draw the panel's outline around it"))
        }
    }
}

fn stripes(value: &Value<'_>, cloth: &Cloth) -> Result<Stripes, TextFault> {
    let table = toml_file::table(value, "`stripes`", STRIPES)?;
    let fields =
        TableFields::of("stripes".to_owned(), value.span(), table, &["repeat", "first", "along", "marks"])?;
    let words = StripesAlong::ALL.map(|along| (along.word(), along));
    let along = match fields.get("along") {
        Some(value) => toml_file::word(value, "along", &words)?,
        None => StripesAlong::default(),
    };
    let Some(marked) = fields.get("marks") else {
        let repeat = toml_file::length(fields.need("repeat", "\"64mm\"")?, "`repeat`")?;
        let first = fields.get("first").map(|value| toml_file::length(value, "`first`")).transpose()?;
        return Stripes::every(along, repeat, first.unwrap_or_default()).map_err(meant(value, "stripes"));
    };
    if let Some(value) = fields.get("first") {
        let what = "stripes have `marks` or `first`, not both";
        return Err(TextFault::new(value.span(), what, "one too many", "leave one of the two out"));
    }
    let marks = toml_file::list(marked, "`marks`", MARKS)?;
    let marks = marks.iter().map(mark).collect::<Result<Vec<_>, _>>()?;
    let stripes = match fields.get("repeat") {
        Some(repeat) => {
            let repeat = toml_file::length(repeat, "`repeat`")?;
            Stripes::marked_again(along, repeat, &marks, reach(cloth, along))
        }
        None => Stripes::marked(along, marks),
    };
    stripes.map_err(meant(marked, "marks"))
}

/// As far as stripes of a way may come again on a cloth, mm: over the longest of its lengths and panels, or the widest.
fn reach(cloth: &Cloth, along: StripesAlong) -> f64 {
    let bolts = cloth.bolts().iter().map(|bolt| match along {
        StripesAlong::Width => bolt.length(),
        StripesAlong::Length => bolt.width().greatest(0.0, bolt.length()),
    });
    let panels = cloth.panels().iter().map(|panel| {
        let bounds = panel.outline().bounds();
        match along {
            StripesAlong::Width => bounds.height(),
            StripesAlong::Length => bounds.width(),
        }
    });
    bolts.chain(panels).fold(0.0, f64::max)
}

const MARKS: &str =
    "[\"40cm\", \"1.3m\"], or with words: [[\"40cm\", \"teal\"], [\"1.3m\", \"rust\"], [\"2m\", \"teal\"]]";

/// A mark, and its word where it has one.
fn mark(value: &Value<'_>) -> Result<(Length, Option<String>), TextFault> {
    let DeValue::Array(_) = value.get_ref() else { return Ok((toml_file::length(value, "`marks`")?, None)) };
    match toml_file::list(value, "`marks`", MARKS)? {
        [at, word] => {
            let word = toml_file::text(word, "marks", MARKS)?;
            Ok((toml_file::length(at, "`marks`")?, Some(word.to_owned())))
        }
        _ => Err(TextFault::new(
            value.span(),
            "a mark is a place, or a place and a word",
            "neither",
            format!("write them as {MARKS}"),
        )),
    }
}
