//! A cloth for a quick try: nothing but its width and its length, or lengths.

use std::fmt;
use std::str::FromStr;

use crate::cloth::bolt::over_nothing;
use crate::cloth::{Bolt, Cloth, ClothError, Stock, Width};
use crate::pattern::ClothName;
use crate::units::{Length, TIMES};

/// A width and a length, as `37cm x 11.4m`, or several lengths, as `37cm x 1.3m, 1.1m`; `X`, `×` and `*` say the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    width: Length,
    first: Length,
    /// The lengths besides.
    more: Vec<Length>,
}

impl Size {
    /// Whether a text is meant as a size and not as the name of a file: it begins with a number and holds an `x`,
    /// or what says the same.
    #[must_use]
    pub fn is_meant(text: &str) -> bool {
        text.trim_start().starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.'))
            && text.contains(TIMES)
            && !text.ends_with(".toml")
    }

    /// The size of a length of cloth; none of one that is not as wide all along.
    #[must_use]
    pub fn of(bolt: &Bolt) -> Option<Size> {
        let (least, greatest) =
            (bolt.width().least(0.0, bolt.length()), bolt.width().greatest(0.0, bolt.length()));
        let [width, length] = [least, bolt.length()].map(Length::from_mm);
        (least >= greatest).then_some(Size { width, first: length, more: Vec::new() })
    }

    /// The width, and each length.
    pub(super) fn measures(&self) -> (Length, impl Iterator<Item = Length> + '_) {
        (self.width, std::iter::once(self.first).chain(self.more.iter().copied()))
    }

    /// The cloth of this size, as the main one and the only one at hand.
    ///
    /// # Errors
    ///
    /// None that [`Size::from_str`] has not refused already.
    pub fn stock(self) -> Result<Stock, ClothError> {
        let (width, lengths) = self.measures();
        let width = Width::even(width)?;
        let bolts = lengths.map(|length| Bolt::new(width.clone(), length));
        Stock::new([Cloth::new(ClothName::main(), bolts.collect::<Result<Vec<Bolt>, _>>()?, Vec::new())?])
    }
}

impl FromStr for Size {
    type Err = ClothError;

    fn from_str(text: &str) -> Result<Size, ClothError> {
        let parts: Vec<&str> = text.split(TIMES).map(str::trim).collect();
        let [width, lengths] = parts.as_slice() else { return Err(ClothError::NotASize(text.to_owned())) };
        let width = over_nothing("the width", width.parse()?)?;
        let lengths = lengths.split(',').map(|length| over_nothing("the length", length.trim().parse()?));
        let mut lengths = lengths.collect::<Result<Vec<Length>, ClothError>>()?.into_iter();
        let first = lengths.next().ok_or_else(|| ClothError::NotASize(text.to_owned()))?;
        Ok(Size { width, first, more: lengths.collect() })
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.width, self.first)?;
        self.more.iter().try_for_each(|length| write!(f, ", {length}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_as_people_write_it() {
        let size: Size = "45cm x 6m".parse().unwrap();
        for text in ["45CM X 6M", "45cm*6m", "45cm × 6m", "45 cm X 6 m", "450mm×6m"] {
            assert!(Size::is_meant(text), "{text}");
            assert_eq!(text.parse(), Ok(size.clone()), "{text}");
        }
    }

    #[test]
    fn a_size_of_several_lengths_is_a_cloth_of_as_many() {
        let size: Size = "38cm x 1.3m, 1.1m,1.6m".parse().unwrap();
        assert_eq!(size.to_string(), "380mm x 1300mm, 1100mm, 1600mm");
        assert_eq!(size.to_string().parse(), Ok(size.clone()));
        let stock = size.stock().unwrap();
        let lengths: Vec<f64> =
            stock.cloths().flat_map(|cloth| cloth.bolts()).map(|bolt| bolt.length()).collect();
        assert_eq!(lengths, [1300.0, 1100.0, 1600.0]);
    }

    #[test]
    fn what_is_no_size_is_refused() {
        for text in [
            "45cm",
            "45cm x",
            "45cm x 6m x 2",
            "45 x 6",
            "0cm x 6m",
            "45cm ** 6m",
            "45cm x 6m,",
            "45cm x 6m, 0m",
        ] {
            assert!(text.parse::<Size>().is_err(), "{text}");
        }
        assert!(!Size::is_meant("max.toml") && !Size::is_meant("2x3.toml"));
    }
}
