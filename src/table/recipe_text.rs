//! The text of a recipe under change: what a person wrote in it stays as it is.

use std::ops::Range;

use serde_json::Value;
use toml::de::DeTable;

use crate::recipe::{
    FieldPlace, Recipe, RecipeFault, StepForm, StepPlace, field_written, fitted, string_written,
    value_as_step, value_in_braces,
};

/// A recipe without steps, for a pattern.
#[must_use]
pub fn begun(pattern: &str) -> String {
    format!(
        "# Made at the cutting table.\n#\n#   retrue apply recipe.toml -o recut.svg\n#\n# Cutting is final: sew a trial \
         garment in cheap cloth before the good one is cut.\n\npattern = {}\n\nstep = []\n",
        string_written(pattern)
    )
}

/// The text of a recipe with another pattern named in it.
///
/// # Errors
///
/// It is no recipe.
pub fn with_pattern(text: &str, pattern: &str) -> Result<String, RecipeFault> {
    Recipe::read(text, &[])?;
    let span = DeTable::parse(text).ok().and_then(|table| Some(table.get_ref().get("pattern")?.span()));
    Ok(match span {
        Some(span) => format!("{}{}{}", &text[..span.start], string_written(pattern), &text[span.end..]),
        None => format!("pattern = {}\n\n{text}", string_written(pattern)),
    })
}

/// The text of a recipe with the cloths that its steps name named otherwise, each by what is given for it; those for which
/// nothing is given stay as they are.
///
/// # Errors
///
/// It is no recipe.
pub fn with_cloths(text: &str, folder_of: impl Fn(&str) -> Option<String>) -> Result<String, RecipeFault> {
    let recipe = Recipe::read(text, &[])?;
    let mut text = text.to_owned();
    for step in recipe.steps.iter().rev() {
        let folder = step.fit.as_deref().and_then(&folder_of);
        let written = step.place.fields.iter().find(|field| field.name == fitted::FIELD);
        if let (Some(folder), Some(FieldPlace { value: span, .. })) = (folder, written)
            && let Some(name) = string_read(&text[span.clone()])
        {
            text.replace_range(span.clone(), &string_written(&format!("{folder}{name}")));
        }
    }
    Ok(text)
}

/// The text of a recipe with one more step at its end.
pub(super) fn with_step(text: &str, step: &Value) -> String {
    let table = DeTable::parse(text).ok();
    let listed = table.as_ref().and_then(|table| table.get_ref().get_key_value("step"));
    let Some((key, list)) = listed else { return with_step_behind(text, step) };
    let steps = list.get_ref().as_array();
    match steps.and_then(|steps| steps.iter().next_back()) {
        // Behind `step = []` no step may follow.
        None => {
            let (before, behind) = (&text[..key.span().start], &text[list.span().end..]);
            with_step_behind(&format!("{}{behind}", before.trim_end()), step)
        }
        Some(last) if text[last.span()].starts_with('{') => {
            let (before, behind) = text.split_at(last.span().end);
            format!("{before},\n    {}{behind}", value_in_braces(step))
        }
        Some(_) => with_step_behind(text, step),
    }
}

fn with_step_behind(text: &str, step: &Value) -> String {
    format!("{}\n\n{}", text.trim_end(), value_as_step(step))
}

/// The text with a step inserted before another; what a person wrote above that one stays above it.
pub(super) fn with_step_before(text: &str, place: &StepPlace, step: &Value) -> String {
    match place.form {
        StepForm::Braces => {
            replaced(text, &(place.begin..place.begin), &format!("{},\n    ", value_in_braces(step)))
        }
        StepForm::Lines => {
            let heading = line_begin(text, place.begin);
            let above = text[..heading].split_inclusive('\n').rev();
            let remarks: usize = above.take_while(|line| line.starts_with('#')).map(str::len).sum();
            let at = heading - remarks;
            replaced(text, &(at..at), &format!("{}\n", value_as_step(step)))
        }
    }
}

