//! Elliptical arcs as cubics.
//!
//! A cubic with handles of 4/3·tan(θ/4) strays outward from an arc of angle θ and radius r by
//!
//! ```text
//!     r · 2/27 · sin⁶(θ/4) / cos²(θ/4)   ≈   r · 2/27 · (θ/4)⁶
//! ```
//!
//! and nowhere inward (Goldapp, "Approximation of circular arcs by cubic polynomials", 1991), so the
//! angle of a piece follows from the error allowed. A piece never spans more than a quarter.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Point, SvgArc, Vec2};

use crate::tolerance::{ARC_ACCURACY, FLATTEST_ARC, SHORTEST_CHORD, WHOLE_ARCS};

/// Keeps the rounded formula above on the safe side.
const MARGIN: f64 = 0.98;

/// One cubic from wherever the pen stands: two handles and the end.
pub(super) type Cubic = [Point; 3];

/// An arc of an ellipse in user units.
#[derive(Clone, Copy, Debug)]
pub(super) struct EllipseArc {
    pub(super) center: Point,
    pub(super) radii: Vec2,
    /// Turn of the first radius from the x axis.
    pub(super) turn: f64,
    pub(super) start: f64,
    /// Signed.
    pub(super) sweep: f64,
}

impl EllipseArc {
    /// The arc that path data describe, or `None` where it is a straight line: a radius is zero, the
    /// ends are one, or the arc is too flat to be told from its chord.
    pub(super) fn from_path(arc: &SvgArc) -> Option<Self> {
        let chord = arc.from.distance(arc.to);
        let radii = Vec2::new(arc.radii.x.abs(), arc.radii.y.abs());
        let flattest = radii.x.min(radii.y);
        let too_flat = !arc.large_arc && flattest > chord * FLATTEST_ARC;
        if too_flat || chord < SHORTEST_CHORD || flattest < chord / FLATTEST_ARC || arc.is_straight_line() {
            return None;
        }
        let arc = kurbo::Arc::from_svg_arc(arc)?;
        Some(Self {
            center: arc.center,
            radii: arc.radii,
            turn: arc.x_rotation,
            start: arc.start_angle,
            sweep: arc.sweep_angle,
        })
    }

    /// The quarter that begins at angle `quadrant` · 90° of an ellipse that is not turned.
    pub(super) fn quarter(center: Point, radii: Vec2, quadrant: u8) -> Self {
        Self { center, radii, turn: 0.0, start: f64::from(quadrant) * FRAC_PI_2, sweep: FRAC_PI_2 }
    }

    /// Cubics along the arc that end exactly in `end`, within [`ARC_ACCURACY`]; `mm_per_unit` is the
    /// largest scale from user units to mm.
    pub(super) fn cubics(&self, end: Point, mm_per_unit: f64) -> impl Iterator<Item = Cubic> {
        let radius = self.radii.x.max(self.radii.y) * mm_per_unit;
        let pieces = pieces(self.sweep.abs(), radius);
        let arc = *self;
        let step = arc.sweep / f64::from(pieces);
        let handle = 4.0 / 3.0 * (step / 4.0).tan();
        (1..=pieces).map(move |piece| {
            let from = arc.start + step * f64::from(piece - 1);
            let to = arc.start + step * f64::from(piece);
            let last = if piece == pieces { end } else { arc.point(to) };
            [arc.point(from) + arc.derivative(from) * handle, last - arc.derivative(to) * handle, last]
        })
    }

    fn point(&self, angle: f64) -> Point {
        let (sin, cos) = angle.sin_cos();
        self.center + turned(Vec2::new(self.radii.x * cos, self.radii.y * sin), self.turn)
    }

    fn derivative(&self, angle: f64) -> Vec2 {
        let (sin, cos) = angle.sin_cos();
        turned(Vec2::new(-self.radii.x * sin, self.radii.y * cos), self.turn)
    }
}

fn turned(vector: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(vector.x * cos - vector.y * sin, vector.x * sin + vector.y * cos)
}

/// How many cubics an arc takes; at least one to a quarter.
fn pieces(sweep: f64, radius_mm: f64) -> u32 {
    let by_accuracy = 4.0 * (13.5 * ARC_ACCURACY / radius_mm).powf(1.0 / 6.0) * MARGIN;
    let angle = by_accuracy.min(FRAC_PI_2);
    let count = (sweep / angle - WHOLE_ARCS).ceil();
    if count.is_finite() { count.clamp(1.0, MOST_PIECES) as u32 } else { 1 }
}

/// Enough for a full turn at a radius of 1e17 mm; the bound on coordinates refuses such arcs anyway.
const MOST_PIECES: f64 = PI * 1000.0;

#[cfg(test)]
mod tests {
    use kurbo::{CubicBez, ParamCurve};

    use super::*;

    fn worst_error(radius: f64, sweep: f64) -> (f64, usize) {
        let center = Point::new(31.0, -17.0);
        let arc = EllipseArc { center, radii: Vec2::new(radius, radius), turn: 0.4, start: 0.3, sweep };
        let mut from = arc.point(arc.start);
        let mut worst = 0.0_f64;
        let mut count = 0;
        for [first, second, end] in arc.cubics(arc.point(arc.start + sweep), 1.0) {
            let cubic = CubicBez::new(from, first, second, end);
            for step in 0..=200 {
                let distance = cubic.eval(f64::from(step) / 200.0).distance(center);
                worst = worst.max((distance - radius).abs());
            }
            from = end;
            count += 1;
        }
        (worst, count)
    }

    /// The circle itself is the reference: every point of the cubics lies a radius from the centre.
    #[test]
    fn cubics_stay_within_a_hundred_thousandth_of_a_millimetre_of_the_circle() {
        for radius in [0.5, 2.0, 20.0, 150.0, 750.0, 20_000.0] {
            for sweep in [0.2, -1.0, 3.0, -2.0 * PI] {
                let (worst, _) = worst_error(radius, sweep);
                assert!(worst < ARC_ACCURACY, "radius {radius}, sweep {sweep}: {worst}");
            }
        }
    }

    #[test]
    fn a_circle_of_750_mm_takes_few_pieces() {
        let (_, count) = worst_error(750.0, 2.0 * PI);
        assert!((20..=24).contains(&count), "{count}");
    }

    /// Radii of 1e-200 and 1e300 would divide by zero or overflow on the way to the centre.
    #[test]
    fn arcs_that_cannot_be_told_from_a_line_are_lines() {
        let arc = |radius: f64, to: f64| SvgArc {
            from: Point::ORIGIN,
            to: Point::new(to, 0.0),
            radii: Vec2::new(radius, radius),
            x_rotation: 0.0,
            large_arc: false,
            sweep: true,
        };
        for (radius, to) in
            [(0.0, 10.0), (1e-200, 10.0), (1e300, 10.0), (1e9, 10.0), (5.0, 0.0), (1e-3, 1e-200)]
        {
            assert!(EllipseArc::from_path(&arc(radius, to)).is_none(), "radius {radius} to {to}");
        }
        assert!(EllipseArc::from_path(&arc(1e6, 10.0)).is_some());
        let nearly_whole_circle = SvgArc { large_arc: true, ..arc(50.0, 1e-6) };
        assert!(EllipseArc::from_path(&nearly_whole_circle).is_some());
    }
}
