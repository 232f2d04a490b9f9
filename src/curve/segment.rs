//! What can be asked of one line or cubic.

use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathSeg, Point, Rect, Vec2};

use crate::tolerance::{LENGTH_ACCURACY, PLACE_ACCURACY, SAME_POINT};

/// Length of a segment in mm.
pub(super) fn length(segment: &PathSeg) -> f64 {
    segment.arclen(LENGTH_ACCURACY)
}

/// Length in mm from a segment's start to the parameter `t`.
pub(super) fn length_to(segment: &PathSeg, t: f64) -> f64 {
    match segment {
        PathSeg::Line(line) => t * (line.p1 - line.p0).hypot(),
        _ if t <= 0.0 => 0.0,
        _ => segment.subsegment(0.0..t).arclen(PLACE_ACCURACY),
    }
}

/// A place within a segment.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct WithinSegment {
    /// The parameter.
    pub t: f64,
    /// The length from the segment's start, mm.
    pub walked: f64,
}

/// The parameter at a length from a segment's start; `whole` is the segment's length. Clamped to 0..=1; NaN gives 0.
pub(super) fn parameter_at(segment: &PathSeg, s: f64, whole: f64) -> f64 {
    reached(segment, WithinSegment::default(), s, whole).t
}

/// The place at a length from a segment's start, looked for from one that does not lie beyond it.
pub(super) fn reached(segment: &PathSeg, from: WithinSegment, s: f64, whole: f64) -> WithinSegment {
    if s.is_nan() || s <= 0.0 {
        return WithinSegment::default();
    }
    if s >= whole {
        return WithinSegment { t: 1.0, walked: whole };
    }
    match segment {
        PathSeg::Line(_) => WithinSegment { t: s / whole, walked: s },
        _ => walked_on_cubic(&segment.to_cubic(), from, s, whole),
    }
}

/// How many steps Newton's method may take to a length; where it strays it is led back by halving what holds the place.
const MOST_LENGTH_STEPS: usize = 60;

/// The place at a length within a cubic, by Newton's method: a length grows by the speed of travel. Each step adds only
/// what lies between the last place and the next, which is short, and cheap to measure.
fn walked_on_cubic(cubic: &CubicBez, from: WithinSegment, s: f64, whole: f64) -> WithinSegment {
    let speed = cubic.deriv();
    let (mut low, mut high) = (from.t, 1.0);
    let mut t = from.t + (s - from.walked) / (whole - from.walked) * (1.0 - from.t);
    let mut walked = from.walked + cubic.subsegment(from.t..t).arclen(LENGTH_ACCURACY);
    for _ in 0..MOST_LENGTH_STEPS {
        let off = walked - s;
        if off.abs() <= PLACE_ACCURACY {
            break;
        }
        if off > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let aimed = t - off / speed.eval(t).to_vec2().hypot();
        let next = if aimed > low && aimed < high { aimed } else { (low + high) / 2.0 };
        if next == t {
            break;
        }
        let between = cubic.subsegment(t.min(next)..t.max(next)).arclen(LENGTH_ACCURACY);
        walked += if next > t { between } else { -between };
        t = next;
    }
    WithinSegment { t, walked }
}

/// The point at `t`, bit-equal to the segment's ends at 0 and 1.
pub(super) fn point(segment: &PathSeg, t: f64) -> Point {
    if t <= 0.0 {
        segment.start()
    } else if t >= 1.0 {
        segment.end()
    } else {
        segment.eval(t)
    }
}

/// The part between two parameters, with the ends that [`point`] gives.
pub(super) fn part(segment: &PathSeg, from: f64, to: f64) -> PathSeg {
    if from <= 0.0 && to >= 1.0 {
        return *segment;
    }
    let cut = segment.subsegment(from..to);
    with_ends(&cut, point(segment, from), point(segment, to), Handles::Keep)
}

/// What becomes of the control points when the ends of a segment move.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Handles {
    /// They stay where they are.
    Keep,
    /// Each moves with its end.
    Carry,
}

/// The segment with other ends.
pub(super) fn with_ends(segment: &PathSeg, start: Point, end: Point, handles: Handles) -> PathSeg {
    match segment {
        PathSeg::Line(_) => PathSeg::Line(kurbo::Line::new(start, end)),
        _ => {
            let mut cubic = segment.to_cubic();
            if handles == Handles::Carry {
                cubic.p1 += start - cubic.p0;
                cubic.p2 += end - cubic.p3;
            }
            cubic.p0 = start;
            cubic.p3 = end;
            PathSeg::Cubic(cubic)
        }
    }
}

/// The points that define the segment, of which four are returned for lines too.
pub(super) fn control_points(segment: &PathSeg) -> [Point; 4] {
    match segment {
        PathSeg::Line(line) => [line.p0, line.p0, line.p1, line.p1],
        _ => {
            let cubic = segment.to_cubic();
            [cubic.p0, cubic.p1, cubic.p2, cubic.p3]
        }
    }
}

/// A box that holds the segment: that of its control points.
pub fn control_box(segment: &PathSeg) -> Rect {
    let [a, b, c, d] = control_points(segment);
    Rect::from_points(a, b).union(Rect::from_points(c, d))
}