/// The text with other fields in a step: those that stay the same stay as they are written. A cloth and the width that it
/// gives stand in place of each other.
pub(super) fn with_fields(text: &str, place: &StepPlace, was: &Value, now: &Value) -> String {
    let fields = |step: &Value| step.as_object().cloned().unwrap_or_default();
    let (was, now) = (fields(was), fields(now));
    let width = was.get("do").and_then(|name| fitted::width_field(name.as_str()?));
    let written = |name: &str| place.fields.iter().find(|field| field.name == name);
    let other = |name: &str| match width {
        Some(width) if name == width => Some(fitted::FIELD),
        Some(width) if name == fitted::FIELD => Some(width),
        _ => None,
    };
    // What takes the place of another is written where that stood.
    let stood = |name: &str| other(name).filter(|other| !now.contains_key(*other)).and_then(written);
    let is_taken = |name: &str| other(name).is_some_and(|other| now.contains_key(other));
    let mut edits: Vec<(Range<usize>, String)> = Vec::new();
    for name in was.keys().filter(|name| !now.contains_key(*name) && !is_taken(name)) {
        edits.extend(written(name).map(|field| (taken_out(text, place.form, field), String::new())));
    }
    for (name, value) in now.iter().filter(|(name, value)| was.get(*name) != Some(value)) {
        let field = field_written(name, value);
        edits.push(match (written(name).or_else(|| stood(name)), place.form) {
            (Some(at), _) => (at.key.start..at.value.end, field),
            (None, StepForm::Braces) => (place.span.end..place.span.end, format!(", {field}")),
            (None, StepForm::Lines) => {
                let end = line_end(text, place.span.end);
                (end..end, format!("\n{field}"))
            }
        });
    }
    // Later places first, so that earlier ones stay where they are; what is taken out before what is put in at its beginning.
    edits.sort_by_key(|(span, _)| (span.start, span.end));
    edits.iter().rev().fold(text.to_owned(), |text, (span, by)| replaced(&text, span, by))
}

/// All that a field takes up: its line with what stands behind it there, or in braces with one comma.
fn taken_out(text: &str, form: StepForm, field: &FieldPlace) -> Range<usize> {
    let (begin, end) = (field.key.start, field.value.end);
    match form {
        StepForm::Lines => line_begin(text, begin)..text.len().min(line_end(text, end) + 1),
        StepForm::Braces => {
            let before = text[..begin].trim_end();
            match before.strip_suffix(',') {
                Some(before) => before.len()..end,
                None => {
                    let behind = text[end..].trim_start();
                    let comma = usize::from(behind.starts_with(','));
                    begin..text.len() - behind.len() + comma
                }
            }
        }
    }
}

fn line_begin(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |at| at + 1)
}

/// Where the line ends that a place stands on, before what ends it.
fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |end| at + end)
}

/// What stands before the reason for which the table left a step out, so that it is told from a remark of a person.
const CANNOT: &str = "cannot be done: ";

/// The text with a step left out, and why where it was not wished.
pub(super) fn left_out(text: &str, place: &StepPlace, why: Option<&str>) -> String {
    const LEFT_OUT: &str = "off = true";
    let reason =
        why.map_or_else(String::new, |why| format!("   # {CANNOT}{}", why.replace(['\n', '\r'], " ")));
    match (&place.off, place.form) {
        (Some(off), StepForm::Braces) => replaced(text, off, LEFT_OUT),
        (Some(off), StepForm::Lines) => replaced(text, off, &format!("{LEFT_OUT}{reason}")),
        (None, StepForm::Braces) => {
            replaced(text, &(place.span.end..place.span.end), &format!(", {LEFT_OUT}"))
        }
        (None, StepForm::Lines) => {
            // What stands behind the operation on its line stays there.
            let end = line_end(text, place.span.end);
            replaced(text, &(end..end), &format!("\n{LEFT_OUT}{reason}"))
        }
    }
}

