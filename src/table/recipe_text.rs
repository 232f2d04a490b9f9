//! The text of a recipe under change: what a person wrote in it stays as it is.

use std::ops::Range;

use toml::de::DeTable;

use crate::recipe::{
    Recipe, RecipeFault, StepForm, StepPlace, fitted, step_in_braces, step_written, string_written,
};
use crate::recut::Step;

/// A recipe without steps, for a pattern.
#[must_use]
pub fn begun(pattern: &str) -> String {
    format!(
        "# Made at the cutting table.\n#\n#   retrue apply recipe.toml -o recut.svg\n#\n# Cutting is final: sew a trial \
         garment in cheap cloth before you cut the good one.\n\npattern = {}\n\nstep = []\n",
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
        let written = step.place.fields.iter().find(|(name, _)| name == fitted::FIELD);
        if let (Some(folder), Some((_, span))) = (folder, written)
            && let Some(name) = string_read(&text[span.clone()])
        {
            text.replace_range(span.clone(), &string_written(&format!("{folder}{name}")));
        }
    }
    Ok(text)
}

/// The text of a recipe with one more step at its end.
pub(super) fn with_step(text: &str, step: &Step) -> String {
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
            format!("{before},\n    {}{behind}", step_in_braces(step))
        }
        Some(_) => with_step_behind(text, step),
    }
}

fn with_step_behind(text: &str, step: &Step) -> String {
    format!("{}\n\n{}", text.trim_end(), step_written(step))
}

/// The text with a step left out, and why where it was not wished.
pub(super) fn left_out(text: &str, place: &StepPlace, why: Option<&str>) -> String {
    const LEFT_OUT: &str = "off = true";
    let reason = why.map_or_else(String::new, |why| format!("   # {}", why.replace(['\n', '\r'], " ")));
    match (&place.off, place.form) {
        (Some(off), StepForm::Braces) => replaced(text, off, LEFT_OUT),
        (Some(off), StepForm::Lines) => replaced(text, off, &format!("{LEFT_OUT}{reason}")),
        (None, StepForm::Braces) => {
            replaced(text, &(place.span.end..place.span.end), &format!(", {LEFT_OUT}"))
        }
        (None, StepForm::Lines) => {
            // What stands behind the operation on its line stays there.
            let end = text[place.span.end..].find('\n').map_or(text.len(), |at| place.span.end + at);
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
            let begin = text[..off.start].rfind('\n').map_or(0, |at| at + 1);
            let end = text[off.end..].find('\n').map_or(text.len(), |at| off.end + at + 1);
            replaced(text, &(begin..end), "")
        }
    }
}

/// Why a step was left out: the comment behind the words that leave it out.
pub(super) fn reason<'a>(text: &'a str, place: &StepPlace) -> Option<&'a str> {
    let line = text[place.off.as_ref()?.end..].lines().next()?;
    line.trim_start().strip_prefix('#').map(str::trim)
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
    use crate::recipe::Turn;

    fn unfold() -> Step {
        Step::from_value(&serde_json::json!({ "do": "unfold", "piece": "back" })).unwrap()
    }

    fn turns(text: &str) -> Vec<Turn> {
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
        assert_eq!(turns(&out), [Turn::Off, Turn::On]);
        assert!(out.contains("do = \"add-band\" # deep\n") && out.contains("# too deep"), "{out}");
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
                assert_eq!(turns(&now), [Turn::On], "{text}");
                now = left_out(&now, &place(&now, 0), why);
                assert_eq!(turns(&now), [Turn::Off], "{text}");
                now = left_out(&now, &place(&now, 0), why);
                assert_eq!(turns(&now), [Turn::Off], "{text}");
            }
            let more = with_step(&now, &unfold());
            assert_eq!(turns(&more), [Turn::Off, Turn::On], "{text}");
            for own in ["# mine", "# end", "# one"] {
                assert_eq!(text.contains(own), more.contains(own), "{text}");
            }
        }
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