/// Unit direction of travel at the segment's start.
pub(super) fn start_tangent(segment: &PathSeg) -> Vec2 {
    let [a, b, c, d] = control_points(segment);
    first_direction(a, [b, c, d])
}

/// Unit direction of travel at the segment's end.
pub(super) fn end_tangent(segment: &PathSeg) -> Vec2 {
    let [a, b, c, d] = control_points(segment);
    -first_direction(d, [c, b, a])
}

/// The direction from `from` to the first of the points that lies apart from it.
///
/// A handle that lies on its end leaves the tangent to the next control point: the limit of the tangent there.
fn first_direction(from: Point, points: [Point; 3]) -> Vec2 {
    points
        .into_iter()
        .map(|point| point - from)
        .find(|apart| apart.hypot() > SAME_POINT)
        .map_or(Vec2::new(1.0, 0.0), Vec2::normalize)
}

/// Unit direction of travel at `t`; at a cusp that of the handles on the side of the nearer end.
pub(super) fn tangent(segment: &PathSeg, t: f64) -> Vec2 {
    if t <= 0.0 {
        return start_tangent(segment);
    }
    if t >= 1.0 {
        return end_tangent(segment);
    }
    let along = derivative(segment, t);
    if along.hypot() > SAME_POINT {
        along.normalize()
    } else if t < 0.5 {
        start_tangent(&segment.subsegment(t..1.0))
    } else {
        end_tangent(&segment.subsegment(0.0..t))
    }
}

/// The derivative at `t`.
pub(super) fn derivative(segment: &PathSeg, t: f64) -> Vec2 {
    match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        _ => segment.to_cubic().deriv().eval(t).to_vec2(),
    }
}

/// The greatest length of the second derivative, or more: nothing on a line.
pub(super) fn sharpest(segment: &PathSeg) -> f64 {
    let [a, b, c, d] = control_points(segment);
    match segment {
        PathSeg::Line(_) => 0.0,
        _ => 6.0 * ((a - b) + (c - b)).hypot().max(((b - c) + (d - c)).hypot()),
    }
}

/// Curvature at `t` in 1/mm, positive where travel bends clockwise as seen; 0 where the segment stands still.
pub(super) fn curvature(segment: &PathSeg, t: f64) -> f64 {
    let PathSeg::Cubic(cubic) = segment else {
        return 0.0;
    };
    let first = cubic.deriv();
    let along = first.eval(t).to_vec2();
    let bend = first.deriv().eval(t).to_vec2();
    let speed = along.hypot();
    if speed > SAME_POINT { along.cross(bend) / speed.powi(3) } else { 0.0 }
}

/// Whether all control points lie within a distance of the chord and in its order.
pub(super) fn runs_straight(segment: &PathSeg, within: f64) -> bool {
    let [a, b, c, d] = control_points(segment);
    let chord = d - a;
    let reach = chord.hypot();
    if reach <= SAME_POINT {
        return false;
    }
    let along = |p: Point| (p - a).dot(chord) / reach;
    off_chord(segment) <= within
        && along(b) >= -within
        && along(b) <= along(c) + within
        && along(c) <= reach + within
}

/// The greatest distance of a control point from the line through both ends (from the start where they coincide).
pub(super) fn off_chord(segment: &PathSeg) -> f64 {
    let [a, b, c, d] = control_points(segment);
    let chord = d - a;
    let reach = chord.hypot();
    let off = |p: Point| {
        if reach <= SAME_POINT { (p - a).hypot() } else { (p - a).cross(chord).abs() / reach }
    };
    off(b).max(off(c))
}

/// The length of the control polygon, an upper bound of the segment's length.
pub(super) fn control_length(segment: &PathSeg) -> f64 {
    let [a, b, c, d] = control_points(segment);
    (b - a).hypot() + (c - b).hypot() + (d - c).hypot()
}

/// The two parameters at which a cubic passes through the same point, if it has a loop inside 0..=1.
///
/// With `B(t) = a t³ + b t² + c t + d`, `B(t) = B(u)` divided by `t − u` is `a (p² − q) + b p + c = 0` for `p = t + u`
/// and `q = t u`; its cross and dot products with `a` give `p` and `q`.
pub(super) fn double_point(cubic: &CubicBez) -> Option<(f64, f64)> {
    let [p0, p1, p2, p3] = [cubic.p0, cubic.p1, cubic.p2, cubic.p3].map(Point::to_vec2);
    let a = p3 - 3.0 * p2 + 3.0 * p1 - p0;
    let b = 3.0 * (p2 - 2.0 * p1 + p0);
    let c = 3.0 * (p1 - p0);
    let bend = b.cross(a);
    if bend == 0.0 || a.hypot2() == 0.0 {
        return None;
    }
    let p = -c.cross(a) / bend;
    let q = p * p + (a.dot(b) * p + a.dot(c)) / a.hypot2();
    let spread = p * p - 4.0 * q;
    if spread.is_nan() || spread <= 0.0 {
        return None;
    }
    let (t, u) = ((p - spread.sqrt()) / 2.0, (p + spread.sqrt()) / 2.0);
    (t >= 0.0 && u <= 1.0).then_some((t, u))
}
