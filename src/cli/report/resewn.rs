//! New pieces laid back onto the old ones.

use retrue::pattern::{DeclaredKind, PieceName};
use retrue::resew::{Deviation, Resewn, ResewnGroup};
use serde::Serialize;

use super::rounded;

/// New pieces laid back onto the old ones.
#[derive(Clone, Debug, Serialize)]
pub struct ResewnReport {
    /// The file of the old pattern.
    pub against: String,
    /// Each step since.
    pub steps: Vec<ResewnStepReport>,
}

/// One step laid back.
#[derive(Clone, Debug, Serialize)]
pub struct ResewnStepReport {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The operation.
    pub operation: String,
    /// The pieces that exchanged cloth; none where the step moved none.
    pub groups: Vec<ResewnGroupReport>,
}

/// Pieces that exchanged cloth, laid back.
#[derive(Clone, Debug, Serialize)]
pub struct ResewnGroupReport {
    /// The old pieces.
    pub from: Vec<String>,
    /// The new pieces.
    pub to: Vec<String>,
    /// How far edges lie off that are not declared to be drawn anew.
    pub held: Option<DeviationReport>,
    /// How far edges and cuts lie off that are.
    pub redrawn: Option<DeviationReport>,
    /// Old cloth that lies twice, mm².
    pub doubled: f64,
    /// Old cloth that is in no new piece, darts apart, mm².
    pub missing: f64,
    /// Area of darts taken out that is in the new pieces all the same, mm².
    pub regained: f64,
    /// What the step declares.
    pub declared: Vec<DeclaredReport>,
    /// By how much the area changed, darts folded out, mm².
    pub changed: f64,
    /// Of that, what is not declared, mm².
    pub undeclared: f64,
}

/// The greatest distance between lines that should be one.
#[derive(Clone, Debug, Serialize)]
pub struct DeviationReport {
    /// The distance.
    pub distance: f64,
    /// The old piece.
    pub piece: String,
    /// The edge; none at a cut through the piece.
    pub edge: Option<String>,
    /// The place on the sheet before the step.
    pub at: [f64; 2],
}

/// An area that a step declares to have added or taken.
#[derive(Clone, Debug, Serialize)]
pub struct DeclaredReport {
    /// On which piece.
    pub piece: String,
    /// Why.
    pub kind: DeclaredKind,
    /// How much, mm².
    pub area: f64,
}

impl ResewnReport {
    /// The report of pieces laid back onto those of a file.
    pub fn of(against: &str, resewn: &Resewn) -> ResewnReport {
        let steps = resewn.steps.iter().map(|step| ResewnStepReport {
            number: step.number,
            operation: step.operation.clone(),
            groups: step.groups.iter().map(ResewnGroupReport::of).collect(),
        });
        ResewnReport { against: against.to_owned(), steps: steps.collect() }
    }
}

impl ResewnGroupReport {
    fn of(group: &ResewnGroup) -> ResewnGroupReport {
        let names = |names: &[PieceName]| names.iter().map(ToString::to_string).collect();
        let declared = group.declared.iter().map(|declared| DeclaredReport {
            piece: declared.piece.to_string(),
            kind: declared.kind,
            area: rounded(declared.area),
        });
        ResewnGroupReport {
            from: names(&group.from),
            to: names(&group.to),
            held: group.held.as_ref().map(DeviationReport::of),
            redrawn: group.redrawn.as_ref().map(DeviationReport::of),
            doubled: rounded(group.doubled),
            missing: rounded(group.missing),
            regained: rounded(group.regained),
            declared: declared.collect(),
            changed: rounded(group.changed),
            undeclared: rounded(group.undeclared()),
        }
    }
}

impl DeviationReport {
    fn of(deviation: &Deviation) -> DeviationReport {
        DeviationReport {
            distance: rounded(deviation.distance),
            piece: deviation.piece.to_string(),
            edge: deviation.edge.as_ref().map(ToString::to_string),
            at: [rounded(deviation.at.x), rounded(deviation.at.y)],
        }
    }
}
