//! Places on a piece, as a user names them.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{DartName, EdgeName, NameError, PointName};
use crate::units::{Length, Share, Unit, UnitError, serde_as_text};

/// How far along an edge, measured on its sewn length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// A share of it.
    Share(Share),
    /// A length of it.
    Length(Length),
}

impl Amount {
    /// The amount in millimetres of a whole that is `whole` mm long.
    #[must_use]
    pub fn of(self, whole: f64) -> f64 {
        match self {
            Amount::Share(share) => share.factor() * whole,
            Amount::Length(length) => length.mm(),
        }
    }
}

/// Which tip of a dart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TipChoice {
    /// The only tip.
    Only,
    /// The upper tip of a double dart, nearer the start of the grainline.
    Upper,
    /// Its lower tip.
    Lower,
}

/// A place on a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// `shoulder@40%`, `shoulder@75mm`, `shoulder@75mm from armhole`.
    OnEdge {
        /// The edge.
        edge: EdgeName,
        /// How far along it.
        along: Amount,
        /// From its end that meets this edge; otherwise from its first corner, clockwise.
        from: Option<EdgeName>,
    },
    /// `bust-point`.
    Point(PointName),
    /// `waist-dart.tip`, `waist-dart.upper-tip`, `waist-dart.lower-tip`.
    Tip(DartName, TipChoice),
    /// `(120mm, 340mm)` on the sheet as it was read.
    Sheet(Length, Length),
}

impl Place {
    /// The place as it is read: "the middle of shoulder", "45% along hem from centre", "the tip of waist-dart".
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Place::OnEdge { edge, along: Amount::Share(share), .. } if *share == Share::HALF => {
                format!("the middle of {edge}")
            }
            Place::OnEdge { edge, along, from } => {
                let along = match along {
                    Amount::Share(share) => share.to_string(),
                    Amount::Length(length) => length.show(Unit::Millimetre),
                };
                let from = from.as_ref().map_or_else(String::new, |from| format!(" from {from}"));
                format!("{along} along {edge}{from}")
            }
            Place::Point(name) => name.to_string(),
            Place::Tip(dart, TipChoice::Only) => format!("the tip of {dart}"),
            Place::Tip(dart, TipChoice::Upper) => format!("the upper tip of {dart}"),
            Place::Tip(dart, TipChoice::Lower) => format!("the lower tip of {dart}"),
            Place::Sheet(..) => format!("the place {self} on the sheet"),
        }
    }

    /// Whether another place is named by the same things, lengths being nearer one another than `within`.
    #[must_use]
    pub fn lies_at(&self, other: &Place, within: Length) -> bool {
        match (self, other) {
            (
                Place::OnEdge { edge, along: Amount::Length(along), from },
                Place::OnEdge { edge: other_edge, along: Amount::Length(other_along), from: other_from },
            ) => {
                (edge, from) == (other_edge, other_from)
                    && (along.mm() - other_along.mm()).abs() <= within.mm()
            }
            _ => self == other,
        }
    }
}

/// Why a text is not a place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlaceError {
    /// A name in it is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// A length or share in it is none.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// It is not written as a place.
    #[error(
        "`{0}` is not a place: write shoulder@40%, shoulder@75mm, \"shoulder@75mm from armhole\", bust-point, \
         waist-dart.tip or \"(120mm, 340mm)\""
    )]
    NotAPlace(String),
}

impl FromStr for Place {
    type Err = PlaceError;

    fn from_str(text: &str) -> Result<Place, PlaceError> {
        let text = text.trim();
        if let Some(inside) = text.strip_prefix('(') {
            return sheet_place(text, inside);
        }
        if let Some((edge, rest)) = text.split_once('@') {
            let (amount, from) = match rest.split_once(" from ") {
                Some((amount, from)) => (amount, Some(from.parse()?)),
                None => (rest, None),
            };
            let along = if amount.trim().ends_with('%') {
                Amount::Share(amount.parse()?)
            } else {
                Amount::Length(amount.parse()?)
            };
            return Ok(Place::OnEdge { edge: edge.parse()?, along, from });
        }
        match text.split_once('.') {
            Some((dart, tip)) => {
                let choice = match tip {
                    "tip" => TipChoice::Only,
                    "upper-tip" => TipChoice::Upper,
                    "lower-tip" => TipChoice::Lower,
                    _ => return Err(PlaceError::NotAPlace(text.to_owned())),
                };
                Ok(Place::Tip(dart.parse()?, choice))
            }
            None => Ok(Place::Point(text.parse()?)),
        }
    }
}

fn sheet_place(text: &str, inside: &str) -> Result<Place, PlaceError> {
    let wrong = || PlaceError::NotAPlace(text.to_owned());
    let (x, y) = inside.strip_suffix(')').and_then(|inside| inside.split_once(',')).ok_or_else(wrong)?;
    Ok(Place::Sheet(x.parse()?, y.parse()?))
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::OnEdge { edge, along, from } => {
                match along {
                    Amount::Share(share) => write!(f, "{edge}@{share}")?,
                    Amount::Length(length) => write!(f, "{edge}@{length}")?,
                }
                match from {
                    Some(from) => write!(f, " from {from}"),
                    None => Ok(()),
                }
            }
            Place::Point(name) => write!(f, "{name}"),
            Place::Tip(dart, TipChoice::Only) => write!(f, "{dart}.tip"),
            Place::Tip(dart, TipChoice::Upper) => write!(f, "{dart}.upper-tip"),
            Place::Tip(dart, TipChoice::Lower) => write!(f, "{dart}.lower-tip"),
            Place::Sheet(x, y) => write!(f, "({x}, {y})"),
        }
    }
}

serde_as_text!(Place);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_read_in_words() {
        for (typed, read) in [
            ("shoulder@50%", "the middle of shoulder"),
            ("hem@45% from centre", "45% along hem from centre"),
            ("neck@75mm", "75 mm along neck"),
            ("bust-point", "bust-point"),
            ("waist-dart.upper-tip", "the upper tip of waist-dart"),
        ] {
            assert_eq!(typed.parse::<Place>().unwrap().words(), read);
        }
    }

    #[test]
    fn places_are_shown_as_they_are_written() {
        for text in [
            "shoulder@40%",
            "shoulder@75mm",
            "shoulder@75mm from armhole",
            "bust-point",
            "waist-dart.tip",
            "waist-dart.upper-tip",
            "(120mm, 340mm)",
        ] {
            assert_eq!(text.parse::<Place>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn refuses_what_is_no_place() {
        for text in ["", "shoulder@", "shoulder@40", "shoulder@120%", "a.b", "(1mm)", "(1mm, 2mm", "a b"] {
            assert!(text.parse::<Place>().is_err(), "{text}");
        }
    }
}
