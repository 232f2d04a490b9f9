//! Lines on a piece, as a user names them.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{EdgeName, LevelName, NameError, Place, PlaceError, StyleLineName};
use crate::units::{Length, Unit, UnitError, listed, serde_as_text};

/// A line on a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// A style line that is drawn.
    Style(StyleLineName),
    /// `A > B > C`: places joined straight.
    Straight(Vec<Place>),
    /// `A ~ B ~ C`: a smooth curve through places.
    Smooth(Vec<Place>),
    /// `level waist`.
    Level(LevelName),
    /// `beside centre at 12cm`: parallel to an edge.
    Beside {
        /// The edge.
        edge: EdgeName,
        /// How far from it, into the piece.
        at: Length,
    },
    /// `across at 9cm below PLACE`: square to the grain.
    Across {
        /// How far below the place; "below" is from the grainline's start toward its end.
        below: Length,
        /// The place.
        place: Place,
    },
    /// `along at PLACE`: parallel to the grain.
    Along {
        /// The place.
        place: Place,
    },
}

/// Why a text is not a line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// A name in it is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// A place in it is none.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// A length in it is none.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// It is not written as a line.
    #[error(
        "`{0}` is not a line: write a style line's name, \"A > B\", \"A ~ B ~ C\", \"level waist\", \
         \"beside centre at 12cm\", \"across at 9cm below PLACE\" or \"along at PLACE\""
    )]
    NotALine(String),
}

impl FromStr for Line {
    type Err = LineError;

    fn from_str(text: &str) -> Result<Line, LineError> {
        let text = text.trim();
        let wrong = || LineError::NotALine(text.to_owned());
        if let Some(level) = text.strip_prefix("level ") {
            return Ok(Line::Level(level.parse()?));
        }
        if let Some(rest) = text.strip_prefix("beside ") {
            let (edge, at) = rest.split_once(" at ").ok_or_else(wrong)?;
            return Ok(Line::Beside { edge: edge.parse()?, at: at.parse()? });
        }
        if let Some(rest) = text.strip_prefix("across at ") {
            return Ok(match rest.split_once(" below ") {
                Some((below, place)) => Line::Across { below: below.parse()?, place: place.parse()? },
                None => Line::Across { below: Length::ZERO, place: rest.parse()? },
            });
        }
        if let Some(place) = text.strip_prefix("along at ") {
            return Ok(Line::Along { place: place.parse()? });
        }
        let joined = |sign: char| text.split(sign).map(str::parse).collect::<Result<Vec<Place>, _>>();
        match (text.contains('>'), text.contains('~')) {
            (true, true) => Err(wrong()),
            (true, false) => Ok(Line::Straight(joined('>')?)),
            (false, true) => Ok(Line::Smooth(joined('~')?)),
            (false, false) if text.contains(char::is_whitespace) => Err(wrong()),
            (false, false) => Ok(Line::Style(text.parse()?)),
        }
    }
}

impl Line {
    /// How a cut along the line runs, as it is read: "from the middle of shoulder by bust-point to hem".
    #[must_use]
    pub fn words(&self) -> String {
        let through = |places: &[Place]| {
            let places: Vec<String> = places.iter().map(Place::words).collect();
            match places.as_slice() {
                [from, by @ .., to] if !by.is_empty() => format!("from {from} by {} to {to}", listed(by)),
                [from, .., to] => format!("from {from} to {to}"),
                _ => places.concat(),
            }
        };
        match self {
            Line::Style(name) => format!("along {name}"),
            Line::Straight(places) => through(places),
            Line::Smooth(places) => format!("in a curve {}", through(places)),
            Line::Level(level) => format!("along the level {level}"),
            Line::Beside { edge, at } => format!("{} beside {edge}", at.show(Unit::Millimetre)),
            Line::Across { below, place } if *below == Length::ZERO => {
                format!("across the grain at {}", place.words())
            }
            Line::Across { below, place } => {
                format!("across the grain {} below {}", below.show(Unit::Millimetre), place.words())
            }
            Line::Along { place } => format!("along the grain at {}", place.words()),
        }
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let joined =
            |places: &[Place], sign: &str| places.iter().map(Place::to_string).collect::<Vec<_>>().join(sign);
        match self {
            Line::Style(name) => write!(f, "{name}"),
            Line::Straight(places) => f.write_str(&joined(places, " > ")),
            Line::Smooth(places) => f.write_str(&joined(places, " ~ ")),
            Line::Level(level) => write!(f, "level {level}"),
            Line::Beside { edge, at } => write!(f, "beside {edge} at {at}"),
            Line::Across { below, place } if *below == Length::ZERO => write!(f, "across at {place}"),
            Line::Across { below, place } => write!(f, "across at {below} below {place}"),
            Line::Along { place } => write!(f, "along at {place}"),
        }
    }
}

serde_as_text!(Line);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_read_in_words() {
        for (typed, read) in [
            ("yoke-line", "along yoke-line"),
            (
                "shoulder@50% > bust-point > hem@45% from centre",
                "from the middle of shoulder by bust-point to 45% along hem from centre",
            ),
            ("armhole@50% ~ hem@10cm", "in a curve from the middle of armhole to 100 mm along hem"),
            ("across at 90mm below bust-point", "across the grain 90 mm below bust-point"),
            ("beside centre at 12cm", "120 mm beside centre"),
        ] {
            assert_eq!(typed.parse::<Line>().unwrap().words(), read);
        }
    }

    #[test]
    fn lines_are_shown_as_they_are_written() {
        for text in [
            "yoke-line",
            "shoulder@40% > bust-point > hem@45% from centre",
            "armhole@50% ~ bust-point ~ hem@10cm",
            "level waist",
            "beside centre at 120mm",
            "across at 90mm below bust-point",
            "across at bust-point",
            "along at (10mm, 20mm)",
        ] {
            let line: Line = text.parse().unwrap();
            assert_eq!(line.to_string().parse::<Line>().unwrap(), line, "{text}");
        }
    }

    #[test]
    fn refuses_what_is_no_line() {
        for text in ["", "a > b ~ c", "beside centre", "across 9cm below x", "two words", "a > "] {
            assert!(text.parse::<Line>().is_err(), "{text}");
        }
    }
}
