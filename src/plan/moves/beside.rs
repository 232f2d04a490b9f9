//! Allowances beside an edge on the selvedge, where the cloth ends close by.

use crate::pattern::{EdgeRef, Finish, Pattern, Seam};
use crate::plan::draft::RecutSoFar;
use crate::recut::{EdgeChoice, SetAllowance};
use crate::units::Length;

/// Allowances that are tried on the edges beside a selvedge where the cloth ends close by: as they are, 9 mm (3/8 in),
/// 7 mm as on the selvedge, 6 mm (1/4 in, the least that is sewn without a special machine).
pub(super) const NARROWER: [Option<f64>; 4] = [None, Some(9.0), Some(7.0), Some(6.0)];

/// Narrower allowances on the edge of the piece that meets the selvedge and ends no hem, and on all that is sewn to it.
pub(super) fn narrowed(draft: RecutSoFar, edge: &EdgeRef, allowance: f64) -> Option<RecutSoFar> {
    let (piece, id) = draft.pattern.find_on_piece(edge)?;
    let beside = [piece.previous(id), piece.next(id)];
    let beside = beside.into_iter().filter(|id| piece.edge(*id).finish == Finish::Seam);
    let edges: Vec<String> = beside.map(|id| edges_of_seams(&draft.pattern, &piece.edge_ref(id))).collect();
    let edges: EdgeChoice = edges.join(", ").parse().ok()?;
    draft.does(SetAllowance::of(edges, Length::from_mm(allowance)))
}

/// The edges of all seams of an edge, as they are named to a step.
pub(super) fn edges_of_seams(pattern: &Pattern, edge: &EdgeRef) -> String {
    let seams = pattern.seams().iter().filter(|seam| seam.side_of(edge).is_some());
    let mut edges: Vec<String> = Vec::new();
    for run in seams.flat_map(Seam::edges) {
        let named = EdgeRef::new(run.edge.piece.clone(), run.edge.edge.clone()).to_string();
        if !edges.contains(&named) {
            edges.push(named);
        }
    }
    edges.join(", ")
}
