//! The cloth ends at its selvedge, and at a fold its other half begins: what a cutting line has beyond is cut back.

use kurbo::BezPath;

use crate::allowance::beside::{LinesAround, cut_depth};
use crate::curve::StraightLimit;
use crate::pattern::{EdgeId, Finish, Piece, Selvedge};
use crate::tolerance::{SAME_POINT, STRAIGHT};

/// The lines at which the cloth ends: one beside each edge that lies on a selvedge, its own allowance included.
///
/// An edge that is not quite straight, which the checks tell, has its outermost point on the selvedge.
pub(super) fn selvedges(ring: &LinesAround<'_>) -> Vec<StraightLimit> {
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

/// The folds of a half piece: beyond one of them lies the other half, where nothing of this one can be cut. A fold beyond
/// which the seamline itself lies somewhere is no end of the piece.
pub(super) fn folds(piece: &Piece) -> impl Iterator<Item = StraightLimit> {
    let folds = piece.edges().iter().filter(|edge| edge.finish == Finish::Fold);
    folds.filter_map(|fold| {
        let chord = fold.curve.end() - fold.curve.start();
        let limit =
            (chord.hypot() > SAME_POINT).then(|| StraightLimit::left_of(fold.curve.start(), chord))?;
        let is_end = piece.edges().iter().all(|edge| limit.reach_of(&edge.curve) <= STRAIGHT);
        is_end.then_some(limit)
    })
}

/// The loop within the cloth.
pub(super) fn kept_on_cloth(ends: impl IntoIterator<Item = StraightLimit>, path: BezPath) -> BezPath {
    ends.into_iter().fold(path, |kept, end| end.cut_back(&kept))
}
