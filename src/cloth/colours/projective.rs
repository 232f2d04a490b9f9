//! The map of a flat thing to its picture, by its four corners: camera tilt and all.

use crate::curve::Point;

/// A projective map: straight lines stay straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Projective {
    /// Rows of the matrix of homogeneous coordinates.
    rows: [[f64; 3]; 3],
}

impl Projective {
    /// The map that carries four corners to four others; none where three of either lie on a line.
    ///
    /// By way of the unit square: P. S. Heckbert, *Fundamentals of Texture Mapping and Image Warping*, 1989, section
    /// 2.2 (from memory).
    pub(super) fn carry(from: [Point; 4], to: [Point; 4]) -> Option<Projective> {
        let to_square = Projective::of_square(from)?.inverse()?;
        Some(Projective::of_square(to)?.after(&to_square))
    }

    /// From the unit square, corner by corner from its origin along x, to a quadrangle.
    fn of_square([a, b, c, d]: [Point; 4]) -> Option<Projective> {
        let (first, second) = (b - c, d - c);
        let sum = (a - b) + (c - d);
        let whole = first.cross(second);
        if whole.abs() < f64::EPSILON {
            return None;
        }
        let (g, h) = (sum.cross(second) / whole, first.cross(sum) / whole);
        Some(Projective {
            rows: [
                [b.x - a.x + g * b.x, d.x - a.x + h * d.x, a.x],
                [b.y - a.y + g * b.y, d.y - a.y + h * d.y, a.y],
                [g, h, 1.0],
            ],
        })
    }

    fn inverse(&self) -> Option<Projective> {
        let [[a, b, c], [d, e, f], [g, h, i]] = self.rows;
        let whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
        // The scale of the matrix is of no account, so that the cofactors alone are the inverse.
        (whole.abs() > f64::EPSILON).then_some(Projective {
            rows: [
                [e * i - f * h, c * h - b * i, b * f - c * e],
                [f * g - d * i, a * i - c * g, c * d - a * f],
                [d * h - e * g, b * g - a * h, a * e - b * d],
            ],
        })
    }

    /// This map after another.
    fn after(&self, other: &Projective) -> Projective {
        let entry = |row: usize, column: usize| {
            (0..3).map(|middle| self.rows[row][middle] * other.rows[middle][column]).sum()
        };
        Projective { rows: [0, 1, 2].map(|row| [0, 1, 2].map(|column| entry(row, column))) }
    }

    /// Where a point goes.
    pub(super) fn apply(&self, point: Point) -> Point {
        let [x, y, weight] = self.rows.map(|[a, b, c]| a * point.x + b * point.y + c);
        Point::new(x / weight, y / weight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_go_to_corners_and_lines_stay_straight() {
        let cloth = [(0.0, 270.0), (372.0, 270.0), (366.0, 4000.0), (0.0, 4000.0)].map(Point::from);
        let pixels = [(102.0, 88.0), (3980.0, 96.0), (3190.0, 2950.0), (695.0, 2840.0)].map(Point::from);
        let map = Projective::carry(cloth, pixels).expect("a map");
        for (from, to) in cloth.into_iter().zip(pixels) {
            assert!(map.apply(from).distance(to) < 1e-6, "{from:?}");
        }
        let line = [0.0, 0.2, 0.7, 1.0].map(|share| map.apply(cloth[0].lerp(cloth[2], share)));
        let off = |point: Point| (point - line[0]).cross((line[3] - line[0]).normalize()).abs();
        assert!(off(line[1]) < 1e-6 && off(line[2]) < 1e-6);
        let back = Projective::carry(pixels, cloth).expect("a map");
        assert!(back.apply(line[1]).distance(cloth[0].lerp(cloth[2], 0.2)) < 1e-6);
        let flat = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (0.0, 1.0)].map(Point::from);
        assert!(Projective::carry(flat, cloth).is_none());
    }
}
