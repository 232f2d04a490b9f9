//! Ways to recut a pattern so that it fits the cloth.

use retrue::plan::{Alternative, Closest, Missing, Planned};
use retrue::recut::Step;
use retrue::units::{Unit, rounded};
use serde::Serialize;

use super::VerdictReport;
use crate::cli::options::JudgedPattern;

/// What came of planning.
#[derive(Clone, Debug, Serialize)]
pub struct PlanReport {
    /// The file of the pattern.
    pub file: String,
    /// Whether the pattern as it was given is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
    /// The steps with which each alternative begins: they true what was not true.
    pub trued: Vec<serde_json::Value>,
    /// Whether something fits.
    pub fits: bool,
    /// What fits, best first.
    pub alternatives: Vec<AlternativeReport>,
    /// What would come closest where nothing fits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closest: Option<ClosestReport>,
    /// Recuts looked at.
    pub recuts: usize,
    /// How many of them fit by width and area.
    pub fitting: usize,
    /// How many of those were laid.
    pub trials: usize,
}

/// A way that fits.
#[derive(Clone, Debug, Serialize)]
pub struct AlternativeReport {
    /// Its place, from 1.
    pub number: usize,
    /// The file of its recipe, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recipe: Option<String>,
    /// The file of its layout, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layout: Option<String>,
    /// What it looks like; nothing where nothing is changed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub look: String,
    /// What is done, in words.
    pub sentence: String,
    /// Whether it is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
    /// What is not true, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub untrue: Option<String>,
    /// The kinds of change, each with its piece.
    pub changes: Vec<ChangeReport>,
    /// What it costs in all; one is a plain new seam down the body.
    pub cost: f64,
    /// How much of it for the changes, by how they are seen.
    pub cost_of_changes: f64,
    /// How many more seams there are to sew.
    pub seams_added: i64,
    /// Seamlines that came off the grain.
    pub edges_off_grain: u32,
    /// Pieces across their grain.
    pub crosswise: u32,
    /// Seams of striped or coloured cloth that cannot have it match any more.
    pub stripes_lost: u32,
    /// Pieces from another cloth.
    pub companion: Vec<String>,
    /// What is used of each length of cloth.
    pub used: Vec<UsedReport>,
    /// The steps.
    pub steps: Vec<serde_json::Value>,
}

/// A change.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeReport {
    /// Its kind.
    pub kind: retrue::plan::ChangeKind,
    /// The piece of the given pattern.
    pub piece: String,
}

/// What is used of a length of cloth.
#[derive(Clone, Debug, Serialize)]
pub struct UsedReport {
    /// The cloth.
    pub cloth: String,
    /// The length used.
    pub used: f64,
    /// How long it is.
    pub length: f64,
    /// The rectangle left over, across and along.
    pub leftover: Option<[f64; 2]>,
}

/// What would come closest.
#[derive(Clone, Debug, Serialize)]
pub struct ClosestReport {
    /// In words.
    pub sentence: String,
    /// What is missing even then.
    pub missing: Vec<MissingReport>,
    /// The pieces that could come from other cloth instead, so that the rest fits.
    pub elsewhere: Vec<String>,
}

/// What is missing of cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MissingKind {
    /// Width, for a piece.
    Width,
    /// Length, for a piece.
    PieceLength,
    /// Length, for all pieces.
    Length,
    /// Whole lengths, for all pieces.
    Lengths,
    /// Room: no more length helps.
    Room,
}

/// Cloth that is missing.
#[derive(Clone, Debug, Serialize)]
pub struct MissingReport {
    /// What is missing of it.
    pub kind: MissingKind,
    /// The piece, or the cloth.
    pub of: String,
    /// How many, of whole lengths.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<usize>,
    /// How much, where it is known; of whole lengths, how long each is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<f64>,
}

impl PlanReport {
    /// The report of what was planned.
    pub fn of(read: &JudgedPattern, planned: &Planned, written: &[[String; 2]], unit: Unit) -> PlanReport {
        let alternatives = planned.alternatives.iter().enumerate();
        PlanReport {
            file: read.name.clone(),
            truth: VerdictReport::of(&read.verdict, unit),
            trued: planned.trued.iter().map(Step::to_value).collect(),
            fits: !planned.alternatives.is_empty(),
            alternatives: alternatives
                .map(|(i, alternative)| AlternativeReport::of(i + 1, alternative, written.get(i), unit))
                .collect(),
            closest: planned.closest.as_ref().map(ClosestReport::of),
            recuts: planned.recuts,
            fitting: planned.fitting,
            trials: planned.trials,
        }
    }
}

impl AlternativeReport {
    fn of(
        number: usize,
        alternative: &Alternative,
        written: Option<&[String; 2]>,
        unit: Unit,
    ) -> AlternativeReport {
        let figures = &alternative.figures;
        let change =
            |done: &retrue::plan::Done| ChangeReport { kind: done.kind, piece: done.root.to_string() };
        let used = |used: &retrue::plan::LengthUsed| UsedReport {
            cloth: used.name.clone(),
            used: rounded(used.used),
            length: rounded(used.length),
            leftover: used.leftover.map(|(across, along)| [rounded(across), rounded(along)]),
        };
        AlternativeReport {
            number,
            recipe: written.map(|[recipe, _]| recipe.clone()),
            layout: written.map(|[_, layout]| layout.clone()),
            look: alternative.look(),
            sentence: alternative.sentence(),
            truth: VerdictReport::of(&alternative.verdict, unit),
            untrue: alternative.untrue(unit),
            changes: alternative.done.iter().map(change).collect(),
            cost: rounded(alternative.cost.total()),
            cost_of_changes: rounded(alternative.cost.changes),
            seams_added: figures.seams_added,
            edges_off_grain: figures.edges_off_grain,
            crosswise: figures.crosswise,
            stripes_lost: figures.stripes_lost,
            companion: figures.companion.iter().map(ToString::to_string).collect(),
            used: figures.used.iter().map(used).collect(),
            steps: alternative.steps.iter().map(Step::to_value).collect(),
        }
    }
}

impl ClosestReport {
    fn of(closest: &Closest) -> ClosestReport {
        let missing = |missing: &Missing| match missing {
            Missing::Width { piece, by } => MissingReport::of(MissingKind::Width, piece, Some(*by)),
            Missing::PieceLength { piece, by } => {
                MissingReport::of(MissingKind::PieceLength, piece, Some(*by))
            }
            Missing::Length { cloth, by } => MissingReport::of(MissingKind::Length, cloth, Some(*by)),
            Missing::Lengths { cloth, count, length } => MissingReport {
                count: Some(*count),
                ..MissingReport::of(MissingKind::Lengths, cloth, Some(*length))
            },
            Missing::Room { cloth } => MissingReport::of(MissingKind::Room, cloth, None),
        };
        ClosestReport {
            sentence: closest.sentence(),
            missing: closest.missing.iter().map(missing).collect(),
            elsewhere: closest.elsewhere.iter().map(ToString::to_string).collect(),
        }
    }
}

impl MissingReport {
    fn of(kind: MissingKind, of: impl ToString, by: Option<f64>) -> MissingReport {
        MissingReport { kind, of: of.to_string(), count: None, by: by.map(rounded) }
    }
}
