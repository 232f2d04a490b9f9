//! Outlines as straight lines: followed, asked what they hold, cut off at, and filled.

use kurbo::{BezPath, PathEl, Point, Rect, Vec2};

use crate::canvas::bounds_of;
use crate::curve::{crosses_ray, right_of};
use crate::tolerance::LABELS_FOLLOW;

/// A closed outline as straight lines.
pub(crate) type Ring = [(Point, Point)];

/// Whether a ring of points encloses a point: a ray from it crosses the ring an odd number of times.
pub(crate) fn holds(ring: &[Point], point: Point) -> bool {
    let edges = ring.iter().copied().zip(ring.iter().copied().cycle().skip(1));
    edges.filter(|edge| crosses_ray(point, *edge)).count() % 2 == 1
}

/// The points of a path, followed as finely as labels magnified so many times need.
pub(crate) fn points(path: &BezPath, magnified: f64) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path, LABELS_FOLLOW * magnified, |element| match element {
        PathEl::MoveTo(point) | PathEl::LineTo(point) => points.push(point),
        _ => {}
    });
    points
}

/// The straight lines of a path, followed as finely.
pub(crate) fn chords(path: &BezPath, magnified: f64) -> Vec<(Point, Point)> {
    let mut chords = Vec::new();
    let (mut start, mut last) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(path, LABELS_FOLLOW * magnified, |element| match element {
        PathEl::MoveTo(point) => (start, last) = (point, point),
        PathEl::LineTo(point) => {
            chords.push((last, point));
            last = point;
        }
        PathEl::ClosePath => {
            chords.push((last, start));
            last = start;
        }
        _ => {}
    });
    chords
}

/// How far along a ray, of a direction of length one, it crosses a ring, mm, in order.
pub(crate) fn crossings(ring: &Ring, from: Point, way: Vec2) -> Vec<f64> {
    let side = |point: Point| way.cross(point - from);
    let mut crossed: Vec<f64> = ring
        .iter()
        .map(|(a, b)| (*a, *b, side(*a), side(*b)))
        .filter(|(_, _, a, b)| (*a > 0.0) != (*b > 0.0))
        .map(|(a, b, off_a, off_b)| (a.lerp(b, off_a / (off_a - off_b)) - from).dot(way))
        .collect();
    crossed.sort_by(f64::total_cmp);
    crossed
}

/// Parallel lines over a box: where each begins, and how long it is.
pub(crate) fn rays(bounds: Rect, way: Vec2, apart: f64) -> impl Iterator<Item = (Point, f64)> {
    let reach = bounds.size().to_vec2().hypot() / 2.0;
    let across = right_of(way);
    let count = (reach / apart).ceil() as i32;
    let middle = bounds.center();
    (-count..=count).map(move |i| (middle + across * (f64::from(i) * apart) - way * reach, 2.0 * reach))
}

/// The parts of a straight line within a ring.
pub(crate) fn clipped(ring: &Ring, from: Point, to: Point) -> Vec<(Point, Point)> {
    let length = from.distance(to);
    if length == 0.0 {
        return Vec::new();
    }
    let way = (to - from) / length;
    let crossed = crossings(ring, from, way);
    let parts = crossed.chunks_exact(2).map(|pair| (pair[0].max(0.0), pair[1].min(length)));
    parts
        .filter(|(start, end)| end > start)
        .map(|(start, end)| (from + way * start, from + way * end))
        .collect()
}

/// Parallel lines over all that a ring encloses.
pub(crate) fn hatched(ring: &Ring, way: Vec2, apart: f64) -> Vec<(Point, Point)> {
    let bounds = bounds_of(ring.iter().map(|(start, _)| *start));
    rays(bounds, way, apart).flat_map(|(from, length)| clipped(ring, from, from + way * length)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_at_the_outline_and_fill_it() {
        let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 5.0), (0.0, 10.0)].map(Point::from);
        let ring: Vec<(Point, Point)> = (0..5).map(|i| (corners[i], corners[(i + 1) % 5])).collect();
        let parts = clipped(&ring, Point::new(-5.0, 8.0), Point::new(9.0, 8.0));
        let ends: Vec<(f64, f64)> = parts.iter().map(|(from, to)| (from.x, to.x)).collect();
        assert_eq!(ends, [(0.0, 2.0), (8.0, 9.0)]);
        let filled: f64 =
            hatched(&ring, Vec2::new(0.6, 0.8), 0.1).iter().map(|(from, to)| from.distance(*to) * 0.1).sum();
        assert!((filled - 75.0).abs() < 1.0, "{filled}");
    }
}
