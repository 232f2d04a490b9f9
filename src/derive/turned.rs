//! A line beside an edge that meets the edges at its ends as that one does.
//!
//! Those may bend on the way from the edge to the line beside it. Where it is sewn together at them with another, the two would
//! meet in a corner that the edge has not: it is drawn anew at its ends, turned as they are.

use crate::curve::{Curve, CurveError, Motion, Point, Radians, Vec2, fit_through};
use crate::tolerance::{FACING_ACCURACY, JOINT};

/// Turns under this are none, radians: over a third of a metre they move nothing by a tenth of a millimetre.
const NO_TURN: f64 = 2e-4;

/// A line turned at its start and at its end by so much, each over a stretch so long, without a corner where it goes on as it was.
pub(super) fn turned_at_ends(
    line: &Curve,
    (start, end): (Radians, Radians),
    over: f64,
) -> Result<Curve, CurveError> {
    let length = line.length();
    let turned = |way, by: Radians| Motion::turn_about(Point::ORIGIN, by).apply_vec(way);
    let [mut first, middle, mut last] =
        [line.stretch(0.0, over)?, line.stretch(over, length - over)?, line.stretch(length - over, length)?];
    let drawn = |part: &Curve, (from, to): (Vec2, Vec2)| {
        fit_through(&[part.start(), part.end()], Some(from), Some(to), FACING_ACCURACY)
    };
    if start.0.abs() > NO_TURN {
        first = drawn(&first, (turned(first.start_tangent(), start), first.end_tangent()))?;
    }
    if end.0.abs() > NO_TURN {
        last = drawn(&last, (last.start_tangent(), turned(last.end_tangent(), end)))?;
    }
    first.joined_within(&middle, JOINT)?.joined_within(&last, JOINT)
}
