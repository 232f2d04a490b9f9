//! What commands report, as data of its own: the form of the JSON output, and what the text output is laid out from.
//!
//! The model and this form change apart; only the `of` functions here know both. Lengths are millimetres, areas mm²,
//! angles degrees, all rounded to a millionth.

mod adopt;
mod batch;
mod findings;
mod fit;
mod lay;
mod pattern;
mod plan;
mod recut;

use retrue::canvas::is_unseen;
use serde::Serialize;

use crate::cli::errors::Failure;
use crate::cli::io;

pub use adopt::{AdoptReport, AdoptedReport, FoundOutlineReport};
pub use batch::{BatchReport, BatchRow, BatchVerdict};
pub use findings::{CheckReport, FindingReport, ResewnReport, VerdictReport};
pub use fit::{FitReport, PieceFitReport};
pub use lay::LayReport;
pub use pattern::{DartReport, EdgeReport, GirthPart, PieceReport, ShowReport, StepReport};
pub use plan::{AlternativeReport, PlanReport};
pub use recut::{PieceFate, RecutReport};

/// Version of the form of all reports.
const SCHEMA: u32 = 1;

/// A report with the version of its form and its kind.
#[derive(Serialize)]
struct Enveloped<'a, T> {
    schema: u32,
    kind: &'a str,
    #[serde(flatten)]
    report: &'a T,
}

/// Prints a report as JSON.
///
/// # Errors
///
/// Standard output cannot be written to.
pub fn print_json(kind: &str, report: &impl Serialize) -> Result<(), Failure> {
    let enveloped = Enveloped { schema: SCHEMA, kind, report };
    let mut text = serde_json::to_string_pretty(&enveloped)
        .map_err(|error| Failure::fault(format!("the report cannot be put together: {error}")))?;
    text.push('\n');
    io::print(&without_unseen(&text))
}

/// JSON whose strings hold none of the signs that are not seen, but what JSON writes for them: the same data, and safe to
/// look at. Line breaks stand between values only.
fn without_unseen(json: &str) -> String {
    let mut text = String::with_capacity(json.len());
    for sign in json.chars() {
        if sign != '\n' && is_unseen(sign) {
            text.push_str(&format!("\\u{:04x}", u32::from(sign)));
        } else {
            text.push(sign);
        }
    }
    text
}
