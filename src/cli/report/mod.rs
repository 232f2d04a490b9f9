//! What is reported, as it stands in JSON. These types are apart from the model, so that either may change without the
//! other; texts for people are made of them as well.
//!
//! Lengths are millimetres to a millionth, angles degrees, areas mm². Edges are named with their piece.

mod check;
mod pattern;
mod recut;

pub use check::{CheckReport, FindingReport};
pub use pattern::{
    DartReport, EdgeReport, LedgerReport, LevelReport, PatternReport, PieceReport, SeamReport, SizeReport,
};
pub use recut::{RecutReport, ToldReport};

use retrue::units::Length;
use serde::Serialize;

/// Version of the reports' form. It changes when a field changes its meaning or goes away.
pub const SCHEMA: u32 = 1;

/// A number of a report.
///
/// Rounded to a millionth: what f64 holds beyond that is the noise of the computation.
pub fn number(value: f64) -> f64 {
    const PARTS: f64 = 1e6;
    // Adding zero turns -0 into 0.
    (value * PARTS).round() / PARTS + 0.0
}

/// A length of a report, mm.
pub fn mm(length: Length) -> f64 {
    number(length.mm())
}

/// A report as JSON, a newline at its end.
fn json(report: &impl Serialize) -> String {
    // A report holds no map with keys other than text, the only thing that could fail here.
    let mut text = serde_json::to_string_pretty(report).unwrap_or_default();
    text.push('\n');
    text
}
