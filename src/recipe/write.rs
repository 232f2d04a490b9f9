//! Writes a step as it stands in a recipe.

use std::iter;

use serde_json::Value;

use crate::recut::Step;

/// A step as it stands in a recipe, its fields in the order of its operation.
#[must_use]
pub fn step_written(step: &Step) -> String {
    let lines = fields_written(step).map(|field| format!("{field}\n"));
    format!("[[step]]\n{}", lines.collect::<String>())
}

/// The same in braces, as it stands in a list of steps.
#[must_use]
pub fn step_in_braces(step: &Step) -> String {
    format!("{{ {} }}", fields_written(step).collect::<Vec<_>>().join(", "))
}

/// What a step does and its fields, each as it stands in a recipe.
fn fields_written(step: &Step) -> impl Iterator<Item = String> {
    let named = format!("do = {}", string_written(step.name()));
    let fields = step.to_value().as_object().cloned().unwrap_or_default();
    let fields = fields.into_iter().filter(|(name, _)| name != "do");
    iter::once(named).chain(fields.map(|(name, value)| field_written(&name, &value)))
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
