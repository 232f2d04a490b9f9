//! A cloth for a quick try: nothing but its width and length.

use std::fmt;
use std::str::FromStr;

use crate::cloth::bolt::over_nothing;
use crate::cloth::{Bolt, Cloth, ClothError, Stock, Width};
use crate::pattern::ClothName;
use crate::units::{Length, TIMES};

/// A width and a length, as `37cm x 11.4m`; `X`, `×` and `*` say the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    width: Length,
    length: Length,
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
        (least >= greatest).then_some(Size { width, length })
    }

    /// The width and the length.
    pub(super) fn measures(self) -> (Length, Length) {
        (self.width, self.length)
    }

    /// The cloth of this size, as the main one and the only one at hand.
    ///
    /// # Errors
    ///
    /// None that [`Size::from_str`] has not refused already.
    pub fn stock(self) -> Result<Stock, ClothError> {
        let bolt = Bolt::new(Width::even(self.width)?, self.length)?;
        Stock::new([Cloth::new(ClothName::main(), vec![bolt], Vec::new())?])
    }
}

impl FromStr for Size {
    type Err = ClothError;

    fn from_str(text: &str) -> Result<Size, ClothError> {
        let parts: Vec<&str> = text.split(TIMES).map(str::trim).collect();
        let [width, length] = parts.as_slice() else { return Err(ClothError::NotASize(text.to_owned())) };
        Ok(Size {
            width: over_nothing("the width", width.parse()?)?,
            length: over_nothing("the length", length.parse()?)?,
        })
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.width, self.length)
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
            assert_eq!(text.parse(), Ok(size), "{text}");
        }
    }

    #[test]
    fn what_is_no_size_is_refused() {
        for text in ["45cm", "45cm x", "45cm x 6m x 2", "45 x 6", "0cm x 6m", "45cm ** 6m"] {
            assert!(text.parse::<Size>().is_err(), "{text}");
        }
        assert!(!Size::is_meant("max.toml") && !Size::is_meant("2x3.toml"));
    }
}
