//! The text of a recipe under change: what a person wrote in it stays as it is.

use crate::recipe::{Recipe, RecipeFault, StepPlace, step_written, string_written};
use crate::recut::Step;
use toml::de::DeTable;

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

/// The text of a recipe with one more step at its end.
pub(super) fn with_step(text: &str, step: &Step) -> String {
    let text = without_empty_list(text);
    format!("{}\n\n{}", text.trim_end(), step_written(step))
}

/// The text without `step = []`, behind which no step may follow.
fn without_empty_list(text: &str) -> String {
    let list = DeTable::parse(text).ok().and_then(|table| {
        let table = table.get_ref();
        let (key, value) = table.get_key_value("step")?;
        value.get_ref().as_array()?.is_empty().then(|| key.span().start..value.span().end)
    });
    match list {
        Some(list) => format!("{}{}", text[..list.start].trim_end(), &text[list.end..]),
        None => text.to_owned(),
    }
}

/// The text with a step left out, and why where it was not wished.
pub(super) fn left_out(text: &str, place: &StepPlace, why: Option<&str>) -> String {
    let why = why.map_or_else(String::new, |why| format!("   # {}", why.replace(['\n', '\r'], " ")));
    let (before, behind) = text.split_at(place.span.end);
    format!("{before}\noff = true{why}{behind}")
}

/// The text with a step that was left out put back; as it is where it does not say so on a line of its own.
pub(super) fn put_back(text: &str, place: &StepPlace) -> String {
    let begin = place.span.end;
    let end = text[begin..].find("[[step]]").map_or(text.len(), |at| begin + at);
    let mut at = begin;
    for line in text[begin..end].split_inclusive('\n') {
        let said: String = line.split('#').next().unwrap_or_default().split_whitespace().collect();
        if said == "off=true" {
            return format!("{}{}", &text[..at], &text[at + line.len()..]);
        }
        at += line.len();
    }
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::Turn;

    fn unfold() -> Step {
        Step::from_value(&serde_json::json!({ "do": "unfold", "piece": "back" })).unwrap()
    }

    #[test]
    fn a_step_is_added_left_out_and_put_back_beside_what_a_person_wrote() {
        let written = "# mine\npattern = \"a.svg\" # his\n\n[with]\nw = \"1cm\"\n\n[[step]]\ndo = \"add-band\" # deep\npiece = \"front\"\nedge = \"hem\"\ndepth = \"{w}\"\n";
        let text = with_step(written, &unfold());
        assert!(text.starts_with(written.trim_end()));
        let recipe = Recipe::read(&text, &[]).unwrap();
        let out = left_out(&text, &recipe.steps[0].place, Some("too deep"));
        let read = Recipe::read(&out, &[]).unwrap();
        assert_eq!(read.steps.iter().map(|step| step.turn).collect::<Vec<_>>(), [Turn::Off, Turn::On]);
        assert!(out.contains("# deep") && out.contains("# too deep"), "{out}");
        let back = Recipe::read(&put_back(&out, &read.steps[0].place), &[]).unwrap();
        assert_eq!(back.steps[0].turn, Turn::On);
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
