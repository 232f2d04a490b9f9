//! The curves of the drafting board: fair curves between two points, walking, cutting, solving.

use kurbo::{
    BezPath, CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathEl, PathSeg, Point, Vec2,
};

/// Accuracy of every length, in millimetres: far under the 0.0001 mm to which a sheet is written.
const ACCURACY: f64 = 1e-10;

/// Halvings of a solved interval: 80 take any interval on the board below rounding.
const HALVINGS: usize = 80;

/// A point of a path and the direction of travel there.
#[derive(Clone, Copy, Debug)]
pub struct Station {
    pub at: Point,
    /// Unit tangent.
    pub along: Vec2,
}

/// The unit vector at `degrees` clockwise as seen from the direction to the right.
pub fn heading(degrees: f64) -> Vec2 {
    Vec2::from_angle(degrees.to_radians())
}

/// `v` turned by a right angle clockwise as seen (y runs down).
pub fn square_to(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}

/// A straight path.
pub fn line(from: Point, to: Point) -> BezPath {
    path_of([PathSeg::Line(Line::new(from, to))])
}

/// One cubic from `from`, leaving by the vector `leave`, to `to`, arriving by the vector `arrive`;
/// the vectors are the handles themselves, their lengths in millimetres.
pub fn curve(from: Point, leave: Vec2, to: Point, arrive: Vec2) -> BezPath {
    let cubic = CubicBez::new(from, from + leave, to - arrive, to);
    path_of([PathSeg::Cubic(cubic)])
}

/// A cubic between two points that leaves and arrives in the given directions, with handles of a
/// third of the chord: a parabola where the directions allow one.
pub fn fair(from: Point, leave: Vec2, to: Point, arrive: Vec2) -> BezPath {
    let handle = (to - from).hypot() / 3.0;
    curve(from, leave.normalize() * handle, to, arrive.normalize() * handle)
}

/// Paths that follow one another as one path.
pub fn chain<'a>(parts: impl IntoIterator<Item = &'a BezPath>) -> BezPath {
    path_of(parts.into_iter().flat_map(|part| part.segments()))
}

/// The path in the opposite direction.
pub fn reversed(path: &BezPath) -> BezPath {
    path.reverse_subpaths()
}

/// Length of a path in millimetres.
pub fn length(path: &BezPath) -> f64 {
    path.segments().map(|part| part.arclen(ACCURACY)).sum()
}

/// First point of a path.
pub fn start(path: &BezPath) -> Point {
    segments(path)[0].start()
}

/// Last point of a path.
pub fn end(path: &BezPath) -> Point {
    segments(path)[path.segments().count() - 1].end()
}

/// The point at the walk distance `walked` from the start of the path, and the direction there.
pub fn station(path: &BezPath, walked: f64) -> Station {
    let (part, at) = part_at(path, walked);
    let segment = segments(path)[part];
    let along = match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(at).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(at).to_vec2(),
    };
    Station { at: segment.eval(at), along: along.normalize() }
}

/// The path cut in two at a walk distance.
pub fn cut_at(path: &BezPath, walked: f64) -> (BezPath, BezPath) {
    let (part, at) = part_at(path, walked);
    let parts = segments(path);
    let before = parts[..part].iter().copied().chain([parts[part].subsegment(0.0..at)]);
    let after = [parts[part].subsegment(at..1.0)].into_iter().chain(parts[part + 1..].iter().copied());
    (path_of(before), path_of(after))
}

/// Walk distance from the start of a path that runs down (or up) the board to the height `y`.
pub fn walk_to_height(path: &BezPath, y: f64) -> f64 {
    let descent = (end(path).y - start(path).y).signum();
    solve(0.0, length(path), |walked| (station(path, walked).at.y - y) * descent)
}

/// The smooth curve (of continuous curvature) down through `points` that are one below the other,
/// with the given sideways lean (dx by dy) at its first and last point.
///
/// A cubic spline of x by y with clamped ends: the curve of a thin batten held by pins.
pub fn down_through(points: &[Point], first_lean: f64, last_lean: f64) -> BezPath {
    let leans = batten_leans(points, first_lean, last_lean);
    let parts = points.windows(2).zip(leans.windows(2)).map(|(pin, lean)| {
        let third = (pin[1].y - pin[0].y) / 3.0;
        PathSeg::Cubic(CubicBez::new(
            pin[0],
            pin[0] + Vec2::new(lean[0], 1.0) * third,
            pin[1] - Vec2::new(lean[1], 1.0) * third,
            pin[1],
        ))
    });
    path_of(parts)
}

/// The root of a function that rises from below zero at `low` to above zero at `high`.
///
/// # Panics
/// When the function has no such root: the draft cannot be made for these measures.
pub fn solve(low: f64, high: f64, rises: impl Fn(f64) -> f64) -> f64 {
    let slack = 1e-9;
    assert!(
        rises(low) <= slack && rises(high) >= -slack,
        "nothing between {low} and {high} fits: {} to {}",
        rises(low),
        rises(high)
    );
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if rises(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Leans at the pins of a clamped cubic spline, by the tridiagonal equations of equal curvature.
fn batten_leans(points: &[Point], first: f64, last: f64) -> Vec<f64> {
    let count = points.len();
    let mut leans = vec![first; count];
    leans[count - 1] = last;
    let sweeps = 200;
    for _ in 0..sweeps {
        for i in 1..count - 1 {
            let above = points[i].y - points[i - 1].y;
            let below = points[i + 1].y - points[i].y;
            let slope_above = (points[i].x - points[i - 1].x) / above;
            let slope_below = (points[i + 1].x - points[i].x) / below;
            let pull = 3.0 * (slope_above / above + slope_below / below);
            leans[i] =
                (pull - leans[i - 1] / above - leans[i + 1] / below) / (2.0 * (1.0 / above + 1.0 / below));
        }
    }
    leans
}

fn segments(path: &BezPath) -> Vec<PathSeg> {
    path.segments().collect()
}

/// Index of the segment at a walk distance, and the parameter within it.
fn part_at(path: &BezPath, walked: f64) -> (usize, f64) {
    let parts = segments(path);
    let mut left = walked.max(0.0);
    for (index, part) in parts.iter().enumerate() {
        let whole = part.arclen(ACCURACY);
        if left < whole {
            return (index, part.inv_arclen(left, ACCURACY).clamp(0.0, 1.0));
        }
        left -= whole;
    }
    (parts.len() - 1, 1.0)
}

fn path_of(parts: impl IntoIterator<Item = PathSeg>) -> BezPath {
    let mut path = BezPath::new();
    for part in parts {
        if path.elements().is_empty() {
            path.move_to(part.start());
        }
        path.push(match part {
            PathSeg::Line(line) => PathEl::LineTo(line.p1),
            PathSeg::Quad(quad) => PathEl::QuadTo(quad.p1, quad.p2),
            PathSeg::Cubic(cubic) => PathEl::CurveTo(cubic.p1, cubic.p2, cubic.p3),
        });
    }
    path
}
