//! What a check found, as it is reported.

use retrue::pattern::Pattern;
use retrue::truing::Finding;
use retrue::units::Unit;
use serde::Serialize;

use crate::cli::options::NamedPattern;
use crate::cli::report::{SCHEMA, json, number};

/// What a check found.
#[derive(Clone, Debug, Serialize)]
pub struct CheckReport {
    /// Version of this form.
    pub schema: u32,
    /// The file.
    pub file: String,
    /// Whether nothing is untrue; warnings may stand.
    #[serde(rename = "true")]
    pub verdict: bool,
    /// How much was checked.
    pub checked: Checked,
    /// What is not true, and what is to be looked at twice.
    pub findings: Vec<FindingReport>,
}

/// How much was checked.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Checked {
    /// Seams walked.
    pub seams: usize,
    /// Darts measured.
    pub darts: usize,
    /// Levels measured around the garment.
    pub levels: usize,
    /// Pieces.
    pub pieces: usize,
}

/// Something that is not true, or nearly not.
#[derive(Clone, Debug, Serialize)]
pub struct FindingReport {
    /// The kind, a word.
    pub kind: String,
    /// Where.
    pub place: String,
    /// The number measured, mm, degrees or a count.
    pub number: f64,
    /// The limit it is held against, in the same measure.
    pub limit: f64,
    /// `untrue` or `warning`.
    pub verdict: &'static str,
    /// All of it in a sentence.
    pub sentence: String,
}

impl CheckReport {
    /// What was found in a pattern.
    pub fn of(named: &NamedPattern, findings: &[Finding], unit: Unit) -> CheckReport {
        CheckReport {
            schema: SCHEMA,
            file: named.name.clone(),
            verdict: !findings.iter().any(Finding::is_untrue),
            checked: Checked::of(&named.pattern),
            findings: findings.iter().map(|finding| FindingReport::of(finding, unit)).collect(),
        }
    }

    /// Whether nothing is untrue.
    pub fn is_true(&self) -> bool {
        self.verdict
    }

    /// The report as JSON.
    pub fn to_json(&self) -> String {
        json(self)
    }
}

impl Checked {
    fn of(pattern: &Pattern) -> Checked {
        Checked {
            seams: pattern.seams().len(),
            darts: pattern.pieces().map(|piece| piece.darts.len()).sum(),
            levels: retrue::truing::girths(pattern).len(),
            pieces: pattern.pieces().len(),
        }
    }
}
