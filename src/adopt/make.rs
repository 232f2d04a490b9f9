//! From what was found and a map to a pattern.

use crate::adopt::AdoptError;
use crate::adopt::error::refused_at;
use crate::adopt::found::Found;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::make_piece::{PieceFromMap, SaidFinish};
use crate::adopt::make_seams::{self, WholePattern, WrongSeams};
use crate::adopt::map::{Map, MapPiece, SCALE_CORRECTED, Word, span, text, value};
use crate::adopt::map_words::UNITS;
use crate::adopt::piece_maker::{PieceMaker, no_outline};
use crate::adopt::undecided::UndecidedSeam;
use crate::adopt::unsaid::left_unsaid;
use crate::adopt::{Asked, CornerAngle, Correction};
use crate::allowance::{AllowanceError, SewingOrder};
use crate::drawing::Known;
use crate::pattern::{EdgeName, Pattern};
use crate::toml_file::TextFault;
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
    pub fn asked(&self) -> Result<Asked, TextFault> {
        let unit = self.unit.as_ref().map(|word| super::map::one_of(word, &UNITS)).transpose()?;
        let size = super::map::given(self.size.as_ref(), "a size")?;
        let pages = super::map::given(self.pages.as_ref(), "a way to put pages together")?;
        let corner = match &self.corner_angle {
            None => CornerAngle::default(),
            Some(word) => value::<f64>(word, "an angle in degrees")
                .ok()
                .and_then(CornerAngle::degrees)
                .ok_or_else(|| {
                    TextFault::new(
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
            correction: if SCALE_CORRECTED.or(self.correct_scale) {
                Correction::Correct
            } else {
                Correction::Tell
            },
            size,
            corner,
            pages: pages.unwrap_or_default(),
            password: None,
        })
    }

    fn known(&self) -> Result<Option<Known>, TextFault> {
        let Some(word) = &self.known else { return Ok(None) };
        let wrong =
            |label: String| TextFault::new(span(word), "this is no known length", label, "write \"A=100mm\"");
        let (element, length) = text(word).rsplit_once('=').ok_or_else(|| wrong("no =".to_owned()))?;
        let length: Length =
            length.parse().map_err(|error: crate::units::UnitError| wrong(error.to_string()))?;
        if length.mm() <= 0.0 {
            return Err(wrong("it must be over zero".to_owned()));
        }
        Ok(Some(Known { element: element.to_owned(), length_mm: length.mm() }))
    }
}

/// What comes of a map: the pattern, where nothing is wrong, all that is wrong, and what is still to be said.
#[derive(Clone, Debug, Default)]
pub struct Tried {
    /// The pattern.
    pub pattern: Option<Pattern>,
    /// What is wrong, each at its place in the map.
    pub wrong: Vec<TextFault>,
    /// Seams of which nothing tells the ends that meet.
    pub open: Vec<UndecidedSeam>,
    /// What should be looked at twice, in as much as could be made.
    pub notes: Vec<AdoptNote>,
}

impl Tried {
    /// All for which no pattern is made, each at its place in the map.
    pub fn faults(&self) -> impl Iterator<Item = &TextFault> {
        self.wrong.iter().chain(self.open.iter().map(|open| &open.fault))
    }
}

/// Makes a pattern of what was found, as a map says.
///
/// # Errors
///
/// Whatever the map asks for that the drawing does not have or a pattern does not allow, at its place in the map.
pub fn make(found: &Found, map: &Map) -> Result<Adopted, AdoptError> {
    let tried = try_map(found, map);
    if let Some(wrong) = tried.faults().next() {
        return Err(wrong.clone().into());
    }
    let pattern = tried.pattern.ok_or_else(no_piece)?;
    Ok(Adopted { pattern, notes: tried.notes })
}

fn no_piece() -> TextFault {
    TextFault::new(0..0, "the map has no piece", "no [[piece]]", "begin one with [[piece]]")
}

/// Makes a pattern of what was found, as a map says, or tells all that is wrong with the map.
#[must_use]
pub fn try_map(found: &Found, map: &Map) -> Tried {
    if map.pieces.is_empty() {
        return Tried { wrong: vec![no_piece()], ..Tried::default() };
    }
    let mut pattern = Pattern::default();
    let mut notes = Vec::new();
    let mut finishes = Vec::new();
    let mut wrong = Vec::new();
    for piece in &map.pieces {
        let made = PieceMaker::new(found, piece).and_then(|maker| maker.made(&mut notes));
        match made.and_then(|made| added(&mut pattern, piece, made)) {
            Ok(said) => finishes.extend(said),
            Err(error) => wrong.push(error),
        }
    }
    let whole = if wrong.is_empty() { WholePattern::Yes } else { WholePattern::No };
    let WrongSeams { wrong: wrong_seams, open } =
        make_seams::sew(&mut pattern, &map.seams, whole, &mut notes);
    wrong.extend(wrong_seams);
    wrong.extend(map.guesses(found).err());
    wrong.extend(wrongly_ignored(found, map));
    wrong.extend(make_seams::finish(&mut pattern, &finishes).err());
    if wrong.is_empty() {
        wrong.extend(refuse_uncut(&pattern, map).err());
    }
    notes.extend(left_unsaid(&pattern, found, map, &finishes));
    let pattern = (wrong.is_empty() && open.is_empty()).then_some(pattern);
    Tried { pattern, wrong, open, notes }
}

/// The outlines that are to be ignored and that the drawing does not have, or that are pieces.
fn wrongly_ignored(found: &Found, map: &Map) -> Vec<TextFault> {
    let wrong = |word: &Word| {
        let letter = text(word);
        if found.outline(letter).is_none() {
            return Some(no_outline(found, word));
        }
        map.piece_of(letter).map(|_| {
            let what = format!("outline `{letter}` is a piece of this map");
            TextFault::new(span(word), what, "not to be ignored", "take it out here, or take the piece out")
        })
    };
    map.ignore.iter().filter_map(wrong).collect()
}

fn added(pattern: &mut Pattern, said: &MapPiece, made: PieceFromMap) -> Result<Vec<SaidFinish>, TextFault> {
    if pattern.find(made.piece.name()).is_some() {
        let what = format!("another piece is named `{}`", made.piece.name());
        let way_out = "give one of the two another name";
        return Err(TextFault::new(span(&said.name), what, "twice", way_out));
    }
    pattern.add_piece(made.piece).map_err(|refusal| refused_at(span(&said.name), &refusal))?;
    Ok(made.finishes)
}

/// Refuses a pattern of which a cutting line cannot be drawn, at the place of the map that asks for it.
fn refuse_uncut(pattern: &Pattern, map: &Map) -> Result<(), TextFault> {
    let order = SewingOrder::of(pattern);
    for (said, piece) in map.pieces.iter().zip(pattern.pieces()) {
        if let Err(error) = order.cutting_line(piece) {
            return Err(uncut(said, &error));
        }
    }
    Ok(())
}

fn uncut(said: &MapPiece, error: &AllowanceError) -> TextFault {
    let usual = said.allowance.as_ref().unwrap_or(&said.outline);
    let of_edge = |name: &EdgeName| {
        let edge = said.edges.iter().find(|edge| text(&edge.name) == name.as_str());
        edge.map_or(usual, |edge| edge.allowance.as_ref().unwrap_or(&edge.name))
    };
    match error {
        AllowanceError::BadAllowance { edge, allowance, .. } => {
            let what = format!("an allowance of {allowance:.1} mm cannot be cut");
            TextFault::new(span(of_edge(edge)), what, "not to be cut", "give one from 0 mm")
        }
        AllowanceError::Beside { edge, source, .. } => {
            let what = format!("no cutting line can be drawn beside `{edge}`: {source}");
            let way_out = "give the edge a lesser allowance, or look at its line in the picture";
            TextFault::new(span(of_edge(edge)), what, "no line beside it", way_out)
        }
        AllowanceError::Around { source, .. } => {
            let what = format!("the cutting line of the piece cannot be closed: {source}");
            let way_out = "give the edges in its hollows a lesser allowance";
            TextFault::new(span(usual), what, "not closed", way_out)
        }
        AllowanceError::BadCorner { first, second, shape, why, .. } => {
            let what = format!("the corner of `{first}` and `{second}` cannot be {shape}: {why}");
            let way_out = "write another shape (mitre, square, turned-up or jog), or leave it out";
            TextFault::new(
                span(said.corners.as_ref().unwrap_or(&said.outline)),
                what,
                "not this shape",
                way_out,
            )
        }
        AllowanceError::CrookedFold { edge, .. } => {
            let way_out = "look at its line in the picture: cloth folds straight";
            TextFault::new(span(of_edge(edge)), error.to_string(), "not straight", way_out)
        }
        AllowanceError::SeveralFolds { .. } => {
            let way_out = "make one of them the fold, and the others seams to their mirrored copies";
            TextFault::new(span(&said.outline), error.to_string(), "several folds", way_out)
        }
    }
}
