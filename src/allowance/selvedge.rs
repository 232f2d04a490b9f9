//! The cloth ends at its selvedge: what a cutting line has beyond it is cut back.

use kurbo::BezPath;

use crate::allowance::beside::{Ring, cut_depth};
use crate::curve::StraightLimit;
use crate::pattern::{EdgeId, Piece, Selvedge};
use crate::tolerance::SAME_POINT;

/// The lines at which the cloth ends: one beside each edge that lies on a selvedge, its own allowance included.
///
/// An edge that is not quite straight, which the checks tell, has its outermost point on the selvedge.
pub(super) fn selvedges(ring: &Ring<'_>) -> Vec<StraightLimit> {
    ring.piece.edge_ids().filter_map(|edge| selvedge(ring.piece, edge)).collect()
}

/// The selvedge beside an edge, on which the piece is not cut; none where the edge lies on none.
#[must_use]
pub fn selvedge(piece: &Piece, edge: EdgeId) -> Option<StraightLimit> {
    let drawn = piece.edge(edge);
    if drawn.selvedge == Selvedge::No {
        return None;
    }
    let chord = drawn.curve.end() - drawn.curve.start();
    if chord.hypot() <= SAME_POINT {
        return None;
    }
    let limit = StraightLimit::left_of(drawn.curve.start(), chord);
    let reach = limit.reach_of(&drawn.curve).max(0.0) + cut_depth(piece, edge);
    Some(limit.further_out(reach))
}

/// The loop within the cloth.
pub(super) fn kept_on_cloth(ends: &[StraightLimit], path: BezPath) -> BezPath {
    ends.iter().fold(path, |kept, end| end.cut_back(&kept))
}
