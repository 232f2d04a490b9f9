//! What is not true, as `check` and the operations report it.

use retrue::pattern::{LevelName, Pattern};
use retrue::resew::ResewnStep;
use retrue::truing::{self, Finding, Limits, Verdict};
use retrue::units::{Length, Unit};
use serde::Serialize;

use crate::cli::advice::on_command_line;

/// Something that is not true, in words too.
#[derive(Clone, Debug, Serialize)]
pub struct FindingReport {
    /// What was found.
    #[serde(flatten)]
    pub finding: Finding,
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
            sentence: finding.sentence(unit),
            way_out: finding.way_out().as_ref().map(on_command_line),
            finding: finding.clone(),
        }
    }
}

/// A girth that the steps declare to have changed.
#[derive(Clone, Debug, Serialize)]
pub struct DeclaredGirthReport {
    /// The level.
    pub level: String,
    /// By how much, on the whole garment.
    pub by: f64,
    /// The same in words.
    pub sentence: String,
}

impl DeclaredGirthReport {
    fn all(pattern: &Pattern, limits: &Limits, unit: Unit) -> Vec<DeclaredGirthReport> {
        let declared = truing::declared_girths(pattern, limits).into_iter();
        let report = |(level, by): (LevelName, Length)| {
            let way = if by.mm() < 0.0 { "less" } else { "more" };
            let size = Length::from_mm(by.mm().abs()).show(unit);
            let sentence =
                format!("{level}: the steps make the girth {size} {way} than when it was first read");
            DeclaredGirthReport { level: level.to_string(), by: by.mm(), sentence }
        };
        declared.map(report).collect()
    }
}

/// Whether a pattern is true, as every report tells it.
#[derive(Clone, Debug, Serialize)]
pub struct VerdictReport {
    /// Whether nothing stands in the way of cutting.
    #[serde(rename = "true")]
    pub is_true: bool,
    /// What was found.
    pub findings: Vec<FindingReport>,
}

impl VerdictReport {
    /// A verdict, its sentences in a unit.
    pub fn of(verdict: &Verdict, unit: Unit) -> VerdictReport {
        VerdictReport {
            is_true: verdict.is_true(),
            findings: verdict.findings().iter().map(|finding| FindingReport::of(finding, unit)).collect(),
        }
    }
}

/// What a check found, and what it looked at.
#[derive(Clone, Debug, Serialize)]
pub struct CheckReport {
    /// The file.
    pub file: String,
    /// Whether it is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
    /// How many seams were walked.
    pub seams: usize,
    /// How many darts were measured.
    pub darts: usize,
    /// At how many levels the girth was measured.
    pub levels: usize,
    /// The girths that the steps declare to have changed.
    pub declared: Vec<DeclaredGirthReport>,
    /// The pieces laid back onto those of an older pattern, where that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resewn: Option<ResewnReport>,
}

/// New pieces laid back onto those of an older pattern.
#[derive(Clone, Debug, Serialize)]
pub struct ResewnReport {
    /// The file of the older pattern.
    pub against: String,
    /// Each step since.
    pub steps: Vec<ResewnStep>,
}

impl CheckReport {
    /// A check of a pattern.
    pub fn of(file: &str, pattern: &Pattern, verdict: &Verdict, limits: &Limits, unit: Unit) -> CheckReport {
        CheckReport {
            file: file.to_owned(),
            truth: VerdictReport::of(verdict, unit),
            seams: pattern.seams().len(),
            darts: pattern.pieces().map(|piece| piece.darts.len()).sum(),
            levels: retrue::truing::girths(pattern).len(),
            declared: DeclaredGirthReport::all(pattern, limits, unit),
            resewn: None,
        }
    }
}
