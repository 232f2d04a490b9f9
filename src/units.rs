//! Lengths, angles and shares: lengths and shares as people write them.
//!
//! Inside, every length is millimetres. A length is read with its unit and never without one: a bare
//! number is refused rather than guessed.
//!
//! # Examples
//!
//! ```
//! use retrue::units::{Length, Unit};
//!
//! let allowance: Length = "5/8in".parse()?;
//! assert_eq!(allowance.show(Unit::Millimetre), "15.88 mm");
//! assert!("15".parse::<Length>().is_err(), "a number without its unit is no length");
//! # Ok::<(), retrue::units::UnitError>(())
//! ```

use std::fmt;
use std::str::FromStr;

/// Millimetres in an inch, exact by the international yard and pound agreement of 1959.
pub const MM_PER_INCH: f64 = 25.4;

/// Millimetres in a yard, exact by the same agreement.
pub const MM_PER_YARD: f64 = 36.0 * MM_PER_INCH;

/// Millimetres in a metre.
pub const MM_PER_METRE: f64 = 1000.0;

/// Finest step in which inches are shown, as on a dressmaker's tape.
pub(crate) const INCH_PARTS: i64 = 16;

/// What stands between two lengths that are a size: `37cm x 11.4m`.
pub const TIMES: [char; 4] = ['x', 'X', '×', '*'];

/// A length, in millimetres. May be negative where a direction is meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length(f64);

/// The unit in which lengths are shown to the user.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres, the default.
    #[default]
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Inches, to the nearest sixteenth.
    Inch,
}

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0.0);

    /// A length of so many millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Length {
        Length(mm)
    }

    /// The length in millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.0
    }

    /// The length as text in the user's unit: `18.5 cm`, `185 mm`, `7 5/16 in`.
    ///
    /// Millimetres are shown to a hundredth, centimetres to a thousandth, inches to a sixteenth.
    #[must_use]
    pub fn show(self, unit: Unit) -> String {
        match unit {
            Unit::Millimetre => format!("{} mm", trimmed(self.0, 2)),
            Unit::Centimetre => format!("{} cm", trimmed(self.0 / 10.0, 3)),
            Unit::Inch => format!("{} in", sixteenths(self.0 / MM_PER_INCH)),
        }
    }

    /// A change of a length as text, with its sign: `+5 mm`, `-5 mm`; none where it is shown as 0.
    #[must_use]
    pub fn show_change(self, unit: Unit) -> String {
        let text = self.show(unit);
        if self.0 > 0.0 && !text.starts_with("0 ") { format!("+{text}") } else { text }
    }
}

/// An angle, in degrees. Where it is a turn, positive is clockwise as seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// No angle.
    pub const ZERO: Angle = Angle(0.0);

    /// A quarter of a turn.
    pub const QUARTER: Angle = Angle(90.0);

    /// An angle of so many degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Angle {
        Angle(degrees)
    }

    /// The angle in degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.0
    }

    /// The angle in radians.
    #[must_use]
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

/// A decimal with at most `places` digits after the point, no trailing zeros and no `-0`.
fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text {
        "-0" | "" => "0".to_owned(),
        other => other.to_owned(),
    }
}

/// Inches as a whole number and a fraction in lowest terms, to the nearest sixteenth.
fn sixteenths(inches: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "lengths are bounded by the sheet reader")]
    let parts = (inches.abs() * INCH_PARTS as f64).round() as i64;
    let sign = if inches < 0.0 && parts != 0 { "-" } else { "" };
    let (whole, mut over) = (parts / INCH_PARTS, parts % INCH_PARTS);
    let mut under = INCH_PARTS;
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    match (whole, over) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, over) => format!("{sign}{over}/{under}"),
        (whole, over) => format!("{sign}{whole} {over}/{under}"),
    }
}

/// Why a text is not a length, a share or an amount.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum UnitError {
    /// A number without a unit.
    #[error("`{0}` has no unit: write it as {0}mm, {0}cm or {0}in")]
    NoUnit(String),
    /// A unit that is not known.
    #[error("`{unit}` in `{text}` is not a unit of length: use mm, cm, m, in or yd")]
    UnknownUnit {
        /// The whole text.
        text: String,
        /// What stood where the unit should be.
        unit: String,
    },
    /// Not a finite number.
    #[error("`{0}` is not a length: write it like 15mm, 1.5cm, 5/8in or 1 3/8in")]
    NotANumber(String),
    /// A share that is not a percentage from 0 to 100.
    #[error("`{0}` is not a share: write it like 40%, from 0% to 100%")]
    NotAShare(String),
}

impl FromStr for Length {
    type Err = UnitError;

