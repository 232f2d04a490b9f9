//! Writes a step as it stands in a recipe.

use serde_json::Value;

use crate::recut::Step;

/// A step as it stands in a recipe, its fields in the order of its operation.
#[must_use]
pub fn step_written(step: &Step) -> String {
    let mut text = format!("[[step]]\ndo = \"{}\"\n", step.name());
    let fields = step.to_value();
    for (name, value) in fields.as_object().into_iter().flatten().filter(|(name, _)| *name != "do") {
        text.push_str(&format!("{name} = {}\n", value_written(value)));
    }
    text
}

/// A text as it stands in a recipe, in quotes.
#[must_use]
pub fn string_written(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn value_written(value: &Value) -> String {
    match value {
        Value::String(text) => string_written(text),
        other => other.to_string(),
    }
}
