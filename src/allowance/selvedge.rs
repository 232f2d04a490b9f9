//! The cloth ends at its selvedge: what a cutting line has beyond it is cut back.

use kurbo::{BezPath, Rect};

use crate::allowance::beside::{Ring, cut_depth};
use crate::allowance::trim::TrimmedStretches;
use crate::allowance::{Trim, TrimCause};
use crate::curve::{Met, StraightLimit};
use crate::pattern::{EdgeId, Piece, Selvedge};
use crate::tolerance::{SAME_POINT, TRIM_STEP, TRIM_TOLD};

/// The lines at which the cloth ends: one beside each edge that lies on a selvedge, its own allowance included.
///
/// An edge that is not quite straight, which the checks tell, has its outermost point on the selvedge.
pub(super) fn selvedges(ring: &Ring<'_>) -> Vec<StraightLimit> {
    ring.piece.edge_ids().filter_map(|edge| selvedge(ring, edge)).collect()
}

fn selvedge(ring: &Ring<'_>, edge: EdgeId) -> Option<StraightLimit> {
    let drawn = ring.piece.edge(edge);
    if drawn.selvedge == Selvedge::No {
        return None;
    }
    let chord = drawn.curve.end() - drawn.curve.start();
    if chord.hypot() <= SAME_POINT {
        return None;
    }
    let limit = StraightLimit::left_of(drawn.curve.start(), chord);
    let reach = limit.reach_of(&drawn.curve).max(0.0) + cut_depth(ring.piece, edge);
    Some(limit.further_out(reach))
}

/// The loop within the cloth, and where it has less than an edge's allowance for that.
pub(super) fn kept_on_cloth(ring: &Ring<'_>, ends: &[StraightLimit], path: BezPath) -> (BezPath, Vec<Trim>) {
    let mut kept = path;
    let mut trims = Vec::new();
    for end in ends {
        kept = end.cut_back(&kept);
        trims.extend(ring.piece.edge_ids().flat_map(|edge| trims_of(ring.piece, edge, end)));
    }
    (kept, trims)
}

/// The stretches of an edge whose allowance runs into the end of the cloth.
fn trims_of(piece: &Piece, edge: EdgeId, end: &StraightLimit) -> Vec<Trim> {
    let depth = cut_depth(piece, edge);
    let curve = &piece.edge(edge).curve;
    let mut trims = TrimmedStretches::new(edge, TrimCause::Selvedge);
    // Every edge but those within an allowance of the selvedge has all of its own.
    let near = |on: Rect| !end.holds(on, -depth);
    for met in curve.met_within(near, TRIM_STEP) {
        let kept = room(&met, depth, end);
        if kept < depth - TRIM_TOLD {
            trims.add(curve.walked_at(&met), |least| least.map_or(kept, |least| least.min(kept)));
        } else {
            trims.end();
        }
    }
    let mut trims = trims.found;
    // Where an edge runs into the selvedge its allowance narrows to nothing: that is how it ends, unless it does so slowly.
    trims.retain(|trim| trim.to - trim.from > depth);
    trims
}

/// The depth to which an allowance at a place reaches before the cloth ends, mm; negative where the seamline itself
/// stands beyond it.
fn room(place: &Met, depth: f64, end: &StraightLimit) -> f64 {
    let beyond = end.beyond(place.point);
    let steep = place.outward.dot(end.outward);
    if beyond >= 0.0 {
        -beyond
    } else if steep > 0.0 {
        depth.min(-beyond / steep)
    } else {
        depth
    }
}