    /// Reads `15mm`, `1.5cm`, `11.4m`, `0.625in`, `5/8in`, `1 3/8in`, `5/8"`, `2 1/2yd`; units in capitals too, as labels
    /// and some keyboards write them: `45CM`. No two units differ by that alone.
    fn from_str(text: &str) -> Result<Length, UnitError> {
        let text = text.trim();
        let split = text
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-' | '+')))
            .unwrap_or(text.len());
        let (number, unit) = text.split_at(split);
        let number = number.trim();
        if number.is_empty() {
            return Err(UnitError::NotANumber(text.to_owned()));
        }
        let factor = match unit.trim().to_ascii_lowercase().as_str() {
            "mm" => 1.0,
            "cm" => 10.0,
            "m" => 1000.0,
            "yd" => MM_PER_YARD,
            "in" | "\"" | "″" => MM_PER_INCH,
            "" => return Err(UnitError::NoUnit(text.to_owned())),
            _ => {
                let unit = unit.trim().to_owned();
                return Err(UnitError::UnknownUnit { text: text.to_owned(), unit });
            }
        };
        let value = mixed_number(number).ok_or_else(|| UnitError::NotANumber(text.to_owned()))?;
        Ok(Length(value * factor))
    }
}

/// Reads `1.5`, `5/8` or `1 3/8`.
fn mixed_number(text: &str) -> Option<f64> {
    let (negative, text) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let mut words = text.split_whitespace();
    let first = words.next()?;
    let value = match words.next() {
        None => plain_or_fraction(first)?,
        Some(second) if second.contains('/') && !first.contains('/') => {
            plain_or_fraction(first)? + plain_or_fraction(second)?
        }
        Some(_) => return None,
    };
    if words.next().is_some() || !value.is_finite() {
        return None;
    }
    Some(if negative { -value } else { value })
}

fn plain_or_fraction(text: &str) -> Option<f64> {
    let number = |t: &str| {
        let unsigned = t.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        unsigned.then(|| t.parse::<f64>().ok()).flatten()
    };
    match text.split_once('/') {
        None => number(text),
        Some((over, under)) => {
            let under = number(under)?;
            (under > 0.0).then_some(number(over)? / under)
        }
    }
}

impl Length {
    /// To a tenth of a millimetre, which is finer than a tape shows.
    #[must_use]
    pub fn to_tenths(self) -> Length {
        Length((self.0 * 10.0).round() / 10.0)
    }

    /// To the tenth of a millimetre above it: so much is enough.
    #[must_use]
    pub fn up_to_tenths(self) -> Length {
        Length((self.0 * 10.0).ceil() / 10.0)
    }

    /// To the tenth of a millimetre below it: so much has room.
    #[must_use]
    pub fn down_to_tenths(self) -> Length {
        Length((self.0 * 10.0).floor() / 10.0)
    }

    /// As it is written and read again: to a millionth of a millimetre.
    #[must_use]
    pub fn as_written(self) -> Length {
        Length((self.0 * 1e6).round() / 1e6)
    }
}

impl fmt::Display for Length {
    /// Millimetres without a space, as it can be read back: `185mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}mm", trimmed(self.0, 6))
    }
}

/// An area given in mm², as it is told: in square yards to who reckons in inches, else in square metres.
#[must_use]
pub fn area(mm2: f64, unit: Unit) -> String {
    match unit {
        Unit::Inch => format!("{:.2} yd²", mm2 / (MM_PER_YARD * MM_PER_YARD)),
        Unit::Millimetre | Unit::Centimetre => format!("{:.2} m²", mm2 / (MM_PER_METRE * MM_PER_METRE)),
    }
}

/// A count of things whose plural takes an `s`: `1 seam`, `4 seams`.
#[must_use]
pub fn counted(count: usize, one: &str) -> String {
    counted_as(count, one, &format!("{one}s"))
}

/// How often something is done: `once`, `twice`, `3 times`.
#[must_use]
pub fn times(count: u32) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        count => format!("{count} times"),
    }
}

