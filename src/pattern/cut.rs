//! How many copies of a piece are cut, and whether they are left and right.

use std::fmt;
use std::str::FromStr;

use crate::units::serde_as_text;

/// Whether the copies of a piece are left and right, or all alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Twins {
    /// Half of the copies are mirrored.
    Mirrored,
    /// All lie as drawn.
    Same,
}

/// How many copies of a piece are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// How many.
    pub copies: u32,
    /// Left and right, or alike.
    pub twins: Twins,
}

impl Cut {
    /// One copy.
    pub const ONE: Cut = Cut { copies: 1, twins: Twins::Same };
    /// A left and a right.
    pub const PAIR: Cut = Cut { copies: 2, twins: Twins::Mirrored };
    /// The most copies that a sheet may ask for.
    pub const MOST: u32 = 999;

    /// Which way up the copies lie, where there are several.
    #[must_use]
    pub fn hands(self) -> Option<&'static str> {
        match (self.twins, self.copies) {
            (Twins::Mirrored, 2) => Some("left and right"),
            (Twins::Mirrored, _) => Some("half of them left, half right"),
            (Twins::Same, 1) => None,
            (Twins::Same, _) => Some("all alike"),
        }
    }
}

/// Why a text is not a cut count.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a count of copies: write 1, 2 (left and right) or \"2 same\"")]
pub struct CutError(String);

impl FromStr for Cut {
    type Err = CutError;

    fn from_str(text: &str) -> Result<Cut, CutError> {
        let wrong = || CutError(text.to_owned());
        let mut words = text.split_whitespace();
        let copies: u32 = words.next().and_then(|n| n.parse().ok()).ok_or_else(wrong)?;
        let twins = match (words.next(), copies % 2) {
            (Some("same"), _) | (None, 1) => Twins::Same,
            (None, _) => Twins::Mirrored,
            (Some(_), _) => return Err(wrong()),
        };
        if words.next().is_some() || copies == 0 || copies > Cut::MOST {
            return Err(wrong());
        }
        Ok(Cut { copies, twins })
    }
}

impl fmt::Display for Cut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.twins {
            Twins::Same if self.copies.is_multiple_of(2) => write!(f, "{} same", self.copies),
            _ => write!(f, "{}", self.copies),
        }
    }
}

serde_as_text!(Cut);
