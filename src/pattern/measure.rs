//! Sizes of pieces and darts, as a patternmaker measures them on the paper.

use crate::curve::{Motion, Outline, Radians, Vec2};
use crate::pattern::{Dart, DartShape, Piece};
use crate::units::Length;

/// How much room something takes up, measured by the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Square to the grain, as across the width of the cloth.
    pub across: Length,
    /// Parallel to the grain.
    pub along: Length,
}

impl Size {
    /// The size of an outline by a direction of the grain, which must not be nothing.
    #[must_use]
    pub fn of(outline: &Outline, grain: Vec2) -> Size {
        let upright = Motion::turn_about(crate::curve::Point::ORIGIN, Radians(-grain.atan2()));
        let boxes = outline.curves().iter().map(|curve| curve.moved(&upright).bounds());
        let size = boxes.reduce(|all, one| all.union(one)).unwrap_or_default().size();
        Size { across: Length::from_mm(size.height), along: Length::from_mm(size.width) }
    }
}

impl Piece {
    /// The size of the seamline, darts open; where no grainline is drawn the grain is taken down the sheet.
    #[must_use]
    pub fn size(&self) -> Size {
        Size::of(self.outline(), self.grain_or_down())
    }
}

impl Dart {
    /// How much the dart takes in: between its mouth ends, or across a double dart at its widest.
    #[must_use]
    pub fn width(&self) -> Length {
        let (first, second) = self.legs();
        match &self.shape {
            DartShape::Open { .. } => Length::from_mm(first.start().distance(second.start())),
            DartShape::Double { .. } => {
                let outline = Outline::new(self.boundary());
                outline.map_or(Length::ZERO, |outline| Size::of(&outline, first.end() - first.start()).across)
            }
        }
    }

    /// The angle at the tip of an open dart between the straight lines to its mouth ends, degrees; a double dart has
    /// none.
    #[must_use]
    pub fn angle(&self) -> Option<f64> {
        let (first, second) = self.legs();
        let (a, b) = (first.start() - first.end(), second.start() - second.end());
        match &self.shape {
            DartShape::Open { .. } => Some(a.cross(b).atan2(a.dot(b)).abs().to_degrees()),
            DartShape::Double { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::{Curve, Point};
    use crate::pattern::{Kept, Mouth, Press};

    fn outline(points: &[(f64, f64)]) -> Outline {
        let corners: Vec<Point> = points.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        let around = corners.iter().zip(corners.iter().cycle().skip(1));
        Outline::new(around.map(|(a, b)| Curve::line(*a, *b).unwrap())).unwrap()
    }

    #[test]
    fn a_size_is_measured_by_the_grain_and_not_by_the_sheet() {
        let tilted = outline(&[(0.0, 0.0), (30.0, 40.0), (22.0, 46.0), (-8.0, 6.0)]);
        let size = Size::of(&tilted, Vec2::new(3.0, 4.0));
        approx::assert_abs_diff_eq!(size.along.mm(), 50.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(size.across.mm(), 10.0, epsilon = 1e-9);
    }

    #[test]
    fn a_dart_is_as_wide_as_its_mouth_and_has_the_angle_of_its_legs() {
        let leg = |x: f64| Curve::line(Point::new(x, 0.0), Point::new(0.0, 100.0)).unwrap();
        let dart = Dart {
            name: "waist-dart".parse().unwrap(),
            shape: DartShape::Open {
                mouth: Mouth { edge: "waist".parse().unwrap(), from: 0.0, to: 20.0 },
                legs: (leg(-10.0), leg(10.0)),
            },
            press: Press::Usual,
            kept: Kept::default(),
        };
        approx::assert_abs_diff_eq!(dart.width().mm(), 20.0, epsilon = 1e-9);
        let angle = 2.0 * (10.0_f64 / 100.0).atan().to_degrees();
        approx::assert_abs_diff_eq!(dart.angle().unwrap(), angle, epsilon = 1e-9);
    }
}
