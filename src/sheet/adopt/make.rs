//! From what was found and a map to a pattern.

use std::fmt;

use crate::pattern::{Pattern, PieceName};
use crate::sheet::adopt::AdoptError;
use crate::sheet::adopt::found::Found;
use crate::sheet::adopt::make_piece::PieceMaker;
use crate::sheet::adopt::make_seams;
use crate::sheet::adopt::map::{Map, MapPiece, span, text, value};
use crate::sheet::adopt::{Asked, CornerAngle, Correction, MapError};
use crate::sheet::drawing::{Known, UserUnit};
use crate::units::Length;

/// A pattern made of a drawing, and what should be looked at twice.
#[derive(Clone, Debug)]
pub struct Adopted {
    /// The pattern.
    pub pattern: Pattern,
    /// What should be looked at twice.
    pub notes: Vec<AdoptNote>,
}

/// Something to be looked at twice in a pattern made of a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AdoptNote {
    /// Lines of the drawing that the map does not name were left out.
    LeftOut {
        /// The piece.
        piece: PieceName,
        /// Their letters.
        letters: Vec<String>,
    },
    /// Outlines that the map does not name were left out.
    OutlinesLeftOut {
        /// Their letters.
        letters: Vec<String>,
    },
    /// A stretch of a seamline that the cutting line does not tell.
    Unknown {
        /// The piece.
        piece: PieceName,
        /// What is not known, in a sentence.
        what: String,
    },
}

impl AdoptNote {
    /// Whether the pattern may be wrong there.
    #[must_use]
    pub fn is_untrue(&self) -> bool {
        matches!(self, AdoptNote::Unknown { .. })
    }
}

impl fmt::Display for AdoptNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            AdoptNote::LeftOut { piece, letters } => write!(
                f,
                "{piece}: lines {} are not in the map and were left out; name them, or put them under `ignore`",
                listed(letters)
            ),
            AdoptNote::OutlinesLeftOut { letters } => write!(
                f,
                "outlines {} are not in the map and were left out; name them, or put them under `ignore`",
                listed(letters)
            ),
            AdoptNote::Unknown { piece, what } => write!(f, "{piece}: {what}"),
        }
    }
}

fn listed(letters: &[String]) -> String {
    /// Letters that a sentence names.
    const NAMED: usize = 12;
    let mut text = letters.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", ");
    if letters.len() > NAMED {
        text.push_str(&format!(" and {} more", letters.len() - NAMED));
    }
    text
}

impl Map {
    /// What the map says of how the drawing is to be read.
    ///
    /// # Errors
    ///
    /// A unit, length, size or angle that is none.
    pub fn asked(&self) -> Result<Asked, MapError> {
        let units = [
            ("mm", UserUnit::Mm),
            ("cm", UserUnit::Cm),
            ("in", UserUnit::In),
            ("px", UserUnit::Px),
            ("pt", UserUnit::Pt),
        ];
        let unit = self.unit.as_ref().map(|word| super::map::one_of(word, &units)).transpose()?;
        let size = super::map::given(self.size.as_ref(), "a size")?;
        let corner = match &self.corner_angle {
            None => CornerAngle::default(),
            Some(word) => value::<f64>(word, "an angle in degrees")
                .ok()
                .and_then(CornerAngle::degrees)
                .ok_or_else(|| {
                    MapError::at(
                        span(word),
                        "this is no angle of a corner",
                        "over 0 and under 180",
                        "write 20",
                    )
                })?,
        };
        Ok(Asked {
            unit,
            known: self.known()?,
            correction: if self.correct_scale { Correction::Correct } else { Correction::Tell },
            size,
            corner,
        })
    }

    fn known(&self) -> Result<Option<Known>, MapError> {
        let Some(word) = &self.known else { return Ok(None) };
        let wrong =
            |label: String| MapError::at(span(word), "this is no known length", label, "write \"A=100mm\"");
        let (element, length) = text(word).rsplit_once('=').ok_or_else(|| wrong("no =".to_owned()))?;
        let length: Length =
            length.parse().map_err(|error: crate::units::UnitError| wrong(error.to_string()))?;
        if length.mm() <= 0.0 {
            return Err(wrong("it must be over zero".to_owned()));
        }
        Ok(Some(Known { element: element.to_owned(), length_mm: length.mm() }))
    }
}

/// Makes a pattern of what was found, as a map says.
///
/// # Errors
///
/// Whatever the map asks for that the drawing does not have or a pattern does not allow, at its place in the map.
pub fn make(found: &Found, map: &Map) -> Result<Adopted, AdoptError> {
    if map.pieces.is_empty() {
        return Err(
            MapError::at(0..0, "the map has no piece", "no [[piece]]", "begin one with [[piece]]").into()
        );
    }
    let mut pattern = Pattern::default();
    let mut notes = Vec::new();
    let mut finishes = Vec::new();
    for piece in &map.pieces {
        let made = PieceMaker::new(found, piece)?.made(&mut notes)?;
        finishes.extend(made.finishes);
        pattern.add_piece(made.piece).map_err(|refusal| MapError::refused(span(&piece.name), &refusal))?;
    }
    make_seams::sew(&mut pattern, &map.seams)?;
    make_seams::finish(&mut pattern, &finishes)?;
    notes.extend(left_out(found, map));
    Ok(Adopted { pattern, notes })
}

fn left_out(found: &Found, map: &Map) -> Option<AdoptNote> {
    let checks: Vec<&str> = found.scale.checks.iter().map(|check| check.letter.as_str()).collect();
    let said = |letter: &str| {
        let is = |piece: &MapPiece| {
            text(&piece.outline) == letter
                || piece.darts.iter().any(|dart| {
                    dart.drawn
                        .as_ref()
                        .is_some_and(|drawn| text(drawn).split_whitespace().any(|word| word == letter))
                })
        };
        map.pieces.iter().any(is)
            || map.ignore.iter().any(|word| text(word) == letter)
            || checks.contains(&letter)
    };
    let outlines = found.outlines.iter().map(|outline| outline.letter.as_str());
    let letters: Vec<String> = outlines.filter(|letter| !said(letter)).map(str::to_owned).collect();
    (!letters.is_empty()).then_some(AdoptNote::OutlinesLeftOut { letters })
}
