//! What cloth looks like, as it is drawn: patches of its colours, or its stripes.

use kurbo::{BezPath, Point, Rect, Shape};

use crate::canvas::{Drawing, Layer, Tone};
use crate::cloth::colours::Colour;
use crate::cloth::layout::{Ground, Spread};
use crate::cloth::{Stock, StripesAlong};
use crate::tolerance::PATCH_ALIKE;

/// How strong the colours of cloth are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Strength {
    /// So light that lines on them can be read.
    Pale,
    /// As they are.
    Full,
}

/// How far toward white pale colours are: black lines on the darkest then stand out as on a grey of 70 %.
const PALE: f64 = 0.62;

/// The most patches that a drawing has of cloth with a pattern across.
const MOST_PATCHES: f64 = 20_000.0;

/// The least size of a patch, mm.
const LEAST_PATCH: f64 = 4.0;

/// How far a patch runs under the next, mm, so that no ground is seen between them.
const OVER: f64 = 1.0;

/// A line of the cloth's pattern, and the word of a mark.
pub(super) struct PatternLine {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) word: Option<String>,
}

/// The cloth that a ground is of.
#[derive(Clone, Copy)]
pub(super) struct GroundCloth<'a> {
    pub(super) stock: &'a Stock,
    pub(super) ground: &'a Ground,
}

impl GroundCloth<'_> {
    /// Patches of its colours within a rectangle on the cloth, in its coordinates; nothing where they are not told.
    pub(super) fn patches(&self, within: Rect, strength: Strength) -> Drawing {
        self.patches_at_most(within, strength, MOST_PATCHES)
    }

    /// The same, of cloth with a pattern across no more than so many.
    pub(super) fn patches_at_most(&self, within: Rect, strength: Strength, most: f64) -> Drawing {
        let mut drawing = Drawing::default();
        if !self.ground.has_colours(self.stock) || within.area() <= 0.0 {
            return drawing;
        }
        let across = self.ground.is_patterned_across(self.stock);
        let size = if across { (within.area() / most).sqrt().max(LEAST_PATCH) } else { LEAST_PATCH };
        let rows = (within.height() / size).ceil().max(1.0) as usize;
        let edge = |row: usize| within.y0 + within.height() * row as f64 / rows as f64;
        if !across {
            let colour = |row: usize| self.colour(Point::new(within.center().x, edge(row) + size / 2.0));
            runs(rows, colour, |from, to, colour| {
                let patch = Rect::new(within.x0, edge(from), within.x1, (edge(to) + OVER).min(within.y1));
                drawing.fill(patch.to_path(0.1), tone(colour, strength), Layer::Marks);
            });
            return drawing;
        }
        let columns = (within.width() / size).ceil().max(1.0) as usize;
        let side = |column: usize| within.x0 + within.width() * column as f64 / columns as f64;
        for row in 0..rows {
            let middle = f64::midpoint(edge(row), edge(row + 1));
            let colour = |column: usize| self.colour(Point::new(side(column) + size / 2.0, middle));
            runs(columns, colour, |from, to, colour| {
                let (end, below) = ((side(to) + OVER).min(within.x1), (edge(row + 1) + OVER).min(within.y1));
                let patch = Rect::new(side(from), edge(row), end, below);
                drawing.fill(patch.to_path(0.1), tone(colour, strength), Layer::Marks);
            });
        }
        drawing
    }

    fn colour(&self, place: Point) -> Option<Colour> {
        self.ground.colour_at(self.stock, place)
    }

    /// Its stripes and marks from its start to a place along, in its coordinates.
    pub(super) fn pattern_lines(&self, reach: f64) -> Vec<PatternLine> {
        let (width, _) = self.ground.size();
        let whole = if self.ground.spread == Spread::Folded { 2.0 * width } else { width };
        let all = self.stock.find(&self.ground.cloth).into_iter().flat_map(|cloth| cloth.stripes());
        let lines = all.filter(|_| self.ground.has_selvedges()).flat_map(|stripes| {
            let (measure, off, length) = match stripes.along {
                StripesAlong::Width => (reach, 0.0, width),
                StripesAlong::Length => (whole, whole - width, reach),
            };
            stripes.within(measure).into_iter().map(move |at| {
                let (from, to) = stripes.along.line(at - off, length);
                PatternLine { from, to, word: stripes.mark_at(at).and_then(|mark| mark.word.clone()) }
            })
        });
        lines.collect()
    }
}

/// Neighbouring cells of nearly one colour, taken together.
fn runs(count: usize, colour: impl Fn(usize) -> Option<Colour>, mut add: impl FnMut(usize, usize, Colour)) {
    let mut open: Option<(usize, Colour)> = None;
    for cell in 0..=count {
        let here = if cell < count { colour(cell) } else { None };
        let goes_on =
            matches!((open, here), (Some((_, first)), Some(here)) if first.difference(here) <= PATCH_ALIKE);
        if goes_on {
            continue;
        }
        if let Some((from, first)) = open {
            add(from, cell, first);
        }
        open = here.map(|here| (cell, here));
    }
}

fn tone(colour: Colour, strength: Strength) -> Tone {
    let white = Colour::of_lab(100.0, 0.0, 0.0);
    Tone::Dyed(match strength {
        Strength::Pale => colour.toward(white, PALE).srgb(),
        Strength::Full => colour.srgb(),
    })
}

/// A rectangle around a path.
pub(super) fn around(path: &BezPath) -> Rect {
    path.bounding_box()
}
