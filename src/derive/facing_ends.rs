//! What the ends of a facing are sewn to.

use crate::derive::UnequalEnds;
use crate::derive::chain::{Tip, sewn_together};
use crate::derive::closed::{ClosedRun, EndKind, WayIn};
use crate::pattern::{EdgeId, EdgeName, EdgeRef, Making, Pattern, Piece, Run, RunEdge, Seam, Travel};
use crate::tolerance::SAME_RUN;
use crate::units::Length;

/// What the end of a facing is called where no edge leads into the piece.
pub(super) const ACROSS: &str = "end";

/// What the ends of a facing are sewn to, and what they are not sewn to though they lie beside it.
#[derive(Default)]
pub(super) struct EndSeams {
    pub sewn: Vec<Seam>,
    pub unequal: Vec<UnequalEnds>,
}

/// The seams at the facing's ends: to its own other end where the run goes round, else to another facing that ends at the
/// same seam. Where that one's end is not as long, as where the edge turns at the seam, the two are not sewn together.
pub(super) fn end_seams(
    pattern: &Pattern,
    run: &ClosedRun,
    [first, last]: [&EdgeName; 2],
    piece: &Piece,
) -> EndSeams {
    let own = |name: &EdgeName, travel: Travel| RunEdge {
        edge: EdgeRef::new(piece.name().clone(), name.clone()),
        travel,
    };
    let ends = [(&run.first, own(first, Travel::Anticlockwise)), (&run.last, own(last, Travel::Clockwise))];
    let seam = |first: RunEdge, second: RunEdge| {
        let (first, second) = (Run::new(vec![first])?, Run::new(vec![second])?);
        Some(Seam { first, second, ease: Length::ZERO })
    };
    let meets = |end: &WayIn, other: &WayIn| {
        [end, other].iter().all(|end| end.kind == EndKind::Along)
            && sewn_together(pattern, &end.tip).iter().any(|tip| {
                let same = (tip.piece.name(), tip.edge, tip.end)
                    == (other.tip.piece.name(), other.tip.edge, other.tip.end);
                same && tip.copy == other.tip.copy
            })
    };
    if meets(ends[0].0, ends[1].0) {
        let [(_, first), (_, last)] = ends;
        return EndSeams { sewn: seam(first, last).into_iter().collect(), unequal: Vec::new() };
    }
    let mut found = EndSeams::default();
    for (end, edge) in ends {
        let Some(id) = piece.find_edge(&edge.edge.edge) else { continue };
        if is_at_own_mirror(pattern, end) && piece.has_mirrored_copy() {
            let mirrored = RunEdge { edge: edge.edge.mirrored(), ..edge.clone() };
            found.sewn.extend(seam(edge, mirrored));
            continue;
        }
        let length = piece.sewn_length(id);
        let beside: Vec<FacingEnd> = match end.kind {
            EndKind::Along => sewn_together(pattern, &end.tip)
                .into_iter()
                .flat_map(|tip| facings_at(pattern, &tip.neighbour(), &tip.piece.edge(tip.edge).name))
                .collect(),
            EndKind::Across => facings_at(pattern, &end.tip, &EdgeName::plain(ACROSS)),
        };
        // The facing that is made anew is another still.
        let beside: Vec<FacingEnd> =
            beside.into_iter().filter(|other| other.run.edge.piece != *piece.name()).collect();
        match beside.iter().find(|other| (other.length - length).abs() <= SAME_RUN) {
            Some(other) => found.sewn.extend(seam(edge, other.run.clone())),
            None => found.unequal.extend(
                beside.iter().take(1).map(|other| unequal((&edge, length), (&other.run, other.length))),
            ),
        }
    }
    found
}

/// Whether the edge along which a facing ends is sewn there to its own mirrored copy, as a centre.
fn is_at_own_mirror(pattern: &Pattern, end: &WayIn) -> bool {
    let own = |tip: &Tip| {
        (tip.piece.name(), tip.edge, tip.end) == (end.tip.piece.name(), end.tip.edge, end.tip.end)
    };
    end.kind == EndKind::Along
        && sewn_together(pattern, &end.tip).iter().any(|tip| own(tip) && tip.copy != end.tip.copy)
}

fn unequal(own: (&RunEdge, f64), other: (&RunEdge, f64)) -> UnequalEnds {
    let (longer, shorter) = if own.1 > other.1 { (own, other) } else { (other, own) };
    UnequalEnds {
        longer: longer.0.edge.clone(),
        shorter: shorter.0.edge.clone(),
        lengths: (Length::from_mm(longer.1), Length::from_mm(shorter.1)),
    }
}

/// An end of another facing to which nothing is sewn, walked from its sewn edge inward or back.
struct FacingEnd {
    run: RunEdge,
    length: f64,
}

/// The ends of other facings that are sewn to an edge and end at one of that edge's corners, if nothing is sewn to them yet.
fn facings_at(pattern: &Pattern, beside: &Tip, named: &EdgeName) -> Vec<FacingEnd> {
    let edge = EdgeRef { copy: beside.copy, ..beside.piece.edge_ref(beside.edge) };
    let mut found = Vec::new();
    for id in pattern.seams_of(&edge) {
        let seam = pattern.seam(id);
        let Some(side) = seam.side_of(&edge) else { continue };
        for run in seam.side(side.other()).edges() {
            let Some(other) = pattern.find(&run.edge.piece) else { continue };
            let Some(id) = other.find_edge(named) else { continue };
            let end = EdgeRef { copy: run.edge.copy, ..other.edge_ref(id) };
            // A seam is named once, for both halves of the garment.
            let named = seam.side(side).edges().iter().find(|own| own.edge.same_edge(&edge));
            let is_other_half = named.is_some_and(|own| own.edge.copy != edge.copy);
            let end = if is_other_half { end.mirrored() } else { end };
            let is_free = pattern.seams_of(&end).next().is_none();
            let lies_beside = |next: EdgeId| other.edge(next).name == run.edge.edge;
            let travel = match (lies_beside(other.previous(id)), lies_beside(other.next(id))) {
                (true, _) => Travel::Clockwise,
                (false, true) => Travel::Anticlockwise,
                (false, false) => continue,
            };
            if is_free && other.is_made(Making::Facing) {
                found.push(FacingEnd { run: RunEdge { edge: end, travel }, length: other.sewn_length(id) });
            }
        }
    }
    found
}