/// The text with a step that was left out put back; with its line the reason goes that stood there.
pub(super) fn put_back(text: &str, place: &StepPlace) -> String {
    let Some(off) = &place.off else { return text.to_owned() };
    match place.form {
        StepForm::Braces => replaced(text, off, "off = false"),
        StepForm::Lines => {
            let end = text.len().min(line_end(text, off.end) + 1);
            replaced(text, &(line_begin(text, off.start)..end), "")
        }
    }
}

/// The comment behind the words that leave a step out.
fn beside_off<'a>(text: &'a str, place: &StepPlace) -> Option<&'a str> {
    let line = text[place.off.as_ref()?.end..].lines().next()?;
    line.trim_start().strip_prefix('#').map(str::trim)
}

/// Why a step was left out, as a person or the table wrote it.
pub(super) fn reason<'a>(text: &'a str, place: &StepPlace) -> Option<&'a str> {
    beside_off(text, place).map(|said| said.strip_prefix(CANNOT).unwrap_or(said))
}

/// Whether a step was left out because it could not be done, and not by a person.
pub(super) fn could_not_be_done(text: &str, place: &StepPlace) -> bool {
    beside_off(text, place).is_some_and(|said| said.starts_with(CANNOT))
}

fn replaced(text: &str, span: &Range<usize>, by: &str) -> String {
    format!("{}{by}{}", &text[..span.start], &text[span.end..])
}

