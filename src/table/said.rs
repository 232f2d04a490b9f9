//! What the page says: sentences, and answers to what is refused.

use std::fmt;

use serde::Serialize;
use serde_json::{Value, json};

use crate::pattern::{Advice, AdvicePart, EdgeRef, Field, Pattern, Refusal, RefusalKind, Suggestion};
use crate::recut::Step;
use crate::show::report::{capital, of_step};
use crate::table::words::read;
use crate::truing::{Finding, Weight};
use crate::units::Unit;

/// Something that is well, or not, in a sentence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// Whether it is as it should be; none where it is neither.
    pub good: Option<bool>,
    /// The sentence.
    pub sentence: String,
    /// The edges that it is about.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub at: Vec<String>,
    /// What of it can be done at one press.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub presses: Vec<StepToPress>,
}

impl Remark {
    /// As it should be.
    pub(super) fn good(sentence: impl Into<String>) -> Remark {
        Remark { good: Some(true), ..Remark::plain(sentence) }
    }

    /// Not as it should be.
    pub(super) fn bad(sentence: impl Into<String>) -> Remark {
        Remark { good: Some(false), ..Remark::plain(sentence) }
    }

    /// Neither.
    pub(super) fn plain(sentence: impl Into<String>) -> Remark {
        Remark { good: None, sentence: read(&sentence.into()), at: Vec::new(), presses: Vec::new() }
    }

    /// What is not true, or to be looked at twice, with its way out.
    pub(super) fn of_finding(finding: &Finding, pattern: &Pattern, unit: Unit) -> Remark {
        let way_out = finding.way_out();
        let said = way_out.as_ref().map_or_else(String::new, |advice| format!("; {}", advised(advice)));
        let sentence = capital(&format!("{}{said}.", finding.sentence(unit)));
        let remark = match finding.weight {
            Weight::Untrue => Remark::bad(sentence),
            Weight::Warning => Remark::plain(sentence),
        };
        Remark { at: edges_at(pattern, &finding.at), ..remark.mended_by(way_out.as_ref()) }
    }

    /// With the steps of a way out to press.
    pub(super) fn mended_by(self, way_out: Option<&Advice>) -> Remark {
        let parts = way_out.into_iter().flat_map(Advice::parts);
        let presses = parts.filter_map(|part| match part {
            AdvicePart::Step(suggestion) => StepToPress::suggested(suggestion),
            _ => None,
        });
        Remark { presses: presses.collect(), ..self }
    }
}

/// Why something is refused, where, and the way out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Refused {
    /// What is refused.
    pub what: String,
    /// Where.
    pub at: String,
    /// What can be done about it.
    pub way_out: String,
    /// What of that can be done at one press.
    pub presses: Vec<StepToPress>,
    /// Whether nothing is wrong yet, and something is only left to be said.
    pub unsaid: bool,
}

/// A way out as a step to press.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StepToPress {
    /// What it does.
    pub says: String,
    /// The step, as a wish has it.
    pub step: Value,
    /// Whether a place is left to be said in its form.
    pub asks: bool,
}

impl Refused {
    /// Of a refusal, and the step that was refused.
    pub(super) fn of(refusal: &Refusal, refused: Option<&Step>) -> Refused {
        let presses = refusal.way_out.parts().iter().filter_map(|part| StepToPress::of(part, refused));
        Refused {
            at: refusal.at.clone(),
            presses: presses.collect(),
            unsaid: refusal.kind == RefusalKind::NothingAsked,
            ..Refused::plain(&refusal.what, advised(&refusal.way_out))
        }
    }

    pub(super) fn plain(what: impl ToString, way_out: impl ToString) -> Refused {
        Refused {
            what: read(&what.to_string()),
            at: String::new(),
            way_out: read(&way_out.to_string()),
            presses: Vec::new(),
            unsaid: false,
        }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = if self.at.is_empty() { String::new() } else { format!("{}: ", self.at) };
        write!(f, "{place}{}; {}", self.what, self.way_out)
    }
}

impl StepToPress {
    /// A part of a way out that is a step, or the refused step with another field; none where something of it is left to be
    /// said.
    fn of(part: &AdvicePart, refused: Option<&Step>) -> Option<StepToPress> {
        let (says, step) = match part {
            AdvicePart::Step(suggestion) => return StepToPress::suggested(suggestion),
            AdvicePart::Field(field, Some(value)) => {
                let mut step = refused?.to_value();
                step.as_object_mut()?.insert(field.name().to_owned(), json!(value));
                (format!("The same with {}", read(&field_said(*field, Some(value)))), step)
            }
            AdvicePart::Words(_) | AdvicePart::Field(_, None) | AdvicePart::Remedy(_) => return None,
        };
        Step::from_value(&step).is_ok().then_some(StepToPress { says, step, asks: false })
    }

    /// A step that is suggested; a place in it that only a person knows is left to be said.
    pub(super) fn suggested(suggestion: &Suggestion) -> Option<StepToPress> {
        let says = read(&capital(&step_said(suggestion)));
        let mut step = suggested(suggestion)?.to_value();
        let asked = suggestion.place_asked();
        if let (Some(field), Some(fields)) = (asked, step.as_object_mut()) {
            fields.remove(field.name());
        }
        Some(StepToPress { says, step, asks: asked.is_some() })
    }
}

/// The edges that the place of a finding names, on the drawn copy: what turns across a seam, and not the seam.
fn edges_at(pattern: &Pattern, at: &str) -> Vec<String> {
    let place = at.split(" across ").next().unwrap_or(at);
    let edges = place.split_whitespace().filter_map(|word| word.parse::<EdgeRef>().ok());
    let mut names: Vec<String> = Vec::new();
    for edge in edges.map(|edge| edge.drawn()).filter(|edge| pattern.find_edge(edge).is_some()) {
        let name = edge.to_string();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The step that a suggestion is; none where fields that it needs are not known.
fn suggested(suggestion: &Suggestion) -> Option<Step> {
    let fields = suggestion.fields.iter().map(|(field, value)| (field.name().to_owned(), json!(value)));
    let named = [("do".to_owned(), json!(suggestion.operation.name()))];
    Step::from_value(&Value::Object(named.into_iter().chain(fields).collect())).ok()
}

/// Advice in the words of the page.
pub(super) fn advised(advice: &Advice) -> String {
    advice.written(field_said, step_said)
}

fn step_said(suggestion: &Suggestion) -> String {
    let asked = suggestion
        .place_asked()
        .and_then(|asked| suggestion.fields.iter().find(|(field, _)| *field == asked));
    let words = suggested(suggestion).map(|step| match asked {
        Some((_, place)) => of_step(&step).replace(place, "another place"),
        None => of_step(&step),
    });
    words.unwrap_or_else(|| suggestion.operation.name().to_owned())
}

fn field_said(field: Field, value: Option<&str>) -> String {
    let called = field.name().replace('-', " ");
    match value {
        Some(value) => format!("{called} {value}"),
        None => called,
    }
}
