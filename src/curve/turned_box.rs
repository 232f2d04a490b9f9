//! Boxes that may be turned.

use crate::curve::{Point, Rect, Vec2, left_of};

/// A box that may be turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnedBox {
    /// Its middle.
    pub centre: Point,
    /// The direction of its first side, of length one.
    pub along: Vec2,
    /// Half the length of its first side and half of its second, mm.
    pub half: Vec2,
}

impl TurnedBox {
    fn across(&self) -> Vec2 {
        left_of(self.along)
    }

    /// Its corners, around it.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let (along, across) = (self.along * self.half.x, self.across() * self.half.y);
        let c = self.centre;
        [c - along - across, c + along - across, c + along + across, c - along + across]
    }

    /// The upright box around it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let [a, b, c, d] = self.corners();
        Rect::from_points(a, b).union_pt(c).union_pt(d)
    }

    /// The place of the box nearest to a point.
    #[must_use]
    pub fn nearest(&self, to: Point) -> Point {
        let off = to - self.centre;
        let within = |way: Vec2, half: f64| way * off.dot(way).clamp(-half, half);
        self.centre + within(self.along, self.half.x) + within(self.across(), self.half.y)
    }

    /// Whether two boxes have nothing in common: some side of one parts them.
    #[must_use]
    pub fn clear_of(&self, other: &TurnedBox) -> bool {
        let axes = [self, other].into_iter().flat_map(|b| [b.along, b.across()]);
        let span = |b: &TurnedBox, axis: Vec2| {
            let middle = b.centre.to_vec2().dot(axis);
            let reach = (b.along.dot(axis) * b.half.x).abs() + (b.across().dot(axis) * b.half.y).abs();
            (middle - reach, middle + reach)
        };
        axes.into_iter().any(|axis| {
            let (a, b) = (span(self, axis), span(other, axis));
            a.1 < b.0 || b.1 < a.0
        })
    }

    /// Whether a straight line has a point in the box.
    #[must_use]
    pub fn is_met_by(&self, (from, to): (Point, Point)) -> bool {
        let local = |p: Point| ((p - self.centre).dot(self.along), (p - self.centre).dot(self.across()));
        let ((x0, y0), (x1, y1)) = (local(from), local(to));
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for (start, step, half) in [(x0, x1 - x0, self.half.x), (y0, y1 - y0, self.half.y)] {
            if step.abs() < f64::EPSILON {
                if start.abs() > half {
                    return false;
                }
                continue;
            }
            let (a, b) = ((-half - start) / step, (half - start) / step);
            low = low.max(a.min(b));
            high = high.min(a.max(b));
        }
        low <= high
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box of 4 by 2 turned by 45 degrees.
    fn turned() -> TurnedBox {
        let half = std::f64::consts::FRAC_1_SQRT_2;
        TurnedBox { centre: Point::new(10.0, 10.0), along: Vec2::new(half, half), half: Vec2::new(2.0, 1.0) }
    }

    #[test]
    fn a_line_past_a_corner_of_a_turned_box_misses_it() {
        let level = |y: f64| (Point::new(0.0, y), Point::new(20.0, y));
        let tip = 10.0 + 3.0 * std::f64::consts::FRAC_1_SQRT_2;
        assert!(turned().is_met_by(level(tip - 0.01)));
        assert!(!turned().is_met_by(level(tip + 0.01)));
        assert!(!turned().is_met_by((Point::new(0.0, 0.0), Point::new(8.0, 8.0))));
    }

    #[test]
    fn boxes_are_clear_when_a_side_of_either_parts_them() {
        let upright = |x: f64| TurnedBox {
            centre: Point::new(x, 10.0),
            along: Vec2::new(1.0, 0.0),
            half: Vec2::new(1.0, 1.0),
        };
        assert!(!turned().clear_of(&upright(12.5)));
        assert!(turned().clear_of(&upright(13.3)));
        assert!(upright(13.3).clear_of(&turned()));
    }
}