/// What a text of a recipe says, from how it is written.
fn string_read(written: &str) -> Option<String> {
    let table: toml::Table = toml::from_str(&format!("text = {written}")).ok()?;
    table.get("text")?.as_str().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::OnOrOff;
    use crate::recipe::fitted::value_with_cloth;
    use crate::recut::Step;

    fn unfold() -> Value {
        serde_json::json!({ "do": "unfold", "piece": "back" })
    }

    fn turns(text: &str) -> Vec<OnOrOff> {
        let recipe = Recipe::read(text, &[]).unwrap_or_else(|fault| panic!("{fault:?}\n{text}"));
        recipe.steps.iter().map(|step| step.turn).collect()
    }

    fn place(text: &str, number: usize) -> StepPlace {
        Recipe::read(text, &[]).unwrap().steps[number].place.clone()
    }

    #[test]
    fn a_step_is_added_left_out_and_put_back_beside_what_a_person_wrote() {
        let written = "# mine\npattern = \"a.svg\" # his\n\n[with]\nw = \"1cm\"\n\n[[step]]\ndo = \"add-band\" # deep\npiece = \"front\"\nedge = \"hem\"\ndepth = \"{w}\"\n";
        let text = with_step(written, &unfold());
        assert!(text.starts_with(written.trim_end()));
        let out = left_out(&text, &place(&text, 0), Some("too\ndeep"));
        assert_eq!(turns(&out), [OnOrOff::Off, OnOrOff::On]);
        assert!(
            out.contains("do = \"add-band\" # deep\n") && out.contains("# cannot be done: too deep"),
            "{out}"
        );
        assert!(could_not_be_done(&out, &place(&out, 0)));
        let own = out.replace("cannot be done: too deep", "too deep for me");
        assert!(!could_not_be_done(&own, &place(&own, 0)), "a person wrote that");
        assert_eq!([0, 1].map(|number| reason(&out, &place(&out, number))), [Some("too deep"), None]);
        assert_eq!(put_back(&out, &place(&out, 0)), text, "and nothing else has changed");
    }

    /// Wherever in its step a person wrote it, however the steps are written, also where it says that the step is done.
    #[test]
    fn a_step_is_left_out_and_put_back_however_that_is_written() {
        let texts = [
            "[[step]]\noff = true\ndo = \"unfold\"\npiece = \"back\"\n",
            "[[step]]\n\"off\"=true # not now\n# mine\ndo = \"unfold\"\npiece = \"back\"",
            "[[step]]\r\ndo = \"unfold\"\r\npiece = \"back\"\r\noff = true\r\n\r\n# end",
            "[[step]]\ndo = \"unfold\"\npiece = \"back\"\noff = false\n",
            "[[step]]\noff = false # done\ndo = \"unfold\"\npiece = \"back\"\n",
            "step = [{ off = true, do = \"unfold\", piece = \"back\" }]\n",
            "step = [\n  { do = \"unfold\", piece = \"back\", off = false }, # one\n]\n",
            "step = [{ do = \"unfold\", piece = \"back\" }]\n",
        ];
        for text in texts {
            let mut now = text.to_owned();
            for why in [None, Some("it's # [no] \"use\"")] {
                now = put_back(&now, &place(&now, 0));
                assert_eq!(turns(&now), [OnOrOff::On], "{text}");
                now = left_out(&now, &place(&now, 0), why);
                assert_eq!(turns(&now), [OnOrOff::Off], "{text}");
                now = left_out(&now, &place(&now, 0), why);
                assert_eq!(turns(&now), [OnOrOff::Off], "{text}");
            }
            let more = with_step(&now, &unfold());
            assert_eq!(turns(&more), [OnOrOff::Off, OnOrOff::On], "{text}");
            for own in ["# mine", "# end", "# one"] {
                assert_eq!(text.contains(own), more.contains(own), "{text}");
            }
        }
    }

    fn steps(text: &str) -> Vec<Value> {
        let recipe = Recipe::read(text, &[]).unwrap_or_else(|fault| panic!("{fault:?}\n{text}"));
        recipe.steps.into_iter().map(|step| value_with_cloth(&step.step, step.fit.as_deref())).collect()
    }

    fn moved(fields: Value) -> Value {
        let mut all = serde_json::json!({ "do": "move-seam", "seam": "front.side", "from": "back" });
        let fields = fields.as_object().unwrap().clone();
        all.as_object_mut().unwrap().extend(fields);
        // A length is compared as it is written in millimetres.
        Step::from_value(&all).map_or(all, |step| step.to_value())
    }

    /// However it is written, the step is then the one that is wished, and what a person wrote beside it is there.
    #[test]
    fn fields_are_changed_added_and_taken_out_however_a_step_is_written() {
        let texts = [
            "[[step]]\ndo = \"move-seam\" # why\nseam = \"front.side\" # here\nfrom = \"back\"\nby = \"4mm\"\n\n# end\n",
            "[[step]]\nby = '4mm'\n\"line\"=\"seam\"\nseam = \"front.side\"\nfrom = \"back\"\ndo = \"move-seam\"",
            "step = [{ do = \"move-seam\", by = \"4mm\", seam = \"front.side\", from = \"back\" }] # end\n",
            "step = [\n  { by = \"4mm\", line = \"seam\", seam = \"front.side\", from = \"back\", do = \"move-seam\" }, # one\n]\n",
        ];
        let wishes = [
            serde_json::json!({ "by": "6mm" }),
            serde_json::json!({ "to-width": "18cm", "line": "grain", "shaping": "dart" }),
            serde_json::json!({ "by": "4mm", "longer": "hem", "match-at": "front.hem", "lap": "1cm" }),
        ];
        for text in texts {
            for wish in &wishes {
                let (was, now) = (steps(text).remove(0), moved(wish.clone()));
                let changed = with_fields(text, &place(text, 0), &was, &now);
                assert_eq!(steps(&changed), [now], "{text}\n{changed}");
                for own in ["# why", "# here", "# end", "# one"] {
                    assert_eq!(text.contains(own), changed.contains(own), "{changed}");
                }
            }
        }
    }

    #[test]
    fn a_cloth_and_the_width_that_it_gives_take_each_others_place() {
        let lines = "[[step]]\ndo = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\nfit-cloth = \"37cm x 9m\" # silk\n";
        let braces = "step = [{ fit-cloth = \"37cm x 9m\", do = \"move-seam\", seam = \"front.side\", from = \"back\" }] # silk\n";
        for text in [lines, braces] {
            let was = moved(serde_json::json!({ "fit-cloth": "37cm x 9m" }));
            assert_eq!(steps(text), std::slice::from_ref(&was));
            let wishes = [
                serde_json::json!({ "fit-cloth": "37cm x 9m", "shaping": "dart" }),
                serde_json::json!({ "fit-cloth": "41cm x 9m" }),
                serde_json::json!({ "to-width": "170mm" }),
                serde_json::json!({ "by": "5mm" }),
            ];
            for wish in wishes {
                let now = moved(wish);
                let changed = with_fields(text, &place(text, 0), &was, &now);
                assert_eq!(steps(&changed), std::slice::from_ref(&now), "{changed}");
                let is_kept = now.get("by").is_none() || text.starts_with("step");
                assert_eq!(changed.contains("# silk"), is_kept, "{changed}");
                let back = with_fields(&changed, &place(&changed, 0), &now, &was);
                assert_eq!(steps(&back), std::slice::from_ref(&was), "{back}");
            }
        }
    }

    #[test]
    fn a_step_is_inserted_above_what_is_said_of_the_next() {
        let lines = "# all\n\n[[step]]\ndo = \"fold\"\npiece = \"front\"\n\n# of the second\n# more of it\n[[step]]\ndo = \"fold\"\npiece = \"back\"\n";
        let braces = "step = [\n    { do = \"fold\", piece = \"front\" }, # one\n    { do = \"fold\", piece = \"back\" }\n]\n";
        for text in [lines, braces] {
            for number in [0, 1] {
                let more = with_step_before(text, &place(text, number), &unfold());
                assert_eq!(steps(&more).iter().position(|step| *step == unfold()), Some(number), "{more}");
                assert_eq!(steps(&more).len(), 3);
            }
        }
        let more = with_step_before(lines, &place(lines, 1), &unfold());
        assert!(more.contains("\n\n# of the second\n# more of it\n[[step]]\ndo = \"fold\""), "{more}");
        assert!(more.starts_with("# all\n\n[[step]]\ndo = \"fold\""), "{more}");
    }

    #[test]
    fn cloths_are_named_from_another_folder_and_sizes_stay() {
        let step =
            |cloth: &str| format!("[[step]]\ndo = \"limit-width\"\npiece = \"back\"\nfit-cloth = {cloth}\n");
        let text = ["\"silk.toml\"", "'{cloth}' # hers", "\"37cm x 3m\""].map(step).concat();
        let text = format!("[with]\ncloth = \"wool.toml\"\n\n{text}");
        let named = with_cloths(&text, |cloth| cloth.ends_with(".toml").then(|| "../mine \"1\"/".to_owned()));
        let recipe = Recipe::read(&named.unwrap(), &[]).unwrap();
        let fits: Vec<_> = recipe.steps.iter().filter_map(|step| step.fit.as_deref()).collect();
        assert_eq!(fits, ["../mine \"1\"/silk.toml", "../mine \"1\"/wool.toml", "37cm x 3m"]);
    }

    #[test]
    fn a_first_step_takes_the_place_of_the_empty_list() {
        let text = with_step(&begun("../coat.svg"), &unfold());
        let recipe = Recipe::read(&text, &[]).unwrap();
        assert_eq!((recipe.pattern.as_deref(), recipe.steps.len()), (Some("../coat.svg"), 1));
    }

    #[test]
    fn another_pattern_is_named_whether_or_not_one_was() {
        for text in ["pattern = \"a.svg\"\nstep = []\n", "step = []\n"] {
            let text = with_pattern(text, "b \"c\".svg").unwrap();
            assert_eq!(Recipe::read(&text, &[]).unwrap().pattern.as_deref(), Some("b \"c\".svg"));
        }
    }
}
