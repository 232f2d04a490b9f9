//! Polygons that stand for cutting lines: never inside the line, and no more than a little outside.

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveExtrema, PathEl, PathSeg, Point, Shape, Vec2};

use crate::curve::{Curve, CurveError, left_of, trim_positive, turn_between};
use crate::tolerance::{LAY_FLATTENING, LAY_TIP_KEPT, SAME_POINT};

/// How often a curve is halved at most.
const MOST_HALVINGS: u32 = 12;

/// The corners of a polygon around a closed path that runs clockwise as seen: it holds the whole path, and keeps within
/// [`LAY_FLATTENING`] of it. Around a path that runs the other way it is the polygon that the path holds.
pub(crate) fn around(path: &BezPath) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    for segment in path.segments() {
        match segment {
            PathSeg::Line(line) => corners.push(line.p0),
            other => {
                let cubic = other.to_cubic();
                for (from, to) in spans(&cubic) {
                    add_span(&mut corners, &cubic.subsegment(from..to), MOST_HALVINGS);
                }
            }
        }
    }
    corners.dedup_by(|a, b| a.distance(*b) <= SAME_POINT);
    while corners.len() > 1 && corners[0].distance(corners[corners.len() - 1]) <= SAME_POINT {
        corners.pop();
    }
    without_straight_on(&corners)
}

/// The corners without those at which the way goes straight on.
fn without_straight_on(corners: &[Point]) -> Vec<Point> {
    let count = corners.len();
    let turns = |i: &usize| {
        let (before, at, after) = (corners[(i + count - 1) % count], corners[*i], corners[(i + 1) % count]);
        let (arriving, leaving) = (at - before, after - at);
        arriving.cross(leaving).abs() > SAME_POINT * (after - before).hypot() || arriving.dot(leaving) <= 0.0
    };
    (0..count).filter(turns).map(|i| corners[i]).collect()
}

/// Stretches of a cubic that bend one way and have their outermost places at their ends.
fn spans(cubic: &CubicBez) -> Vec<(f64, f64)> {
    let mut cuts: Vec<f64> = vec![0.0, 1.0];
    cuts.extend(cubic.inflections().into_iter().chain(cubic.extrema()));
    cuts.retain(|cut| (0.0..=1.0).contains(cut));
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    cuts.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Adds the first end of a stretch, and where it bulges outward the place where its tangents meet.
fn add_span(corners: &mut Vec<Point>, cubic: &CubicBez, halvings: u32) {
    let Ok(curve) = Curve::new([PathSeg::Cubic(*cubic)]) else { return };
    let chord = cubic.p3 - cubic.p0;
    let (start, end) = (curve.start_tangent(), curve.end_tangent());
    let bend = start.cross(end);
    let outward = left_of(chord);
    let meeting = (bend.abs() > f64::EPSILON && start.dot(end) > 0.0).then(|| {
        let along = chord.cross(end) / bend;
        cubic.p0 + start * along
    });
    let off = meeting.map(|meeting| (meeting - cubic.p0).cross(chord).abs() / chord.hypot().max(SAME_POINT));
    // The curve runs half-way between its chord and the place where its tangents meet.
    let flat = off.map_or(start.dot(end) > 0.0, |off| off <= 2.0 * LAY_FLATTENING);
    if !flat && halvings > 0 {
        add_span(corners, &cubic.subsegment(0.0..0.5), halvings - 1);
        add_span(corners, &cubic.subsegment(0.5..1.0), halvings - 1);
        return;
    }
    corners.push(cubic.p0);
    corners.extend(meeting.filter(|meeting| (*meeting - cubic.p0).dot(outward) > 0.0));
}

/// A polygon that runs clockwise as seen, grown outward all round by a distance in mm, or by a little more at corners.
///
/// # Errors
///
/// Where the grown line cannot be freed of the loops that hollows leave in it.
pub(crate) fn grown(polygon: &[Point], by: f64) -> Result<Vec<Point>, CurveError> {
    if by <= 0.0 {
        return Ok(polygon.to_vec());
    }
    let mut raw: Vec<Point> = Vec::new();
    let count = polygon.len();
    for (i, at) in polygon.iter().enumerate() {
        let (before, after) = (polygon[(i + count - 1) % count], polygon[(i + 1) % count]);
        grow_corner(&mut raw, *at - before, *at, after - *at, by);
    }
    let mut path = BezPath::new();
    for (i, point) in raw.iter().enumerate() {
        path.push(if i == 0 { PathEl::MoveTo(*point) } else { PathEl::LineTo(*point) });
    }
    path.close_path();
    let contours = trim_positive(&path)?;
    let largest = contours.into_iter().max_by(|a, b| a.area().total_cmp(&b.area()));
    let mut points: Vec<Point> =
        largest.unwrap_or_default().segments().map(|segment| segment.start()).collect();
    points.dedup_by(|a, b| a.distance(*b) <= SAME_POINT);
    Ok(points)
}

fn grow_corner(raw: &mut Vec<Point>, arriving: Vec2, at: Point, leaving: Vec2, by: f64) {
    let (a, b) = (arriving.normalize(), leaving.normalize());
    let (out_a, out_b) = (left_of(a), left_of(b));
    let turn = turn_between(a, b).0;
    if turn > LAY_TIP_KEPT {
        let on = by * (turn / 4.0).tan();
        raw.extend([at + out_a * by + a * on, at + out_b * by - b * on]);
    } else if turn >= 0.0 || by * (-turn / 2.0).tan() < 0.5 * arriving.hypot().min(leaving.hypot()) {
        raw.push(at + (out_a + out_b) * (by / (1.0 + out_a.dot(out_b))));
    } else {
        raw.extend([at + out_a * by, at, at + out_b * by]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::polygon_area as area;

    #[test]
    fn the_polygon_holds_its_circle_and_is_held_by_the_reversed_one() {
        let circle = kurbo::Circle::new((300.0, 200.0), 120.0).to_path(0.01);
        let circle = if circle.area() < 0.0 { circle.reverse_subpaths() } else { circle };
        let (outside, inside) = (around(&circle), around(&circle.reverse_subpaths()));
        let far = |points: &[Point]| {
            points.iter().map(|p| p.distance(Point::new(300.0, 200.0))).fold(0.0, f64::max)
        };
        assert!(far(&outside) <= 120.01 + LAY_FLATTENING, "{}", far(&outside));
        assert!(area(&outside) > circle.area() && -area(&inside) < circle.area());
        assert!(outside.len() < 150, "{}", outside.len());
        let least = outside.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
        approx::assert_abs_diff_eq!(least, 180.0, epsilon = 1e-3);
    }

    /// Steiner's formula with mitred corners: area + perimeter · d + 4 d² for a square.
    #[test]
    fn a_square_grows_by_its_edge_and_a_notch_in_it_closes() {
        let square = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)].map(Point::from);
        let bigger = area(&grown(&square, 2.0).expect("grown"));
        let corners = 4.0 * 4.0 * 2.0 * (std::f64::consts::FRAC_PI_8).tan();
        approx::assert_abs_diff_eq!(bigger, 104.0 * 104.0, epsilon = 16.0 - corners / 4.0);
        let notched =
            [(0.0, 0.0), (49.0, 0.0), (50.0, 40.0), (51.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)];
        let closed = grown(&notched.map(Point::from), 2.0).expect("grown");
        assert!(area(&closed) > 100.0 * 100.0, "{}", area(&closed));
        assert_eq!(grown(&square, 0.0).expect("grown"), square);
    }
}
