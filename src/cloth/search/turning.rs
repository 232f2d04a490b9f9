//! Turning points, with the same result on every machine.

use std::f64::consts::FRAC_PI_2;

use kurbo::Point;

/// A turn about the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TurnAboutOrigin {
    cosine: f64,
    sine: f64,
}

impl TurnAboutOrigin {
    /// The turn by an angle in degrees, clockwise as seen with y down. Quarter turns are exact.
    ///
    /// The sine of the platform may differ in its last digit from machine to machine, and a search would then go another
    /// way; the series used here sums the same products everywhere.
    pub fn new(degrees: f64) -> TurnAboutOrigin {
        let quarters = (degrees / 90.0).round();
        let rest = (degrees / 90.0 - quarters) * FRAC_PI_2;
        let (sine, cosine) = (sine(rest), cosine(rest));
        match quarters.rem_euclid(4.0) as u8 {
            0 => TurnAboutOrigin { cosine, sine },
            1 => TurnAboutOrigin { cosine: -sine, sine: cosine },
            2 => TurnAboutOrigin { cosine: -cosine, sine: -sine },
            _ => TurnAboutOrigin { cosine: sine, sine: -cosine },
        }
    }

    /// A point turned.
    pub fn turn(self, point: Point) -> Point {
        Point::new(point.x * self.cosine - point.y * self.sine, point.x * self.sine + point.y * self.cosine)
    }
}

/// The sine of an angle of at most an eighth turn, to the last digits of f64 (the term left out is under 1e-18).
fn sine(angle: f64) -> f64 {
    let square = angle * angle;
    let mut term = angle;
    let mut sum = angle;
    for i in 1..9 {
        let n = f64::from(2 * i);
        term *= -square / (n * (n + 1.0));
        sum += term;
    }
    sum
}

/// The cosine of an angle of at most an eighth turn, to the last digits of f64.
fn cosine(angle: f64) -> f64 {
    let square = angle * angle;
    let mut term = 1.0;
    let mut sum = 1.0;
    for i in 1..9 {
        let n = f64::from(2 * i);
        term *= -square / (n * (n - 1.0));
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_agree_with_those_of_the_platform() {
        for step in -1000..1000 {
            let degrees = f64::from(step) * 0.77;
            let (sine, cosine) = degrees.to_radians().sin_cos();
            let turned = TurnAboutOrigin::new(degrees);
            assert!((turned.sine - sine).abs() < 1e-14, "sine of {degrees}");
            assert!((turned.cosine - cosine).abs() < 1e-14, "cosine of {degrees}");
        }
        assert_eq!(TurnAboutOrigin::new(-90.0).turn(Point::new(3.0, 4.0)), Point::new(4.0, -3.0));
    }
}
