//! The recipe of an alternative, as `apply` reads it.

use serde_json::Value;

use crate::plan::Alternative;
use crate::units::Unit;

/// The text of a recipe: a sentence on top, what was and is not true, then the steps.
pub(super) fn text(of: &Alternative) -> String {
    let mut text = format!(
        "# {}\n#\n#   retrue apply RECIPE PATTERN -o recut.svg\n#\n{}# Cutting is final: sew a trial garment in cheap \
         cloth before you cut the good one.\n",
        of.sentence(),
        truth(of)
    );
    if of.steps.is_empty() {
        text.push_str("\nstep = []\n");
    }
    for step in &of.steps {
        text.push_str(&format!("\n[[step]]\ndo = \"{}\"\n", step.name()));
        let fields = step.to_value();
        for (name, value) in fields.as_object().into_iter().flatten().filter(|(name, _)| *name != "do") {
            text.push_str(&format!("{name} = {}\n", quoted(value)));
        }
    }
    text
}

/// The lines on what was not true before, and on what is not true even after the steps.
fn truth(of: &Alternative) -> String {
    let mut lines = String::new();
    if of.trued > 0 {
        let steps = match of.trued {
            1 => "first step trues".to_owned(),
            count => format!("first {count} steps true"),
        };
        lines.push_str(&format!("# The {steps} what was not true before.\n"));
    }
    if let Some(untrue) = of.untrue(Unit::default()) {
        lines.push_str(&format!("# NOT TRUE {untrue}. Mend it before you cut.\n"));
    }
    lines
}

fn quoted(value: &Value) -> String {
    match value {
        Value::String(text) => toml::Value::String(text.clone()).to_string(),
        other => other.to_string(),
    }
}
