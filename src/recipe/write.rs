//! Writes a step as it stands in a recipe.

use serde_json::Value;

use crate::recut::Step;

/// A step as it stands in a recipe, its fields in the order of its operation.
#[must_use]
pub fn step_written(step: &Step) -> String {
    value_as_step(&step.to_value())
}

/// A step that is given as data, as it stands in a recipe.
#[must_use]
pub fn value_as_step(step: &Value) -> String {
    let lines = fields_written(step).map(|field| format!("{field}\n"));
    format!("[[step]]\n{}", lines.collect::<String>())
}

/// The same in braces, as it stands in a list of steps.
#[must_use]
pub fn value_in_braces(step: &Value) -> String {
    format!("{{ {} }}", fields_written(step).collect::<Vec<_>>().join(", "))
}

/// What a step does and its fields, each as it stands in a recipe.
fn fields_written(step: &Value) -> impl Iterator<Item = String> {
    let fields = step.as_object().cloned().unwrap_or_default();
    let (named, fields): (Vec<_>, Vec<_>) = fields.into_iter().partition(|(name, _)| name == "do");
    named.into_iter().chain(fields).map(|(name, value)| field_written(&name, &value))
}

/// A field as it stands in a recipe.
#[must_use]
pub fn field_written(name: &str, value: &Value) -> String {
    format!("{name} = {}", value_written(value))
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
