//! Cubics in one coordinate, between their turning points.
//!
//! Closed formulas for the roots of a cubic lose them where its leading coefficient is all but zero, as it is for every
//! symmetric bow: with coefficients of 1e-14 none was found where there are two. Between turning points there is at
//! most one root, and halving finds it.

use kurbo::common::solve_quadratic;

/// Halvings until nothing is left of the range.
const HALVINGS: usize = 60;

/// A cubic by its four Bernstein coefficients, the parameter from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cubic(pub [f64; 4]);

/// A range of the parameter on which a cubic only rises or only falls, with its values at both ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Range {
    pub from: (f64, f64),
    pub to: (f64, f64),
}

impl Cubic {
    pub(super) fn at(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.0;
        let u = 1.0 - t;
        u * u * u * a + 3.0 * t * u * (u * b + t * c) + t * t * t * d
    }

    /// The ranges between turning points, in order; the value at a shared end is the same bit for bit.
    pub(super) fn ranges(&self) -> impl Iterator<Item = Range> + use<> {
        let [a, b, c, d] = self.0;
        let turns = solve_quadratic(b - a, 2.0 * (c - 2.0 * b + a), d - 3.0 * c + 3.0 * b - a);
        let mut ends = [(0.0, a), (1.0, d), (1.0, d), (1.0, d)];
        let mut inside: Vec<f64> = turns.into_iter().filter(|t| *t > 0.0 && *t < 1.0).collect();
        inside.sort_by(f64::total_cmp);
        let count = inside.len() + 1;
        for (end, t) in ends[1..].iter_mut().zip(inside) {
            *end = (t, self.at(t));
        }
        (0..count).map(move |i| Range { from: ends[i], to: ends[i + 1] })
    }

    /// The parameter in a range at which the value is nought; the value at one end of the range is nought or less, at
    /// the other greater.
    pub(super) fn root_in(&self, range: &Range) -> f64 {
        let rising = range.from.1 < range.to.1;
        let (mut low, mut high) = (range.from.0, range.to.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if (self.at(middle) <= 0.0) == rising {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high)
    }

    /// The parameters at which the value is nought, or comes within a distance of it at a turning point.
    pub(super) fn roots(&self, touching: f64) -> Vec<f64> {
        if self.0.iter().all(|v| *v > touching) || self.0.iter().all(|v| *v < -touching) {
            return Vec::new();
        }
        let mut found = Vec::new();
        for range in self.ranges() {
            if (range.from.1 <= 0.0) != (range.to.1 <= 0.0) {
                found.push(self.root_in(&range));
            } else if range.from.1.abs() <= touching {
                found.push(range.from.0);
            }
        }
        if self.0[3].abs() <= touching {
            found.push(1.0);
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_roots_of_an_all_but_symmetric_bow_are_found() {
        let bow = Cubic([-0.125, 9.0, 9.0 + 1e-13, -0.125]);
        let roots = bow.roots(1e-9);
        assert_eq!(roots.len(), 2);
        assert!(roots.iter().all(|t| bow.at(*t).abs() < 1e-12));
    }

    #[test]
    fn three_roots_a_touch_and_none() {
        assert_eq!(Cubic([-1.0, 5.0, -5.0, 1.0]).roots(1e-9).len(), 3);
        assert_eq!(Cubic([1.0, -1.0 / 3.0 + 1e-10, -1.0 / 3.0 + 1e-10, 1.0]).roots(1e-9).len(), 1);
        assert!(Cubic([1.0, 0.5, 0.5, 1.0]).roots(1e-9).is_empty());
    }
}
