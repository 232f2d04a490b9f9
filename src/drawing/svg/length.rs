//! Lengths as SVG writes them.

use crate::units::MM_PER_INCH;
use std::str::FromStr;

use kurbo::Size;
use svgtypes::LengthUnit;

/// Millimetres in a pixel of CSS, which is what a user unit is before any `viewBox`.
pub(super) const MM_PER_PX: f64 = MM_PER_INCH / 96.0;

/// A length as written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum WrittenLength {
    /// With a physical unit: in mm.
    Physical(f64),
    /// In px, or without a unit.
    Px(f64),
    /// Of the viewport.
    Percent(f64),
}

/// Which side of the viewport a percentage is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ViewportSide {
    Across,
    Down,
    /// Neither: the diagonal over √2 (SVG 2, 8.9).
    Both,
}

impl WrittenLength {
    /// # Errors
    ///
    /// What is wrong, as the end of a sentence.
    pub(super) fn parse(text: &str) -> Result<Self, &'static str> {
        let lower = text.trim().to_ascii_lowercase();
        if let Some(number) = lower.strip_suffix('q') {
            let number = svgtypes::Number::from_str(number).map_err(|_| NOT_A_LENGTH)?;
            return Ok(Self::Physical(number.0 / 4.0));
        }
        let length = svgtypes::Length::from_str(&lower).map_err(|_| NOT_A_LENGTH)?;
        let number = length.number;
        match length.unit {
            LengthUnit::Mm => Ok(Self::Physical(number)),
            LengthUnit::Cm => Ok(Self::Physical(number * 10.0)),
            LengthUnit::In => Ok(Self::Physical(number * MM_PER_INCH)),
            LengthUnit::Pt => Ok(Self::Physical(number * MM_PER_INCH / 72.0)),
            LengthUnit::Pc => Ok(Self::Physical(number * MM_PER_INCH / 6.0)),
            LengthUnit::None | LengthUnit::Px => Ok(Self::Px(number)),
            LengthUnit::Percent => Ok(Self::Percent(number)),
            LengthUnit::Em | LengthUnit::Ex => {
                Err("em and ex depend on a font: write the length in mm, cm, in, pt or px")
            }
        }
    }

    /// In user units, 96 to the inch; `viewport` is in user units too.
    ///
    /// # Errors
    ///
    /// What is wrong, as the end of a sentence: a percentage of an unknown viewport.
    pub(super) fn user_units(self, side: ViewportSide, viewport: Option<Size>) -> Result<f64, &'static str> {
        match self {
            Self::Physical(mm) => Ok(mm / MM_PER_PX),
            Self::Px(number) => Ok(number),
            Self::Percent(percent) => {
                let viewport =
                    viewport.ok_or("a percentage needs a viewBox, or a width and a height, on the root")?;
                Ok(percent / 100.0 * of_side(viewport, side))
            }
        }
    }
}

const NOT_A_LENGTH: &str = "a number with mm, cm, in, pt, pc, Q, px, % or no unit was expected";

fn of_side(viewport: Size, side: ViewportSide) -> f64 {
    match side {
        ViewportSide::Across => viewport.width,
        ViewportSide::Down => viewport.height,
        ViewportSide::Both => viewport.width.hypot(viewport.height) / std::f64::consts::SQRT_2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn user(text: &str) -> f64 {
        WrittenLength::parse(text)
            .and_then(|length| length.user_units(ViewportSide::Across, None))
            .expect(text)
    }

    /// CSS Values 3, 5.2: 1in = 2.54cm = 25.4mm = 101.6Q = 72pt = 6pc = 96px.
    #[test]
    fn an_inch_is_96_user_units_in_every_unit() {
        for text in ["1in", "2.54cm", "25.4mm", "101.6Q", "101.6q", "72pt", "6pc", "96px", "96", " 96PX "] {
            approx::assert_relative_eq!(user(text), 96.0, max_relative = 1e-15);
        }
    }

    #[test]
    fn font_units_unknown_units_and_junk_are_refused() {
        for text in ["1em", "1ex", "40x", "1 in", "", "mm", "nan", "inf", "1e400", "1;2"] {
            assert!(WrittenLength::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn percentages_are_of_the_viewport() {
        let viewport = Some(Size::new(300.0, 400.0));
        let half = WrittenLength::parse("50%").expect("a percentage");
        assert_eq!(half.user_units(ViewportSide::Across, viewport), Ok(150.0));
        assert_eq!(half.user_units(ViewportSide::Down, viewport), Ok(200.0));
        approx::assert_relative_eq!(
            half.user_units(ViewportSide::Both, viewport).expect("known"),
            176.776_695_296_636_9
        );
        assert!(half.user_units(ViewportSide::Both, None).is_err());
    }
}
