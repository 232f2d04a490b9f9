//! Letters that stand on one line, joined into words.

use hayro_interpret::hayro_cmap::BfString;
use kurbo::{Affine, Point, Rect, Vec2};

use crate::drawing::common::unit_vector;
use crate::drawing::drawn::{ClipId, Drawn, DrawnText, LayerId};

/// Units of a glyph's own space in the size of its font.
const UNITS_PER_EM: f64 = 1000.0;

/// How wide a letter of which nothing is known is taken to be, as a share of its size.
const USUAL_WIDTH: f64 = 0.5;

/// How far a letter may stand from the end of the last and be of the same word, as a share of its size: half the narrowest
/// space between words.
const WITHIN_WORD: f64 = 0.12;

/// How far it may stand and be of the same line: spaces that fill a line are as wide, columns of a table are further apart.
const WITHIN_LINE: f64 = 1.5;

/// How far it may overlap the last: kerning and accents.
const OVERLAP: f64 = 0.5;

/// How far its foot may be from the line, as a share of its size: figures set higher or lower are of the line.
const OFF_LINE: f64 = 0.4;

/// How much larger or smaller it may be.
const OTHER_SIZE: f64 = 0.35;

/// How straight a line runs: cosine of 2 degrees.
const SAME_WAY: f64 = 0.9994;

/// Letters of one line of writing.
const MOST_LETTERS: usize = 1_000;

/// One glyph where it is drawn.
pub(super) struct PlacedGlyph {
    /// What it means, where the file says so.
    pub text: Option<BfString>,
    /// From the glyph's own space, 1000 units to the size of its font.
    pub to_mm: Affine,
    /// How far the next one stands from it, in its own space.
    pub advance: Option<f64>,
    /// The box around it, where its shape is known.
    pub bounds: Option<Rect>,
    pub layer: Option<LayerId>,
    pub clip: Option<ClipId>,
}

/// A line of writing, as it is put on a page.
pub(super) struct GatheredLine {
    pub what: Drawn,
    pub layer: Option<LayerId>,
    pub clip: Option<ClipId>,
}

/// The line that is being gathered.
#[derive(Default)]
pub(super) struct LineGatherer {
    line: Option<WrittenLine>,
}

struct WrittenLine {
    text: String,
    sense: Sense,
    at: Point,
    along: Vec2,
    size: f64,
    /// Where the next letter is expected.
    end: Point,
    bounds: Rect,
    layer: Option<LayerId>,
    clip: Option<ClipId>,
}

/// Whether letters can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sense {
    Read,
    Lost,
}

impl PlacedGlyph {
    fn at(&self) -> Point {
        self.to_mm * Point::ZERO
    }

    fn along(&self) -> Vec2 {
        unit_vector(self.vector(Vec2::new(1.0, 0.0)))
    }

    fn size(&self) -> f64 {
        self.vector(Vec2::new(0.0, UNITS_PER_EM)).hypot()
    }

    fn vector(&self, own: Vec2) -> Vec2 {
        self.to_mm * own.to_point() - self.to_mm * Point::ZERO
    }

    fn end(&self) -> Point {
        let advance = self.advance.filter(|advance| advance.is_finite() && *advance > 0.0);
        self.at() + self.vector(Vec2::new(advance.unwrap_or(USUAL_WIDTH * UNITS_PER_EM), 0.0))
    }

    fn words(&self) -> Option<String> {
        let text = match self.text.as_ref()? {
            BfString::Char(sign) => sign.to_string(),
            BfString::String(text) => text.clone(),
        };
        let is_lost = |sign: char| {
            (sign.is_control() && !sign.is_whitespace())
                || sign == char::REPLACEMENT_CHARACTER
                || ('\u{e000}'..='\u{f8ff}').contains(&sign)
        };
        Some(text).filter(|text| !text.is_empty() && !text.chars().any(is_lost))
    }

    fn bounds(&self) -> Rect {
        let em = || {
            let own = Rect::new(0.0, 0.0, USUAL_WIDTH * UNITS_PER_EM, UNITS_PER_EM);
            self.to_mm.transform_rect_bbox(own)
        };
        self.bounds.filter(|bounds| bounds.is_finite()).unwrap_or_else(em)
    }
}

impl LineGatherer {
    /// Whether a glyph is of the line that is being gathered; of none yet, each is.
    pub fn goes_on(&self, glyph: &PlacedGlyph) -> bool {
        let Some(line) = &self.line else { return true };
        let gap = glyph.at() - line.end;
        let size = glyph.size();
        let sense = if glyph.words().is_some() { Sense::Read } else { Sense::Lost };
        (line.layer, line.clip, line.sense) == (glyph.layer, glyph.clip, sense)
            && line.text.len() < MOST_LETTERS
            && line.along.dot(glyph.along()) >= SAME_WAY
            && (size - line.size).abs() <= OTHER_SIZE * line.size
            && gap.cross(line.along).abs() <= OFF_LINE * line.size
            && gap.dot(line.along) >= -OVERLAP * line.size
            && gap.dot(line.along) <= WITHIN_LINE * line.size
    }

    /// Puts a glyph at the end of the line, or begins one with it.
    pub fn put(&mut self, glyph: PlacedGlyph) {
        let words = glyph.words();
        if !(glyph.at().is_finite() && glyph.end().is_finite() && glyph.size() > 0.0) {
            return;
        }
        let line = self.line.get_or_insert_with(|| WrittenLine {
            text: String::new(),
            sense: if words.is_some() { Sense::Read } else { Sense::Lost },
            at: glyph.at(),
            along: glyph.along(),
            size: glyph.size(),
            end: glyph.at(),
            bounds: glyph.bounds(),
            layer: glyph.layer,
            clip: glyph.clip,
        });
        if (glyph.at() - line.end).dot(line.along) > WITHIN_WORD * line.size {
            line.text.push(' ');
        }
        line.text.push_str(words.as_deref().unwrap_or_default());
        line.end = glyph.end();
        line.bounds = line.bounds.union(glyph.bounds());
    }

    /// The line, which is gathered no longer; none where it says nothing.
    pub fn take(&mut self) -> Option<GatheredLine> {
        let line = self.line.take()?;
        let words: Vec<&str> = line.text.split_whitespace().collect();
        let what = match line.sense {
            Sense::Lost => Drawn::Writing(line.bounds),
            Sense::Read if words.is_empty() => return None,
            Sense::Read => {
                let (at, along, size) = (line.at, line.along, line.size);
                Drawn::Text(DrawnText { words: words.join(" "), at, along, size })
            }
        };
        Some(GatheredLine { what, layer: line.layer, clip: line.clip })
    }
}
