//! The recipe of an alternative, as `apply` reads it.

use serde_json::Value;

use crate::recut::Step;

/// The text of a recipe: a sentence on top, then the steps.
pub(super) fn text(sentence: &str, steps: &[Step]) -> String {
    let mut text = format!(
        "# {sentence}\n#\n#   retrue apply RECIPE PATTERN -o recut.svg\n#\n# Cutting is final: sew a trial garment in cheap \
         cloth before you cut the good one.\n"
    );
    if steps.is_empty() {
        text.push_str("\nstep = []\n");
    }
    for step in steps {
        text.push_str(&format!("\n[[step]]\ndo = \"{}\"\n", step.name()));
        let fields = step.to_value();
        for (name, value) in fields.as_object().into_iter().flatten().filter(|(name, _)| *name != "do") {
            text.push_str(&format!("{name} = {}\n", quoted(value)));
        }
    }
    text
}

fn quoted(value: &Value) -> String {
    match value {
        Value::String(text) => toml::Value::String(text.clone()).to_string(),
        other => other.to_string(),
    }
}
