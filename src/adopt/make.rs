//! From what was found and a map to a pattern.

use crate::adopt::AdoptError;
use crate::adopt::found::Found;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::make_seams;
use crate::adopt::map::{Map, MapPiece, span, text, value};
use crate::adopt::piece_maker::PieceMaker;
use crate::adopt::{Asked, CornerAngle, Correction, MapError};
use crate::allowance::{AllowanceError, SewingOrder};
use crate::drawing::{Known, UserUnit};
use crate::pattern::{EdgeName, Pattern};
use crate::units::Length;

/// A pattern made of a drawing, and what should be looked at twice.
#[derive(Clone, Debug)]
pub struct Adopted {
    /// The pattern.
    pub pattern: Pattern,
    /// What should be looked at twice.
    pub notes: Vec<AdoptNote>,
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
        let pages = super::map::given(self.pages.as_ref(), "a way to put pages together")?;
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
            pages: pages.unwrap_or_default(),
            password: None,
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
        if pattern.find(made.piece.name()).is_some() {
            let what = format!("another piece is named `{}`", made.piece.name());
            let way_out = "give one of the two another name";
            return Err(MapError::at(span(&piece.name), what, "twice", way_out).into());
        }
        pattern.add_piece(made.piece).map_err(|refusal| MapError::refused(span(&piece.name), &refusal))?;
    }
    make_seams::sew(&mut pattern, &map.seams, &mut notes)?;
    make_seams::finish(&mut pattern, &finishes)?;
    refuse_uncut(&pattern, map)?;
    notes.extend(left_out(found, map));
    Ok(Adopted { pattern, notes })
}

/// Refuses a pattern of which a cutting line cannot be drawn, at the place of the map that asks for it.
fn refuse_uncut(pattern: &Pattern, map: &Map) -> Result<(), MapError> {
    let order = SewingOrder::of(pattern);
    for (said, piece) in map.pieces.iter().zip(pattern.pieces()) {
        if let Err(error) = order.cutting_line(piece) {
            return Err(uncut(said, &error));
        }
    }
    Ok(())
}

fn uncut(said: &MapPiece, error: &AllowanceError) -> MapError {
    let usual = said.allowance.as_ref().unwrap_or(&said.outline);
    let of_edge = |name: &EdgeName| {
        let edge = said.edges.iter().find(|edge| text(&edge.name) == name.as_str());
        edge.map_or(usual, |edge| edge.allowance.as_ref().unwrap_or(&edge.name))
    };
    match error {
        AllowanceError::BadAllowance { edge, allowance, .. } => {
            let what = format!("an allowance of {allowance:.1} mm cannot be cut");
            MapError::at(span(of_edge(edge)), what, "not to be cut", "give one from 0 mm")
        }
        AllowanceError::Beside { edge, source, .. } => {
            let what = format!("no cutting line can be drawn beside `{edge}`: {source}");
            let way_out = "give the edge a lesser allowance, or look at its line in the picture";
            MapError::at(span(of_edge(edge)), what, "no line beside it", way_out)
        }
        AllowanceError::Around { source, .. } => {
            let what = format!("the cutting line of the piece cannot be closed: {source}");
            let way_out = "give the edges in its hollows a lesser allowance";
            MapError::at(span(usual), what, "not closed", way_out)
        }
        AllowanceError::BadCorner { first, second, shape, why, .. } => {
            let what = format!("the corner of `{first}` and `{second}` cannot be {shape}: {why}");
            let way_out = "write another shape (mitre, square, turned-up or jog), or leave it out";
            MapError::at(
                span(said.corners.as_ref().unwrap_or(&said.outline)),
                what,
                "not this shape",
                way_out,
            )
        }
        AllowanceError::CrookedFold { edge, .. } => {
            let way_out = "look at its line in the picture: cloth folds straight";
            MapError::at(span(of_edge(edge)), error.to_string(), "not straight", way_out)
        }
        AllowanceError::SeveralFolds { .. } => {
            let way_out = "make one of them the fold, and the others seams to their mirrored copies";
            MapError::at(span(&said.outline), error.to_string(), "several folds", way_out)
        }
    }
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