/// Things named in a row: `a, b and c`.
#[must_use]
pub fn listed(things: &[String]) -> String {
    match things {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Things named in a row, of many the first few: `a, b and 3 more`.
#[must_use]
pub fn listed_up_to(most: usize, things: &[String]) -> String {
    match things.len().saturating_sub(most) {
        0 => listed(things),
        more => format!("{} and {more} more", things[..most].join(", ")),
    }
}

/// A count of things with a plural of their own: `1 copy`, `4 copies`.
#[must_use]
pub fn counted_as(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// A share of a whole, from 0 to 1, written as a percentage.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Share(f64);

impl Share {
    /// The whole.
    pub const WHOLE: Share = Share(1.0);

    /// A half.
    pub const HALF: Share = Share(0.5);

    /// The share as a factor from 0 to 1.
    #[must_use]
    pub const fn factor(self) -> f64 {
        self.0
    }
}

impl FromStr for Share {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Share, UnitError> {
        let wrong = || UnitError::NotAShare(text.trim().to_owned());
        let number = text.trim().strip_suffix('%').ok_or_else(wrong)?.trim();
        let value = plain_or_fraction(number).ok_or_else(wrong)?;
        if (0.0..=100.0).contains(&value) { Ok(Share(value / 100.0)) } else { Err(wrong()) }
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}%", trimmed(self.0 * 100.0, 6))
    }
}

/// A number without the noise of its last digits, as data gives it: a millionth is far finer than anything that is sewn.
#[must_use]
pub fn rounded(number: f64) -> f64 {
    const PARTS: f64 = 1e6;
    (number * PARTS).round() / PARTS
}

/// For results that are data: the length in millimetres.
pub(crate) fn in_mm<S: serde::Serializer>(length: &Length, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(length.mm())
}

/// The same of a length that may be unknown.
pub(crate) fn in_mm_if_any<S: serde::Serializer>(
    length: &Option<Length>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serde::Serialize::serialize(&length.map(Length::mm), serializer)
}

/// Serde by way of the text a user would write.
macro_rules! serde_as_text {
    ($($type:ty),+) => {$(
        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <std::borrow::Cow<'de, str> as serde::Deserialize<'de>>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    )+};
}
pub(crate) use serde_as_text;

serde_as_text!(Length, Share);

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        text.parse::<Length>().unwrap().mm()
    }

    #[test]
    fn reads_every_way_a_length_is_written() {
        for (text, expected) in [
            ("15mm", 15.0),
            ("1.5cm", 15.0),
            ("1.5 cm", 15.0),
            ("5/8in", 15.875),
            ("1 3/8in", 34.925),
            ("0.625in", 15.875),
            ("5/8\"", 15.875),
            ("11.4m", 11_400.0),
            ("2 1/2yd", 2286.0),
            ("45CM", 450.0),
            ("6M", 6000.0),
            ("5/8 In", 15.875),
            ("15MM", 15.0),
            ("1YD", 914.4),
            ("-2cm", -20.0),
            ("-1 1/2in", -38.1),
        ] {
            approx::assert_relative_eq!(mm(text), expected, max_relative = 1e-12);
        }
    }

    #[test]
    fn refuses_what_is_no_length() {
        assert_eq!("15".parse::<Length>(), Err(UnitError::NoUnit("15".into())));
        assert!(matches!("15ell".parse::<Length>(), Err(UnitError::UnknownUnit { .. })));
        for text in ["", "mm", "1/0in", "nanmm", "1 2in", "1 2 3/4in", "--1mm", "1.2.3mm", "infmm"] {
            assert!(text.parse::<Length>().is_err(), "{text}");
        }
    }

    #[test]
    fn shows_inches_to_a_sixteenth() {
        assert_eq!(Length::from_mm(15.875).show(Unit::Inch), "5/8 in");
        assert_eq!(Length::from_mm(185.0).show(Unit::Inch), "7 5/16 in");
        assert_eq!(Length::from_mm(-25.4).show(Unit::Inch), "-1 in");
        assert_eq!(Length::from_mm(-0.001).show(Unit::Millimetre), "0 mm");
        assert_eq!(Length::from_mm(185.0).show(Unit::Centimetre), "18.5 cm");
    }

    #[test]
    fn changes_have_their_sign_unless_they_are_shown_as_nothing() {
        let shown = |mm: f64, unit| Length::from_mm(mm).show_change(unit);
        assert_eq!(shown(5.0, Unit::Millimetre), "+5 mm");
        assert_eq!(shown(-5.0, Unit::Millimetre), "-5 mm");
        assert_eq!(shown(0.5, Unit::Millimetre), "+0.5 mm");
        for (mm, unit) in [(0.001, Unit::Millimetre), (-0.001, Unit::Centimetre), (0.5, Unit::Inch)] {
            assert!(shown(mm, unit).starts_with("0 "), "{mm}");
        }
    }

    #[test]
    fn counts_take_the_plural_of_their_things() {
        assert_eq!([counted(1, "seam"), counted(0, "seam")], ["1 seam", "0 seams"]);
        assert_eq!(counted_as(1, "copy", "copies"), "1 copy");
        assert_eq!(counted_as(4, "copy", "copies"), "4 copies");
    }

    #[test]
    fn shares_stay_within_the_whole() {
        assert_eq!("40%".parse::<Share>().map(Share::factor), Ok(0.4));
        for text in ["40", "101%", "-1%", "nan%", "%"] {
            assert!(text.parse::<Share>().is_err(), "{text}");
        }
    }
}
