//! Lines inside a cutting line, and how they run on where the cutting line does not reach.

use kurbo::{CubicBez, PathSeg, Vec2};

use crate::allowance::take_off::DrawnEdge;
use crate::allowance::take_off::error::TakeOffError;
use crate::curve::{Curve, offset};
use crate::tolerance::{BEND_KEPT, BEND_SEEN, SHARPEST_RUN_ON, TAKE_OFF_ACCURACY};

/// The line inside a stretch of a cutting line, at the edge's allowance.
pub(super) fn inside(line: &Curve, edge: &DrawnEdge) -> Result<Curve, TakeOffError> {
    let allowance = edge.allowance.mm();
    offset(line, -allowance, TAKE_OFF_ACCURACY).map_err(|source| TakeOffError::Inside {
        edge: edge.name.clone(),
        allowance,
        source,
    })
}

/// A line run on at both ends with the bend it has there.
pub(super) struct RunOn {
    pub line: Curve,
    /// The walk distances between which it is the line itself.
    pub own: (f64, f64),
}

impl RunOn {
    pub fn of(line: &Curve, before: f64, after: f64) -> RunOn {
        let ahead = bent_on(&bent_on(&line.reversed(), before).reversed(), after);
        let from = bent_on(&line.reversed(), before).length() - line.length();
        RunOn { line: ahead, own: (from, from + line.length()) }
    }
}

/// By how much a line that runs on so far with the bend it has may be off, mm: the bend is taken to change by its own
/// size over [`BEND_KEPT`].
pub(super) fn doubt(bend: f64, reach: f64) -> f64 {
    bend.abs() * reach.powi(3) / (6.0 * BEND_KEPT)
}

/// The curvature with which a line ends, 1/mm; none where it is too sharp to be that of a seamline.
pub(super) fn end_bend(line: &Curve) -> f64 {
    let length = line.length();
    let last = line
        .segments()
        .last()
        .map_or(0.0, |segment| Curve::new([*segment]).map_or(0.0, |segment| segment.length()));
    let bend = if last >= BEND_SEEN {
        line.curvature_at(length)
    } else {
        let seen = BEND_SEEN.min(length);
        let (from, to) = (line.tangent_at(length - seen), line.end_tangent());
        from.cross(to).atan2(from.dot(to)) / seen
    };
    if bend.abs() <= 1.0 / SHARPEST_RUN_ON { bend } else { 0.0 }
}

/// The line run on along the circle that it ends on, no further round than a quarter.
fn bent_on(line: &Curve, reach: f64) -> Curve {
    let bend = end_bend(line);
    if bend.abs() * reach <= 1e-9 {
        return line.run_on(0.0, reach);
    }
    let quarter = std::f64::consts::FRAC_PI_2 / bend.abs();
    let round = reach.min(quarter);
    let (along, out) = (line.end_tangent(), Vec2::new(-line.end_tangent().y, line.end_tangent().x));
    let angle = bend * round / 2.0;
    let handle = 4.0 / 3.0 * (angle / 4.0).tan() / bend;
    let turned = |angle: f64| {
        (
            angle.cos() * along + angle.sin() * out,
            line.end() + (angle.sin() * along + (1.0 - angle.cos()) * out) / bend,
        )
    };
    let places = [turned(0.0), turned(angle), turned(2.0 * angle)];
    let arc = places.windows(2).map(|pair| {
        let ((from_along, from), (to_along, to)) = (pair[0], pair[1]);
        PathSeg::Cubic(CubicBez::new(from, from + handle * from_along, to - handle * to_along, to))
    });
    let whole = Curve::new(line.segments().iter().copied().chain(arc));
    whole.unwrap_or_else(|_| line.clone()).run_on(0.0, reach - round)
}
