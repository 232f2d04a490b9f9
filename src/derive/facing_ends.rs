//! What the ends of a facing are sewn to.

use crate::derive::chain::{Tip, sewn_together};
use crate::derive::closed::{ClosedRun, End};
use crate::pattern::{EdgeId, EdgeName, EdgeRef, Making, Pattern, Piece, Run, RunEdge, Seam, Travel};
use crate::tolerance::SAME_RUN;
use crate::units::Length;

/// The seams at the facing's ends: to its own other end where the run goes round, else to another facing that ends at the
/// same seam.
pub(super) fn end_seams(
    pattern: &Pattern,
    run: &ClosedRun,
    [first, last]: [&EdgeName; 2],
    piece: &Piece,
) -> Vec<Seam> {
    let own = |name: &EdgeName, travel: Travel| RunEdge {
        edge: EdgeRef::new(piece.name().clone(), name.clone()),
        travel,
    };
    let ends = [(&run.first, own(first, Travel::Anticlockwise)), (&run.last, own(last, Travel::Clockwise))];
    let seam = |first: RunEdge, second: RunEdge| {
        let (first, second) = (Run::new(vec![first])?, Run::new(vec![second])?);
        Some(Seam { first, second, ease: Length::ZERO })
    };
    let meets = |end: &End, other: &End| {
        sewn_together(pattern, &end.tip).iter().any(|tip| {
            let same = (tip.piece.name(), tip.edge, tip.end)
                == (other.tip.piece.name(), other.tip.edge, other.tip.end);
            same && tip.copy == other.tip.copy
        })
    };
    if meets(ends[0].0, ends[1].0) {
        let [(_, first), (_, last)] = ends;
        return seam(first, last).into_iter().collect();
    }
    let mut found = Vec::new();
    for (end, edge) in ends {
        let Ok((_, id)) = piece.edge_named(&edge.edge.edge).map(|id| (piece, id)) else { continue };
        let length = piece.sewn_length(id);
        let partners = sewn_together(pattern, &end.tip).into_iter().flat_map(|tip| {
            let beside = tip.neighbour();
            let named = tip.piece.edge(tip.edge).name.clone();
            facings_at(pattern, &beside, &named, length)
        });
        found.extend(partners.into_iter().take(1).filter_map(|other| seam(edge.clone(), other)));
    }
    found
}

/// The end of another facing that is sewn to an edge and ends at one of that edge's corners, if nothing is sewn to it yet.
fn facings_at(pattern: &Pattern, beside: &Tip, named: &EdgeName, length: f64) -> Vec<RunEdge> {
    let edge = EdgeRef { copy: beside.copy, ..beside.piece.edge_ref(beside.edge) };
    let mut found = Vec::new();
    for id in pattern.seams_of(&edge) {
        let seam = pattern.seam(id);
        let Some(side) = seam.side_of(&edge) else { continue };
        for run in seam.side(side.other()).edges() {
            let Some(other) = pattern.find(&run.edge.piece) else { continue };
            let Some(id) = other.find_edge(named) else { continue };
            let end = EdgeRef { copy: run.edge.copy, ..other.edge_ref(id) };
            let is_free = pattern.seams_of(&end).next().is_none();
            let lies_beside = |next: EdgeId| other.edge(next).name == run.edge.edge;
            let travel = match (lies_beside(other.previous(id)), lies_beside(other.next(id))) {
                (true, _) => Travel::Clockwise,
                (false, true) => Travel::Anticlockwise,
                (false, false) => continue,
            };
            let is_facing = other.derived.as_ref().is_some_and(|derived| derived.by == Making::Facing);
            if is_free && is_facing && (other.sewn_length(id) - length).abs() <= SAME_RUN {
                found.push(RunEdge { edge: end, travel });
            }
        }
    }
    found
}
