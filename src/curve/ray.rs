//! A straight way from a point, and where it meets other lines.

use kurbo::{PathSeg, Point, Rect, Vec2};

use super::roots::Bernstein;
use super::segment;
use crate::tolerance::SAME_POINT;

/// A straight line through a point, of which one direction is ahead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// The point.
    pub from: Point,
    /// The direction ahead, of length one.
    pub way: Vec2,
}

impl Ray {
    /// How far ahead of its point it meets a segment, mm; negative behind it. An end of the segment within
    /// [`SAME_POINT`] of it is met, so that it slips through no joint; such a meeting comes with both segments.
    #[must_use]
    pub fn meets(&self, segment: &PathSeg) -> Vec<f64> {
        let controls = segment::control_points(segment);
        let ahead = |point: Point| (point - self.from).dot(self.way);
        let beside = controls.map(|point| self.way.cross(point - self.from));
        match segment {
            PathSeg::Line(line) => {
                let (a, b) = (beside[0], beside[3]);
                let apart = (a < -SAME_POINT && b < -SAME_POINT) || (a > SAME_POINT && b > SAME_POINT);
                if apart || a == b {
                    return Vec::new();
                }
                let share = (a / (a - b)).clamp(0.0, 1.0);
                vec![ahead(line.p0.lerp(line.p1, share))]
            }
            _ => Bernstein(beside)
                .roots(SAME_POINT)
                .into_iter()
                .map(|t| ahead(segment::point(segment, t)))
                .collect(),
        }
    }

    /// The upright box of its stretch from its point to so far ahead, mm.
    #[must_use]
    pub fn box_to(&self, ahead: f64) -> Rect {
        Rect::from_points(self.from, self.from + ahead * self.way)
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{BezPath, Point, Vec2};

    use super::Ray;

    fn met(d: &str, x: f64) -> Vec<f64> {
        let ray = Ray { from: Point::new(x, 0.0), way: Vec2::new(0.0, 1.0) };
        let path = BezPath::from_svg(d).unwrap();
        path.segments().flat_map(|segment| ray.meets(&segment)).collect()
    }

    /// A bow of 30 mm handles stands 22.5 mm high in its middle.
    #[test]
    fn a_line_and_a_bow_are_met_where_they_stand() {
        assert_eq!(met("M-10 5 L30 5", 20.0), [5.0]);
        assert_eq!(met("M-10 -5 L30 -5", 20.0), [-5.0]);
        let [middle] = met("M0 0 C0 30 100 30 100 0", 50.0)[..] else { panic!() };
        assert!((middle - 22.5).abs() < 1e-9, "{middle}");
        assert!(met("M0 0 C0 30 100 30 100 0", 101.0).is_empty());
    }

    #[test]
    fn a_joint_is_not_slipped_through() {
        let joint = met("M0 7 L20 7 C30 7 35 7 40 7", 20.0);
        assert!(!joint.is_empty() && joint.iter().all(|at| (at - 7.0).abs() < 1e-9), "{joint:?}");
    }
}
