//! Roots of cubic polynomials in Bernstein form, found where the polynomial rises or falls throughout.
//!
//! Closed formulas for cubics lose their roots where the leading coefficients are rounding errors, which is what a
//! straight edge drawn as a cubic gives. Between its turning points a polynomial has at most one root, and that one
//! shows in the signs.

use kurbo::common::{solve_itp, solve_quadratic};

use crate::tolerance::ROOT_ACCURACY;

/// A cubic polynomial over 0..=1, given by its Bernstein coefficients: those of a cubic's control points.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bernstein(pub [f64; 4]);

/// A stretch of the parameter on which a polynomial only rises or only falls, and its values at both ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct MonotoneSpan {
    pub from: f64,
    pub to: f64,
    pub low: f64,
    pub high: f64,
}

impl Bernstein {
    /// The value at `t`, exact at 0 and 1.
    pub fn value(&self, t: f64) -> f64 {
        let Bernstein([a, b, c, d]) = *self;
        if t >= 1.0 {
            return d;
        }
        let u = 1.0 - t;
        u * u * u * a + 3.0 * u * t * (u * b + t * c) + t * t * t * d
    }

    /// The stretches between turning points, in order.
    pub fn spans(&self) -> Vec<MonotoneSpan> {
        let Bernstein([a, b, c, d]) = *self;
        let (p, q, r) = (b - a, c - b, d - c);
        let mut cuts = vec![0.0];
        let turns = solve_quadratic(p, 2.0 * (q - p), p - 2.0 * q + r);
        let mut inside: Vec<f64> = turns.into_iter().filter(|t| *t > 0.0 && *t < 1.0).collect();
        inside.sort_by(f64::total_cmp);
        cuts.extend(inside);
        cuts.push(1.0);
        let span = |pair: &[f64]| MonotoneSpan {
            from: pair[0],
            to: pair[1],
            low: self.value(pair[0]),
            high: self.value(pair[1]),
        };
        cuts.windows(2).map(span).collect()
    }

    /// The root in a span at whose ends the signs differ.
    pub fn root_in(&self, span: &MonotoneSpan) -> f64 {
        if span.low == 0.0 {
            return span.from;
        }
        if span.high == 0.0 {
            return span.to;
        }
        let sign = span.high.signum();
        let rising = |t: f64| sign * self.value(t);
        let pace = 0.2 / (span.to - span.from);
        let root =
            solve_itp(rising, span.from, span.to, ROOT_ACCURACY, 1, pace, sign * span.low, sign * span.high);
        root.clamp(span.from, span.to)
    }

    /// Where the polynomial is zero, or turns back within a distance of zero, in order. A turning point at a root may
    /// come as two roots or as one.
    pub fn roots(&self, within: f64) -> Vec<f64> {
        let mut found = Vec::new();
        let spans = self.spans();
        for span in &spans {
            let crosses = (span.low < 0.0) != (span.high < 0.0) || span.low == 0.0 || span.high == 0.0;
            if crosses && span.low != span.high {
                found.push(self.root_in(span));
            } else if span.low.abs() <= within {
                found.push(span.from);
            } else if span.high.abs() <= within {
                found.push(span.to);
            }
        }
        found.dedup();
        found
    }
}

#[cfg(test)]
mod tests {
    use super::Bernstein;

    /// A straight line as a cubic: leading coefficients of 1e-14 do not hide its root.
    #[test]
    fn straight_polynomial_keeps_its_root() {
        let hair = 1e-14;
        let roots = Bernstein([-1.0, hair, 1.0 - hair, 2.0]).roots(0.0);
        assert_eq!(roots.len(), 1);
        assert!((roots[0] - 1.0 / 3.0).abs() < 1e-12);
    }

    /// `(t − 0.2)(t − 0.5)(t − 0.9)` in Bernstein form.
    #[test]
    fn three_roots_are_all_found() {
        let power = [-0.09, 0.73, -1.6, 1.0];
        let bernstein = Bernstein([
            power[0],
            power[0] + power[1] / 3.0,
            power[0] + 2.0 * power[1] / 3.0 + power[2] / 3.0,
            power.iter().sum(),
        ]);
        let roots = bernstein.roots(0.0);
        assert_eq!(roots.len(), 3);
        for (root, expected) in roots.iter().zip([0.2, 0.5, 0.9]) {
            assert!((root - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn touch_is_found_within_the_distance() {
        let touching = Bernstein([1.0, -1.0 / 3.0 + 1e-7, -1.0 / 3.0 + 1e-7, 1.0]);
        assert!(touching.roots(1e-9).is_empty());
        assert_eq!(touching.roots(1e-6), [0.5]);
    }
}
