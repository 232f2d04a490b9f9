//! The ledger: what a pattern measured before its first step, and what has become of it.

use retrue::pattern::Pattern;
use retrue::truing::{self, Account, EdgeAccount, EdgePart, GirthAccount, PartOffGrain};
use retrue::units::Length;
use serde::Serialize;

use super::rounded;

/// What a pattern measured before its first step, against now.
#[derive(Clone, Debug, Serialize)]
pub struct LedgerReport {
    /// The girths.
    pub girths: Vec<GirthLine>,
    /// The edges that the pattern had.
    pub edges: Vec<EdgeLine>,
    /// Net area of all pieces, all copies counted, before.
    pub net_area_then: f64,
    /// The same now.
    pub net_area_now: f64,
    /// The parts that lie off the grain of their piece.
    pub off_grain: Vec<OffGrainLine>,
    /// The seams that the steps made, each as its two edges.
    pub new_seams: Vec<[String; 2]>,
}

/// The girth at a level.
#[derive(Clone, Debug, Serialize)]
pub struct GirthLine {
    /// The level.
    pub level: String,
    /// Before the first step.
    pub then: Option<f64>,
    /// Now.
    pub now: Option<f64>,
    /// By how much the steps declare to have changed it.
    pub declared: f64,
    /// By how much it changed without that.
    pub unaccounted: f64,
}

/// An edge that the pattern had.
#[derive(Clone, Debug, Serialize)]
pub struct EdgeLine {
    /// Its name then.
    pub edge: String,
    /// Its sewn length then.
    pub then: f64,
    /// Where it is now; empty where it was sewn up for good.
    pub now: Vec<EdgePartLine>,
}

/// A stretch of an original edge on an edge of today.
#[derive(Clone, Debug, Serialize)]
pub struct EdgePartLine {
    /// The edge of today.
    pub edge: String,
    /// Its sewn length.
    pub length: f64,
}

/// A part that was turned when it was joined to another.
#[derive(Clone, Debug, Serialize)]
pub struct OffGrainLine {
    /// The piece it came from.
    pub part: String,
    /// The piece it belongs to.
    pub piece: String,
    /// The angle between the two grains.
    pub degrees: f64,
}

impl LedgerReport {
    /// The ledger of a pattern; none where no step was done.
    pub fn of(pattern: &Pattern) -> Option<LedgerReport> {
        let Account { girths, edges, net_area, off_grain, new_seams, .. } = truing::account(pattern)?;
        Some(LedgerReport {
            girths: girths.iter().map(GirthLine::of).collect(),
            edges: edges.iter().map(EdgeLine::of).collect(),
            net_area_then: rounded(net_area.0),
            net_area_now: rounded(net_area.1),
            off_grain: off_grain.iter().map(OffGrainLine::of).collect(),
            new_seams: new_seams
                .iter()
                .map(|seam| [seam.first.to_string(), seam.second.to_string()])
                .collect(),
        })
    }
}

impl GirthLine {
    fn of(girth: &GirthAccount) -> GirthLine {
        let mm = |length: Length| rounded(length.mm());
        GirthLine {
            level: girth.level.to_string(),
            then: girth.then.map(mm),
            now: girth.now.map(mm),
            declared: mm(girth.declared),
            unaccounted: mm(girth.unaccounted()),
        }
    }
}

impl EdgeLine {
    fn of(edge: &EdgeAccount) -> EdgeLine {
        let part =
            |part: &EdgePart| EdgePartLine { edge: part.edge.to_string(), length: rounded(part.length.mm()) };
        EdgeLine {
            edge: edge.edge.to_string(),
            then: rounded(edge.then.mm()),
            now: edge.now.iter().map(part).collect(),
        }
    }
}

impl OffGrainLine {
    fn of(part: &PartOffGrain) -> OffGrainLine {
        OffGrainLine {
            part: part.part.to_string(),
            piece: part.piece.to_string(),
            degrees: rounded(part.degrees),
        }
    }
}
