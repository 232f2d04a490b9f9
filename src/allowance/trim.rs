//! Taking off the loops of a cutting line where an allowance has no room.

use kurbo::{BezPath, PathEl};

use crate::allowance::AllowanceError;
use crate::allowance::beside::LinesAround;
use crate::curve::{OneLoop, Point, largest_loop};
use crate::tolerance::CROSSINGS_APART;

/// One closed loop.
///
/// A line that does not cross itself is returned as it came. Otherwise the largest loop is kept.
pub(super) fn freed_of_loops(ring: &LinesAround<'_>, raw: BezPath) -> Result<BezPath, AllowanceError> {
    let failed = |source| AllowanceError::Around { piece: ring.piece.name().clone(), source };
    let OneLoop { path, taken_off } = largest_loop(raw).map_err(failed)?;
    Ok(if taken_off.is_empty() { path } else { without_crumbs(&path) })
}

/// The loop without the segments of next to no length that the sweep leaves at crossings.
fn without_crumbs(path: &BezPath) -> BezPath {
    let mut kept = BezPath::new();
    let mut at = Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => at = to,
            PathEl::LineTo(to) if (to - at).hypot() <= CROSSINGS_APART => continue,
            PathEl::CurveTo(a, b, to)
                if [a, b, to].iter().all(|point| (*point - at).hypot() <= CROSSINGS_APART) =>
            {
                continue;
            }
            PathEl::LineTo(to) | PathEl::CurveTo(_, _, to) | PathEl::QuadTo(_, to) => at = to,
            PathEl::ClosePath => {}
        }
        kept.push(*element);
    }
    closed_exactly(kept)
}

/// The loop with its last end laid on its start where only a crumb lay between them.
fn closed_exactly(path: BezPath) -> BezPath {
    let mut elements = path.elements().to_vec();
    let start = elements.first().and_then(PathEl::end_point);
    let last = elements.iter_mut().rev().find(|element| !matches!(element, PathEl::ClosePath));
    if let (Some(start), Some(PathEl::LineTo(to) | PathEl::CurveTo(_, _, to))) = (start, last)
        && (*to - start).hypot() <= CROSSINGS_APART
    {
        *to = start;
    }
    BezPath::from_vec(elements)
}
