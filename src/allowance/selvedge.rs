//! The cloth ends at its selvedge: what a cutting line has beyond it is cut back.

use kurbo::BezPath;

use crate::allowance::beside::{Ring, cut_depth};
use crate::allowance::trim::{Sample, samples};
use crate::allowance::{Trim, TrimCause};
use crate::curve::StraightLimit;
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
    let out =
        samples(&drawn.curve, 0.0, drawn.curve.length(), TRIM_STEP).map(|sample| limit.beyond(sample.point));
    let reach = out.fold(0.0, f64::max) + cut_depth(ring.piece, edge);
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
    let mut trims: Vec<Trim> = Vec::new();
    let mut open = false;
    for sample in samples(curve, 0.0, curve.length(), TRIM_STEP) {
        let kept = room(&sample, depth, end);
        let short = kept < depth - TRIM_TOLD;
        match trims.last_mut().filter(|_| open && short) {
            Some(trim) => {
                trim.to = sample.at;
                trim.kept = trim.kept.min(kept);
            }
            None if short => {
                trims.push(Trim { edge, from: sample.at, to: sample.at, kept, cause: TrimCause::Selvedge });
            }
            None => {}
        }
        open = short;
    }
    // Where an edge runs into the selvedge its allowance narrows to nothing: that is how it ends, unless it does so slowly.
    trims.retain(|trim| trim.to - trim.from > depth);
    trims
}

/// The depth to which an allowance at a place reaches before the cloth ends, mm; negative where the seamline itself
/// stands beyond it.
fn room(sample: &Sample, depth: f64, end: &StraightLimit) -> f64 {
    let beyond = end.beyond(sample.point);
    let steep = sample.out.dot(end.outward);
    if beyond >= 0.0 {
        -beyond
    } else if steep > 0.0 {
        depth.min(-beyond / steep)
    } else {
        depth
    }
}
