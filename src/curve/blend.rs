//! Rounding the corner where one curve follows another.
//!
//! ```text
//!              corner
//!       before   ^   after
//!     ───────╮  / \  ╭───────     the last `reach` of one and the first `reach` of the other
//!             `·   ·´             give way to one cubic that is tangent to what it joins
//!           `·-- --·´
//! ```

use kurbo::{CubicBez, PathSeg, Point, Vec2};

use super::turn_between;
use super::{Curve, CurveError, MeasureKind};
use crate::tolerance::{LENGTH_ACCURACY, SAME_POINT};

/// A smooth curve in place of a corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    /// From `reach` before the corner to `reach` after it.
    pub curve: Curve,
    /// How much shorter it is than the two stretches it stands for, in mm.
    pub shortening: f64,
    /// How far it passes from the corner, in mm: positive on the inside of the corner, negative on the outside.
    pub leaves_corner_by: f64,
}

/// Handles of the plain blend as a share of the reach: with straight sides a parabola.
const PLAIN_HANDLES: f64 = 2.0 / 3.0;

/// The longest handles tried, as a share of the reach: with straight sides the cubic passes through the corner at 4/3
/// and turns back on itself at 2.
const LONGEST_HANDLES: f64 = 1.6;

/// The shortest handles tried, as a share of the reach: shorter ones bend as sharply as a corner.
const SHORTEST_HANDLES: f64 = 0.2;

/// Halvings of the range of handles; 50 leave nothing of it.
const HALVINGS: usize = 50;

/// Replaces the corner where `before` ends and `after` begins by one cubic that reaches a length in mm along each.
///
/// # Errors
///
/// [`CurveError::Gap`] where the two do not meet within [`SAME_POINT`], [`CurveError::BadMeasure`] for a reach that is
/// not positive, [`CurveError::ReachTooLong`] where one of the two is shorter.
pub fn blend_corner(before: &Curve, after: &Curve, reach: f64) -> Result<Blend, CurveError> {
    BlendedCorner::new(before, after, reach)?.blend(PLAIN_HANDLES)
}

/// As [`blend_corner`], with handles scaled so that the length comes as near as it can to a wished one in mm.
///
/// The curve may pass outside the corner by at most `most_departure` mm, and inside by at most that or by what the
/// plain blend passes, whichever is more.
///
/// # Errors
///
/// As [`blend_corner`]; [`CurveError::BadMeasure`] for a wished length or a departure that is negative or not finite.
pub fn blend_corner_to_length(
    before: &Curve,
    after: &Curve,
    reach: f64,
    wished_length: f64,
    most_departure: f64,
) -> Result<Blend, CurveError> {
    check_measure(MeasureKind::Length, wished_length)?;
    check_measure(MeasureKind::Departure, most_departure)?;
    let corner = BlendedCorner::new(before, after, reach)?;
    let plain = corner.blend(PLAIN_HANDLES)?;
    let longer = wished_length > plain.curve.length();
    let most_inside = most_departure.max(plain.leaves_corner_by);
    let allowed =
        |blend: &Blend| blend.leaves_corner_by >= -most_departure && blend.leaves_corner_by <= most_inside;
    let short_of_wish = |blend: &Blend| {
        if longer { blend.curve.length() < wished_length } else { blend.curve.length() > wished_length }
    };
    let (mut near, mut far) = (PLAIN_HANDLES, if longer { LONGEST_HANDLES } else { SHORTEST_HANDLES });
    let mut best = plain;
    if (best.curve.length() - wished_length).abs() <= LENGTH_ACCURACY {
        return Ok(best);
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(near, far);
        let tried = corner.blend(middle)?;
        if allowed(&tried) && short_of_wish(&tried) {
            near = middle;
            best = tried;
        } else {
            far = middle;
        }
    }
    Ok(best)
}

fn check_measure(what: MeasureKind, value: f64) -> Result<(), CurveError> {
    if value.is_finite() && value >= 0.0 { Ok(()) } else { Err(CurveError::BadMeasure { what, value }) }
}

/// The corner, and what the blend has to meet on either side of it.
struct BlendedCorner {
    point: Point,
    turn: f64,
    reach: f64,
    from: (Point, Vec2),
    to: (Point, Vec2),
}

impl BlendedCorner {
    fn new(before: &Curve, after: &Curve, reach: f64) -> Result<BlendedCorner, CurveError> {
        let gap = (after.start() - before.end()).hypot();
        if gap > SAME_POINT {
            return Err(CurveError::Gap { from: before.end(), to: after.start(), gap });
        }
        if !(reach.is_finite() && reach > SAME_POINT) {
            return Err(CurveError::BadMeasure { what: MeasureKind::Reach, value: reach });
        }
        let available = before.length().min(after.length());
        if reach > available + SAME_POINT {
            return Err(CurveError::ReachTooLong { reach, available });
        }
        let start = (before.length() - reach).max(0.0);
        let from = (before.point_at(start), before.tangent_before(start));
        let to = (after.point_at(reach), after.tangent_at(reach));
        Ok(BlendedCorner {
            point: before.end(),
            turn: turn_between(before.end_tangent(), after.start_tangent()).0,
            reach,
            from,
            to,
        })
    }

    fn blend(&self, handles: f64) -> Result<Blend, CurveError> {
        let length = handles * self.reach;
        let (from, to) = (self.from, self.to);
        let cubic = CubicBez::new(from.0, from.0 + length * from.1, to.0 - length * to.1, to.0);
        let curve = Curve::new([PathSeg::Cubic(cubic)])?;
        let near = curve.nearest(self.point);
        let aside = curve.tangent_at(near.at).cross(self.point - near.point);
        let inside = aside * self.turn <= 0.0;
        let leaves_corner_by = if inside { near.distance } else { -near.distance };
        let shortening = 2.0 * self.reach - curve.length();
        Ok(Blend { curve, shortening, leaves_corner_by })
    }
}
