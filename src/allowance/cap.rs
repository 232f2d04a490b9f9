//! The caps of darts' mouths.
//!
//! When a dart is sewn and pressed, the cloth between its legs lies doubled under the side it is pressed to, and must
//! end where that side's cutting line does. Laid out flat again, that line comes out twice, mirrored in the fold:
//!
//! ```text
//!   first leg run on │   apex   │ second leg run on
//!                    │  ╱│╲     │
//!   ─────────────────┼─╱ │ ╲────┼──────  cutting line
//!   ───────────────┐  ╲  │      ┌──────  seamline, mouth
//!                   ╲    │     ╱
//!                    ╲   │fold╱
//! ```
//!
//! With the dart closed, the lines beside the two sides are joined as at any corner; the part on the side pressed to
//! is reflected in that side's leg, which lays the first half of the dart out, and in the fold, which lays out the
//! second. Legs that curve are taken by their chord near the mouth.

use crate::allowance::CutShape;
use crate::allowance::corner::{Arm, Corner, Join, MitreTip};
use crate::allowance::way::SegmentWay;
use crate::curve::{Crossing, Curve, Motion, Point, Vec2};
use crate::tolerance::{LEG_CHORD, MITRE_REACH};

/// The mouth of a dart, seen from the side that it is pressed to.
pub(super) struct DartMouth {
    /// The mouth end on the side pressed to, and the other.
    pub ends: (Point, Point),
    /// Unit directions of the legs out of the mouth, in the same order.
    pub legs: (Vec2, Vec2),
}

/// Unit direction of a leg out of its mouth.
pub(super) fn out_of_mouth(leg: &Curve) -> Vec2 {
    (leg.start() - leg.point_at(LEG_CHORD)).normalize()
}

/// The cap: the join from the line of the side pressed to to the other, and its three points in that order.
pub(super) fn cap(opening: &DartMouth, pressed: &Arm, other: &Arm) -> Option<(Join, [Point; 3])> {
    let ((near, far), (near_out, far_out)) = (opening.ends, opening.legs);
    let close = Motion::carry((far, far + far_out), (near, near + near_out)).ok()?;
    let open = close.inverse();
    let corner = Corner::new(near, pressed.clone(), other.moved(&close));
    let joined = corner.mitre(MitreTip::CutOff);
    let closed = Closed::of(&corner, &joined)?;

    let width = (far - near).hypot();
    let span = MITRE_REACH * pressed.depth.max(other.depth) + 2.0 * width;
    let leg = Curve::line(near - span * near_out, near + span * near_out).ok()?;
    let off = |crossing: &Crossing| ((crossing.point - near).dot(near_out) - pressed.depth).abs();
    let at_leg = closed.line.crossings(&leg).into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;

    let underlay =
        closed.line.stretch((at_leg.at - span).max(0.0), at_leg.at).ok()?.reversed().run_on(0.0, span);
    let axis = (near_out + far_out).normalize();
    let middle = near.midpoint(far);
    let fold = Curve::line(middle - 2.0 * span * axis, middle + 2.0 * span * axis).ok()?;
    let in_leg = Motion::mirror_in(near, near + near_out).ok()?;
    let to_fold = |half: &Curve| {
        let at = half.crossings(&fold).into_iter().map(|crossing| crossing.at).min_by(f64::total_cmp)?;
        half.stretch(0.0, at).ok()
    };
    let halves = (to_fold(&underlay.moved(&in_leg))?, to_fold(&underlay.moved(&open))?);

    let mut way = SegmentWay::from(closed.line.point_at(closed.left.min(at_leg.at)));
    if let Ok(rest) = closed.line.stretch(closed.left, at_leg.at) {
        way.follow(&rest);
    }
    way.follow(&halves.0);
    let apex = way.at;
    let mut way = way.line_to(halves.1.end());
    way.follow(&halves.1.reversed());
    if let Ok(rest) = closed.line.stretch(at_leg.at, closed.taken_up) {
        way.follow(&rest.moved(&open));
    }
    let join = Join {
        shape: CutShape::Mitre,
        leave: (
            at_leg.at.min(closed.left),
            (closed.line.length() - at_leg.at).min(closed.line.length() - closed.taken_up),
        ),
        way: way.segments,
        ends: (at_leg.point, open.apply(at_leg.point)),
    };
    Some((join, [at_leg.point, apex, open.apply(at_leg.point)]))
}

/// The cutting line across the closed dart.
struct Closed {
    line: Curve,
    /// Distance walked on it at which the line of the side pressed to is left.
    left: f64,
    /// Distance walked on it at which the other side's line is taken up.
    taken_up: f64,
}

impl Closed {
    fn of(corner: &Corner, join: &Join) -> Option<Closed> {
        let before = corner.first.line.stretch(0.0, join.leave.0).ok()?;
        let after = corner.second.line.stretch(0.0, join.leave.1).ok()?.reversed();
        let (left, rest) = (before.length(), after.length());
        let mut line = before;
        if let Ok(way) = Curve::new(join.way.iter().copied()) {
            line = line.joined_within(&way, crate::tolerance::OFFSET_ACCURACY).ok()?;
        }
        let line = line.joined_within(&after, crate::tolerance::OFFSET_ACCURACY).ok()?;
        let taken_up = line.length() - rest;
        Some(Closed { line, left, taken_up })
    }
}
