//! The inside of a closed line, finely enough for the final check.

use kurbo::{BezPath, PathEl, Point, Rect};

use crate::curve::{crosses_ray, distance_squared};
use crate::tolerance::{CHECK_FLATTENING, CHECK_STEP};

/// Height of the rows by which edges are found, mm.
const ROW: f64 = 8.0;

/// The inside of a closed line.
pub(super) struct Inside {
    points: Vec<Point>,
    rows: Vec<Vec<usize>>,
    pub(super) bounds: Rect,
}

impl Inside {
    pub(super) fn of(path: &BezPath) -> Inside {
        let mut points: Vec<Point> = Vec::new();
        kurbo::flatten(path, CHECK_FLATTENING, |element| {
            if !matches!(element, PathEl::ClosePath) {
                points.extend(element.end_point());
            }
        });
        points.dedup();
        if points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        let first = points.first().copied().unwrap_or_default();
        let bounds =
            points.iter().fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(*point));
        let count = (bounds.height() / ROW).floor() as usize + 1;
        let mut region = Inside { points, rows: vec![Vec::new(); count], bounds };
        for edge in 0..region.points.len() {
            let (a, b) = region.edge(edge);
            for row in region.rows_between(a.y.min(b.y), a.y.max(b.y)) {
                region.rows[row].push(edge);
            }
        }
        region
    }

    fn edge(&self, index: usize) -> (Point, Point) {
        (self.points[index], self.points[(index + 1) % self.points.len()])
    }

    fn rows_between(&self, from: f64, to: f64) -> std::ops::Range<usize> {
        let row = |y: f64| ((y - self.bounds.y0) / ROW).floor().max(0.0) as usize;
        row(from).min(self.rows.len())..(row(to) + 1).min(self.rows.len())
    }

    /// Places on the line, all corners among them.
    pub(super) fn places(&self) -> impl Iterator<Item = Point> {
        (0..self.points.len()).flat_map(|index| {
            let (a, b) = self.edge(index);
            let steps = (a.distance(b) / CHECK_STEP).ceil().max(1.0) as usize;
            (0..steps).map(move |i| a.lerp(b, i as f64 / steps as f64))
        })
    }

    /// How deep a place lies inside, mm: negative outside. Beyond a reach it is the reach, with its sign.
    pub(super) fn depth(&self, place: Point, reach: f64) -> f64 {
        let inside = self.holds(place);
        let rows = self.rows_between(place.y - reach, place.y + reach);
        let near = rows.flat_map(|row| &self.rows[row]);
        let near = near.map(|edge| distance_squared(place, self.edge(*edge)).sqrt());
        let off = near.fold(reach, f64::min);
        if inside { off } else { -off }
    }

    fn holds(&self, place: Point) -> bool {
        if place.y < self.bounds.y0 || place.y > self.bounds.y1 {
            return false;
        }
        let near = self.rows_between(place.y, place.y).flat_map(|row| &self.rows[row]);
        near.filter(|edge| crosses_ray(place, self.edge(**edge))).count() % 2 == 1
    }
}

/// How deep the line of one region lies within another, mm, at its deepest; less than nothing where the two keep apart.
/// Beyond a reach it is the reach.
pub(super) fn deepest(line: &Inside, within: &Inside, reach: f64) -> f64 {
    let bounds = within.bounds.inflate(reach, reach);
    let near = line.places().filter(|place| bounds.contains(*place));
    near.map(|place| within.depth(place, reach)).fold(-reach, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    #[test]
    fn depths_are_told_on_either_side_of_a_line() {
        let circle = Inside::of(&kurbo::Circle::new((100.0, 100.0), 50.0).to_path(1e-9));
        for (x, expected) in [(100.0, 20.0), (145.0, 5.0), (152.0, -2.0), (190.0, -20.0)] {
            approx::assert_abs_diff_eq!(circle.depth(Point::new(x, 100.0), 20.0), expected, epsilon = 0.002);
        }
        let other = Inside::of(&Rect::new(149.0, 0.0, 400.0, 200.0).to_path(0.1));
        approx::assert_abs_diff_eq!(deepest(&circle, &other, 10.0), 1.0, epsilon = 0.01);
        let apart = Inside::of(&Rect::new(153.0, 0.0, 400.0, 200.0).to_path(0.1));
        approx::assert_abs_diff_eq!(deepest(&circle, &apart, 10.0), -3.0, epsilon = 0.01);
    }

    /// A cross of two bars: no corner of either lies within the other.
    #[test]
    fn bars_that_cross_are_found_though_no_corner_lies_inside() {
        let bar = |rect: Rect| Inside::of(&rect.to_path(0.1));
        let (flat, tall) = (bar(Rect::new(0.0, 50.0, 200.0, 60.0)), bar(Rect::new(90.0, 0.0, 100.0, 200.0)));
        assert!(deepest(&flat, &tall, 8.0) > 4.0);
    }
}
