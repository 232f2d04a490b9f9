//! How a seam that is moved runs, and which way is usual.

use crate::curve::Curve;
use crate::pattern::{EdgeRef, Pattern, Side, Thread};
use crate::tolerance::{ON_GRAIN, STRAIGHT};

/// How a seam that is moved runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SeamRuns {
    /// Straight, along the grain of the piece that gives.
    Straight,
    /// As it ran.
    AsItRan,
}

/// Both ways to move a seam by an edge of it, the usual one first: as it ran, where its other edge is straight on the grain
/// already and this one took over the shaping, which a straight line would cut off again.
pub(super) fn usual_first(pattern: &Pattern, edge: &EdgeRef) -> [SeamRuns; 2] {
    let other = edge_across(pattern, edge).filter(|other| other != edge);
    match runs_on_grain(pattern, edge) || !other.is_some_and(|other| runs_on_grain(pattern, &other)) {
        true => [SeamRuns::Straight, SeamRuns::AsItRan],
        false => [SeamRuns::AsItRan, SeamRuns::Straight],
    }
}

/// Whether an edge lies straight along the grain of its piece.
pub(super) fn runs_on_grain(pattern: &Pattern, edge: &EdgeRef) -> bool {
    let Ok((piece, id)) = pattern.edge(edge) else { return false };
    let off = piece.off_thread(id).filter(|off| off.thread == Thread::Warp);
    let is_along = off.is_some_and(|off| off.degrees <= ON_GRAIN);
    is_along && keeps_to_chord(&piece.edge(id).curve)
}

/// Whether a curve is a straight line for the eye. One that took shaping over is fitted through many places, and its control
/// points need not stand in order.
fn keeps_to_chord(curve: &Curve) -> bool {
    let (start, along) = (curve.start(), (curve.end() - curve.start()).normalize());
    curve.flattened(STRAIGHT).iter().all(|point| (*point - start).cross(along).abs() <= STRAIGHT)
}

/// The first edge on the other side of an edge's seam.
pub(super) fn edge_across(pattern: &Pattern, edge: &EdgeRef) -> Option<EdgeRef> {
    let seam = pattern.seam(pattern.seam_named(edge, Some(&edge.piece)).ok()?);
    let is_held = |side: &Side| seam.side(*side).edges().iter().any(|run| run.edge == *edge);
    let side = Side::BOTH.into_iter().find(is_held).unwrap_or(Side::First);
    seam.side(side.other()).edges().first().map(|run| run.edge.clone())
}
