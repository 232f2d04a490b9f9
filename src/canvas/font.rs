//! The one face in which everything is written, kept whole beside its licence.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::OnceLock;

use ttf_parser::{Face, GlyphId};

use crate::canvas::shown;

/// The face as a file.
pub(crate) const FILE: &[u8] = include_bytes!("font/DejaVuSansCondensed.ttf");

/// What stands for a character that the face does not have.
const INSTEAD: char = '?';

/// Letters of Latin, Greek and Cyrillic writing are looked up in the face once, all others whenever they are met.
const LOOKED_UP: Range<char> = '\0'..'\u{530}';

/// The face.
pub struct Font {
    face: Option<Face<'static>>,
    /// The number of each letter that is looked up once, in their order.
    letters: Vec<Option<u16>>,
    /// Widths of the letters by their number, as shares of the font's height.
    advances: Vec<f64>,
}

/// A letter of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Glyph {
    /// Its number in the face.
    pub id: u16,
    /// The character that it shows.
    pub shows: char,
}

/// Measures of the face, as shares of its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FaceMeasures {
    pub ascent: f64,
    pub descent: f64,
    pub capitals: f64,
    /// Left, bottom, right, top of the box around all letters.
    pub bounds: [f64; 4],
}

impl Font {
    /// The face.
    pub fn get() -> &'static Font {
        static FONT: OnceLock<Font> = OnceLock::new();
        FONT.get_or_init(|| Font::of(Face::parse(FILE, 0).ok()))
    }

    fn of(face: Option<Face<'static>>) -> Font {
        let mut font = Font { face, letters: vec![], advances: vec![] };
        font.letters = LOOKED_UP.map(|letter| font.looked_up(letter)).collect();
        let count = font.face.as_ref().map_or(0, Face::number_of_glyphs);
        let advance =
            |glyph| font.in_heights(|face| f64::from(face.glyph_hor_advance(GlyphId(glyph)).unwrap_or(0)));
        font.advances = (0..count).map(advance).collect();
        font
    }

    /// Width of a text, as a multiple of the font's height.
    #[must_use]
    pub fn width(&self, text: &str) -> f64 {
        self.glyphs(text).map(|glyph| self.advance(glyph.id)).sum()
    }

    /// The characters of a text, as it is shown, that the face does not have.
    #[must_use]
    pub fn missing(&self, text: &str) -> BTreeSet<char> {
        text.chars().map(shown).filter(|letter| self.glyph(*letter).is_none()).collect()
    }

    pub(crate) fn glyphs(&self, text: &str) -> impl Iterator<Item = Glyph> {
        text.chars().map(shown).map(|letter| {
            let instead = || Glyph { id: self.glyph(INSTEAD).unwrap_or(0), shows: INSTEAD };
            self.glyph(letter).map_or_else(instead, |id| Glyph { id, shows: letter })
        })
    }

    /// Width of a letter with its air, as a share of the font's height.
    pub(crate) fn advance(&self, glyph: u16) -> f64 {
        self.advances.get(usize::from(glyph)).copied().unwrap_or(0.0)
    }

    pub(crate) fn measures(&self) -> FaceMeasures {
        let bounds = |pick: fn(ttf_parser::Rect) -> i16| {
            self.in_heights(|face| f64::from(pick(face.global_bounding_box())))
        };
        FaceMeasures {
            ascent: self.in_heights(|face| f64::from(face.ascender())),
            descent: self.in_heights(|face| f64::from(face.descender())),
            capitals: self.in_heights(|face| f64::from(face.capital_height().unwrap_or(face.ascender()))),
            bounds: [bounds(|b| b.x_min), bounds(|b| b.y_min), bounds(|b| b.x_max), bounds(|b| b.y_max)],
        }
    }

    fn glyph(&self, letter: char) -> Option<u16> {
        let known = self.letters.get(letter as usize).copied();
        known.unwrap_or_else(|| self.looked_up(letter))
    }

    fn looked_up(&self, letter: char) -> Option<u16> {
        self.face.as_ref()?.glyph_index(letter).map(|id| id.0)
    }

    fn in_heights(&self, measure: impl Fn(&Face) -> f64) -> f64 {
        self.face.as_ref().map_or(0.0, |face| measure(face) / f64::from(face.units_per_em()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_face_has_the_letters_of_trade_terms_and_names() {
        let font = Font::get();
        assert!(font.missing("Rückenteil, dos, перед, ×½→←↑↓–·°").is_empty());
        assert_eq!(font.missing("後ろ").len(), 2);
        assert!(font.width("front") > 2.0 && font.width("front") < 3.0, "{}", font.width("front"));
    }

    #[test]
    fn a_missing_letter_takes_the_room_of_what_stands_for_it() {
        assert!((Font::get().width("後") - Font::get().width("?")).abs() < 1e-12);
    }
}
