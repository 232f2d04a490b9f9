//! What is not true, as `check` and the operations report it.

use retrue::pattern::Pattern;
use retrue::truing::{Finding, FindingKind, Measure, Weight};
use retrue::units::Unit;
use serde::Serialize;

use super::{ResewnReport, rounded};
use crate::cli::advice::on_command_line;

/// Something that is not true.
#[derive(Clone, Debug, Serialize)]
pub struct FindingReport {
    /// What sort of thing.
    pub kind: FindingKind,
    /// The piece, edge, dart or seam.
    pub at: String,
    /// How far off it is.
    pub number: f64,
    /// How far off it may be.
    pub limit: f64,
    /// What the two numbers measure.
    pub measure: Measure,
    /// Whether it stands in the way of cutting, or is only to be looked at.
    pub weight: Weight,
    /// The same in words.
    pub sentence: String,
    /// What can be done about it on the command line, where an operation helps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub way_out: Option<String>,
}

impl FindingReport {
    /// A finding, its sentence in a unit.
    pub fn of(finding: &Finding, unit: Unit) -> FindingReport {
        FindingReport {
            kind: finding.kind,
            at: finding.at.clone(),
            number: rounded(finding.number),
            limit: rounded(finding.limit),
            measure: finding.measure,
            weight: finding.weight,
            sentence: finding.sentence(unit),
            way_out: finding.way_out().as_ref().map(on_command_line),
        }
    }
}

/// What a check found, and what it looked at.
#[derive(Clone, Debug, Serialize)]
pub struct CheckReport {
    /// The file.
    pub file: String,
    /// Whether nothing stands in the way of cutting.
    #[serde(rename = "true")]
    pub is_true: bool,
    /// How many seams were walked.
    pub seams: usize,
    /// How many darts were measured.
    pub darts: usize,
    /// At how many levels the girth was measured.
    pub levels: usize,
    /// What was found.
    pub findings: Vec<FindingReport>,
    /// The pieces laid back onto those of an older pattern, where that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resewn: Option<ResewnReport>,
}

impl CheckReport {
    /// A check of a pattern.
    pub fn of(file: &str, pattern: &Pattern, findings: &[Finding], unit: Unit) -> CheckReport {
        CheckReport {
            file: file.to_owned(),
            is_true: !findings.iter().any(|finding| finding.weight == Weight::Untrue),
            seams: pattern.seams().len(),
            darts: pattern.pieces().map(|piece| piece.darts.len()).sum(),
            levels: retrue::truing::girths(pattern).len(),
            findings: findings.iter().map(|finding| FindingReport::of(finding, unit)).collect(),
            resewn: None,
        }
    }
}
