//! From what was found and a map to a pattern.

use crate::adopt::AdoptError;
use crate::adopt::error::refused_at;
use crate::adopt::found::Found;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::make_piece::{PieceFromMap, SaidFinish};
use crate::adopt::make_seams::{self, WholePattern};
use crate::adopt::map::{Map, MapPiece, SCALE_CORRECTED, Word, span, text, value};
use crate::adopt::map_words::UNITS;
use crate::adopt::piece_maker::{PieceMaker, no_outline};
use crate::adopt::{Asked, CornerAngle, Correction};
use crate::allowance::{AllowanceError, SewingOrder};
use crate::drawing::Known;
use crate::pattern::{EdgeName, Finish, Pattern, PieceName};
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

/// What comes of a map: the pattern, where nothing is wrong, and all that is wrong.
#[derive(Clone, Debug)]
pub struct Tried {
    /// The pattern.
    pub adopted: Option<Adopted>,
    /// What is wrong, each at its place in the map.
    pub wrong: Vec<TextFault>,
}

/// Makes a pattern of what was found, as a map says.
///
/// # Errors
///
/// Whatever the map asks for that the drawing does not have or a pattern does not allow, at its place in the map.
pub fn make(found: &Found, map: &Map) -> Result<Adopted, AdoptError> {
    let tried = try_map(found, map);
    match (tried.wrong.into_iter().next(), tried.adopted) {
        (Some(wrong), _) => Err(wrong.into()),
        (None, Some(adopted)) => Ok(adopted),
        (None, None) => Err(no_piece().into()),
    }
}

fn no_piece() -> TextFault {
    TextFault::new(0..0, "the map has no piece", "no [[piece]]", "begin one with [[piece]]")
}

/// Makes a pattern of what was found, as a map says, or tells all that is wrong with the map.
#[must_use]
pub fn try_map(found: &Found, map: &Map) -> Tried {
    if map.pieces.is_empty() {
        return Tried { adopted: None, wrong: vec![no_piece()] };
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
    wrong.extend(make_seams::sew(&mut pattern, &map.seams, whole, &mut notes));
    wrong.extend(map.guesses(found).err());
    wrong.extend(wrongly_ignored(found, map));
    if wrong.is_empty() {
        let finished = make_seams::finish(&mut pattern, &finishes).and_then(|()| refuse_uncut(&pattern, map));
        wrong.extend(finished.err());
    }
    if !wrong.is_empty() {
        return Tried { adopted: None, wrong };
    }
    notes.extend(unsaid(&pattern, &finishes));
    notes.extend(left_out(found, map));
    let without = |field: fn(&MapPiece) -> &Option<Word>| -> Vec<PieceName> {
        let open = map.pieces.iter().filter(|piece| field(piece).is_none());
        open.filter_map(|piece| text(&piece.name).parse().ok()).collect()
    };
    let (pieces, mut uncounted) = (without(|piece| &piece.drawn), without(|piece| &piece.cut));
    // What lies on a fold is cut once.
    uncounted.retain(|name| pattern.find(name).is_none_or(|piece| piece.fold().is_none()));
    notes.extend((!pieces.is_empty()).then_some(AdoptNote::LineUnsaid { pieces }));
    notes.extend((!uncounted.is_empty()).then_some(AdoptNote::CountUnsaid { pieces: uncounted }));
    let guesses = map.guesses(found).unwrap_or_default();
    let called: Vec<String> = guesses.into_iter().map(|guessed| guessed.called).collect();
    notes.extend((!called.is_empty()).then_some(AdoptNote::Guessed { called }));
    Tried { adopted: Some(Adopted { pattern, notes }), wrong }
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

/// The edges of each piece that no seam sews, and of which the map says no finish.
fn unsaid(pattern: &Pattern, finishes: &[SaidFinish]) -> Vec<AdoptNote> {
    let mut notes: Vec<AdoptNote> = Vec::new();
    let open = finishes.iter().filter(|said| {
        said.finish.is_none()
            && pattern.find_edge(&said.edge).is_some_and(|found| found.finish == Finish::Free)
    });
    for SaidFinish { edge, .. } in open {
        match notes.last_mut() {
            Some(AdoptNote::Unsaid { piece, edges }) if *piece == edge.piece => edges.push(edge.edge.clone()),
            _ => notes.push(AdoptNote::Unsaid { piece: edge.piece.clone(), edges: vec![edge.edge.clone()] }),
        }
    }
    notes
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
