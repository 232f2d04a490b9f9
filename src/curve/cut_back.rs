//! Cutting a closed path back to a straight line.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Rect, Vec2};

use crate::curve::roots::Bernstein;
use crate::curve::segment::control_points;
use crate::curve::{Curve, left_of};
use crate::tolerance::SAME_POINT;

/// A straight line without ends, and the side of it that is kept.
///
/// ```text
///        outward
///           ^
///   ────────┴──────── line
///      kept side
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StraightLimit {
    /// A point on the line.
    pub through: Point,
    /// Unit normal of the line, away from what is kept.
    pub outward: Vec2,
}

impl StraightLimit {
    /// The line through a point along a direction, with what lies to the right of travel kept, as the inside of an
    /// outline is.
    #[must_use]
    pub fn left_of(through: Point, along: Vec2) -> StraightLimit {
        let along = along.normalize();
        StraightLimit { through, outward: left_of(along) }
    }

    /// The line so much further out, mm.
    #[must_use]
    pub fn further_out(self, by: f64) -> StraightLimit {
        StraightLimit { through: self.through + by * self.outward, ..self }
    }

    /// How far a point stands beyond the line, mm; negative on the kept side.
    #[must_use]
    pub fn beyond(&self, point: Point) -> f64 {
        (point - self.through).dot(self.outward)
    }

    /// How far a curve stands beyond the line at most, mm; negative where all of it is on the kept side.
    #[must_use]
    pub fn reach_of(&self, curve: &Curve) -> f64 {
        let highest = |segment: &PathSeg| {
            let heights = control_points(segment).map(|point| self.beyond(point));
            match segment {
                PathSeg::Line(_) => heights[0].max(heights[3]),
                _ => Bernstein(heights).spans().iter().fold(heights[3], |most, span| most.max(span.low)),
            }
        };
        curve.segments().iter().map(highest).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether no point of a box stands further beyond the line than so many mm.
    #[must_use]
    pub fn holds(&self, held: Rect, beyond: f64) -> bool {
        let corners = [(held.x0, held.y0), (held.x1, held.y0), (held.x1, held.y1), (held.x0, held.y1)];
        corners.into_iter().all(|corner| self.beyond(corner.into()) <= beyond)
    }

    /// A closed path without what stands beyond the line: each stretch beyond it is replaced by the line itself.
    ///
    /// A path that stays on the kept side, within the numerical tolerance, is returned as it came; nothing is left of
    /// one that lies beyond the line throughout.
    #[must_use]
    pub fn cut_back(&self, path: &BezPath) -> BezPath {
        let mut parts: Vec<PathPart> = path.segments().flat_map(|segment| self.parts(&segment)).collect();
        if parts.iter().all(|part| part.side == LineSide::Kept) {
            return path.clone();
        }
        let Some(first) = parts.iter().position(|part| part.side == LineSide::Kept) else {
            return BezPath::new();
        };
        parts.rotate_left(first);
        let mut kept = BezPath::new();
        for part in parts.iter().filter(|part| part.side == LineSide::Kept) {
            match kept.elements().last().and_then(PathEl::end_point) {
                None => kept.move_to(part.segment.start()),
                Some(at) if (part.segment.start() - at).hypot() > SAME_POINT => {
                    kept.line_to(part.segment.start());
                }
                Some(_) => {}
            }
            kept.push(part.segment.as_path_el());
        }
        kept.close_path();
        kept
    }

    /// A segment in parts that lie on one side each.
    fn parts(&self, segment: &PathSeg) -> Vec<PathPart> {
        let controls = match segment {
            PathSeg::Line(line) => [0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0].map(|t| line.eval(t)),
            curved => {
                let cubic = curved.to_cubic();
                [cubic.p0, cubic.p1, cubic.p2, cubic.p3]
            }
        };
        let heights = controls.map(|point| self.beyond(point));
        let mut cuts = vec![0.0];
        if heights.iter().any(|height| *height > SAME_POINT) {
            cuts.extend(Bernstein(heights).roots(0.0).into_iter().filter(|t| *t > 0.0 && *t < 1.0));
        }
        cuts.push(1.0);
        let part = |range: &[f64]| {
            let segment = if cuts.len() == 2 { *segment } else { segment.subsegment(range[0]..range[1]) };
            let side =
                if self.beyond(segment.eval(0.5)) <= SAME_POINT { LineSide::Kept } else { LineSide::Beyond };
            PathPart { segment, side }
        };
        cuts.windows(2).map(part).collect()
    }
}

/// Which side of the line a part of a path lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LineSide {
    Kept,
    Beyond,
}

/// A part of a path on one side of the line.
struct PathPart {
    segment: PathSeg,
    side: LineSide,
}

#[cfg(test)]
mod tests {
    use kurbo::{BezPath, Point, Shape, Vec2};

    use super::StraightLimit;
    use crate::curve::Curve;

    const AT_185: StraightLimit =
        StraightLimit { through: Point::new(185.0, 0.0), outward: Vec2::new(1.0, 0.0) };

    /// A rectangle whose right-hand third stands beyond the line, wherever its path begins.
    #[test]
    fn what_stands_beyond_is_cut_off() {
        for d in ["M0 0 H200 V90 H0 Z", "M200 0 V90 H0 V0 Z", "M195 0 H200 V90 H0 V0 Z"] {
            let cut = AT_185.cut_back(&BezPath::from_svg(d).unwrap());
            assert!((cut.area() - 185.0 * 90.0).abs() < 1e-3, "{d}: {}", cut.to_svg());
            assert!(cut.bounding_box().x1 <= 185.0 + 1e-9);
        }
    }

    #[test]
    fn two_tips_are_both_cut_off_and_curves_stay_curves() {
        let path = BezPath::from_svg("M0 0 H200 C150 30 150 60 200 90 H0 Z").unwrap();
        let cut = AT_185.cut_back(&path);
        assert!((cut.bounding_box().x1 - 185.0).abs() < 1e-9);
        assert!(cut.to_svg().contains('C'));
        let inside = BezPath::from_svg("M0 0 H185 V90 H0 Z").unwrap();
        assert_eq!(AT_185.cut_back(&inside).to_svg(), inside.to_svg());
    }

    /// A bow reaches three quarters of its handles' height (its middle).
    #[test]
    fn a_bow_reaches_as_far_as_its_middle() {
        let bow = |far: f64| {
            let path = BezPath::from_svg(&format!("M100 0 C{far} 30 {far} 60 100 90")).unwrap();
            AT_185.reach_of(&Curve::from_path(&path).unwrap())
        };
        assert!((bow(200.0) + 10.0).abs() < 1e-9, "{}", bow(200.0));
        assert!((bow(20.0) + 85.0).abs() < 1e-9, "{}", bow(20.0));
    }
}
