//! What cloth looks like, as it is drawn: patches of its colours, or its stripes.

use kurbo::{BezPath, Point, Rect, Shape};

use crate::canvas::{Drawing, Layer, LineKind, Tone, polygon};
use crate::cloth::colours::Colour;
use crate::cloth::layout::{Ground, Spread};
use crate::cloth::{Mark, Stock, StripesAlong};
use crate::curve::left_of;
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

/// How wide a stripe is drawn, mm: it is seen where a coat fills a screen.
pub const STRIPE: f64 = 6.0;

/// How far toward white the colour of a stripe is at least, and how light (L*): black lines and letters stand out from it 6 to 1.
const QUIETER: f64 = 0.35;
const LIGHTEST_NEEDED: f64 = 60.0;

/// How unlike the ground the colour of a stripe must look to be seen without an edge (CIEDE2000), and the width of that edge as a
/// share of the stripe.
const UNLIKE_GROUND: f64 = 12.0;
const EDGE: f64 = 0.12;

/// A line of the cloth's pattern, the word of its mark, and the tone that it is drawn in where that names a colour.
pub(super) struct PatternLine {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) word: Option<String>,
    tone: Option<Tone>,
}

impl PatternLine {
    /// Draws it from one place to another: a stripe of its colour, or a line that says only where it is.
    pub(super) fn draw(&self, drawing: &mut Drawing, ends: (Point, Point)) {
        match self.tone {
            Some(tone) => draw_stripe(drawing, tone, ends, STRIPE, Layer::Marks),
            None => drawing.line(LineKind::Stripe, ends.0, ends.1),
        }
    }

    /// The word of one that is no colour: only writing tells it from others.
    pub(super) fn told_by_word(&self) -> Option<&str> {
        self.word.as_deref().filter(|_| self.tone.is_none())
    }
}

/// The words and tones of those that are drawn in colours, each once.
pub(super) fn coloured(lines: impl IntoIterator<Item = PatternLine>) -> Vec<(String, Tone)> {
    let mut found: Vec<(String, Tone)> = Vec::new();
    for line in lines {
        if let (Some(word), Some(tone)) = (line.word, line.tone)
            && found.iter().all(|(known, _)| *known != word)
        {
            found.push((word, tone));
        }
    }
    found
}

/// The tone in which a stripe is drawn everywhere, where its word is a colour: that colour, so light that lines and letters on
/// it can be read.
#[must_use]
pub fn stripe_tone(mark: &Mark) -> Option<Tone> {
    let colour = Colour::of_srgb(mark.colour()?);
    let lightness = colour.lightness();
    let needed = (LIGHTEST_NEEDED - lightness) / (WHITE_LIGHTNESS - lightness).max(1.0);
    Some(Tone::Dyed(colour.toward(white(), needed.max(QUIETER)).srgb()))
}

/// Draws a stripe from one place to another, so wide; one that is hardly seen on its ground has edges.
pub fn draw_stripe(drawing: &mut Drawing, tone: Tone, (from, to): (Point, Point), width: f64, layer: Layer) {
    let band = |width: f64| {
        let aside = left_of((to - from).normalize()) * (width / 2.0);
        polygon(&[from + aside, to + aside, to - aside, from - aside])
    };
    let colour = Colour::of_srgb(tone.rgb());
    let is_like = |ground: Tone| colour.difference(Colour::of_srgb(ground.rgb())) < UNLIKE_GROUND;
    if [Tone::Cloth, Tone::White].into_iter().any(is_like) {
        drawing.fill(band(width * (1.0 + 2.0 * EDGE)), Tone::Pale, layer);
    }
    drawing.fill(band(width), tone, layer);
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
                let mark = stripes.mark_at(at);
                let word = mark.and_then(|mark| mark.word.clone());
                PatternLine { from, to, word, tone: mark.and_then(stripe_tone) }
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

/// How light white is, L*.
const WHITE_LIGHTNESS: f64 = 100.0;

fn white() -> Colour {
    Colour::of_lab(WHITE_LIGHTNESS, 0.0, 0.0)
}

fn tone(colour: Colour, strength: Strength) -> Tone {
    Tone::Dyed(match strength {
        Strength::Pale => colour.toward(white(), PALE).srgb(),
        Strength::Full => colour.srgb(),
    })
}

/// A rectangle around a path.
pub(super) fn around(path: &BezPath) -> Rect {
    path.bounding_box()
}
