//! The key to the lines: what each kind that is drawn means.

use std::collections::BTreeSet;

use kurbo::{Point, Rect, Size, Vec2};

use crate::canvas::{Drawing, Label, Layer, LineKind, holds, wrapped};
use crate::show::meanings::{SAMPLE, draw_sample, meanings};
use crate::show::piece::PieceDrawing;
use crate::show::print::tiles::Inked;

/// Font height, distance of lines, length of a line's sample, and its distance from what is said of it, mm.
const TEXT: f64 = 2.9;
const HEAD_LEADING: f64 = 1.4;
const LEADING: f64 = HEAD_LEADING * TEXT;
const BESIDE: f64 = 3.0;

/// Distance of columns, and of the key from what else is drawn, mm.
const BETWEEN: f64 = 6.0;
const AROUND: f64 = 4.0;

/// How far apart the places are at which room for the key is looked for, mm.
const STEP: f64 = 10.0;

/// Font height of the title over a key, and the least width to which what stands over it is broken, mm.
const HEADLINE: f64 = 7.0;
const HEAD_WIDTH: f64 = 110.0;

/// The kinds of line that are drawn, with what they mean, under what a cover says where there is none.
#[derive(Clone, Debug)]
pub(super) struct LineKey {
    head: Vec<(String, f64)>,
    entries: Vec<(LineKind, &'static str)>,
}

impl LineKey {
    /// The key to pieces.
    pub(super) fn of<'a>(pieces: impl IntoIterator<Item = &'a PieceDrawing>) -> LineKey {
        let strokes = pieces.into_iter().flat_map(|piece| &piece.drawing.strokes);
        let drawn: BTreeSet<LineKind> = strokes.map(|stroke| stroke.kind).collect();
        LineKey { head: Vec::new(), entries: meanings(&drawn).collect() }
    }

    /// What a cover says, by itself.
    pub(super) fn head_alone(title: &str, lines: impl IntoIterator<Item = String>) -> LineKey {
        LineKey { head: Vec::new(), entries: Vec::new() }.under(title, lines)
    }

    /// The same under a title and what else a cover says.
    pub(super) fn under(self, title: &str, lines: impl IntoIterator<Item = String>) -> LineKey {
        let lines = lines.into_iter().map(|line| (line, TEXT));
        LineKey { head: [(title.to_owned(), HEADLINE)].into_iter().chain(lines).collect(), ..self }
    }

    /// How many kinds it explains.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    /// How high it is with a row for each kind, mm.
    pub(super) fn height(&self) -> f64 {
        self.size(self.len()).height
    }

    /// How wide it is with a row for each kind, mm.
    pub(super) fn width(&self) -> f64 {
        self.size(self.len()).width
    }

    /// How large it is in so many rows.
    fn size(&self, rows: usize) -> Size {
        let columns = self.entries.len().div_ceil(rows.max(1));
        let width: f64 = (0..columns).map(|column| self.width_of(column, rows)).sum();
        let width = width + BETWEEN * columns.saturating_sub(1) as f64;
        let width = if self.head.is_empty() { width } else { width.max(HEAD_WIDTH) };
        let head: f64 = self.head_lines(width).iter().map(|(_, size)| size * HEAD_LEADING).sum();
        Size::new(width, head + rows as f64 * LEADING)
    }

    /// What stands over the lines, broken to a width.
    fn head_lines(&self, width: f64) -> Vec<(String, f64)> {
        let broken = |(text, size): &(String, f64)| {
            let size = *size;
            wrapped(text, size, width).into_iter().map(move |line| (line, size)).collect::<Vec<_>>()
        };
        self.head.iter().flat_map(broken).collect()
    }

    fn width_of(&self, column: usize, rows: usize) -> f64 {
        let texts = self.entries.iter().skip(column * rows).take(rows);
        let width = |text: &str| Label::level(text, Point::ORIGIN, TEXT, Layer::Pages).width();
        SAMPLE + BESIDE + texts.map(|(_, text)| width(text)).fold(0.0, f64::max)
    }

    /// The key with its upper left corner at a place, in so many rows.
    pub(super) fn drawn(&self, corner: Point, rows: usize) -> Drawing {
        let mut drawing = Drawing::default();
        let (mut x, mut corner) = (corner.x, corner);
        for (line, size) in self.head_lines(self.size(rows).width) {
            corner.y += size * HEAD_LEADING;
            let base = Point::new(corner.x, corner.y - size * 0.35);
            drawing.labels.push(Label::from_left(line, base, size, Layer::Pages));
        }
        for (column, entries) in self.entries.chunks(rows.max(1)).enumerate() {
            for (row, (kind, text)) in entries.iter().enumerate() {
                let base = Point::new(x, corner.y + LEADING * (row as f64 + 1.0) - (LEADING - TEXT) / 2.0);
                let from = base - Vec2::new(0.0, TEXT * 0.35);
                draw_sample(&mut drawing, *kind, (from, from + Vec2::new(SAMPLE, 0.0)), 1.0);
                let at = base + Vec2::new(SAMPLE + BESIDE, 0.0);
                drawing.labels.push(Label::from_left(*text, at, TEXT, Layer::Pages));
            }
            x += self.width_of(column, rows) + BETWEEN;
        }
        drawing
    }

    /// Its place in a box where nothing is drawn and no piece lies: as high as can be, then as far left.
    pub(super) fn in_room(&self, room: Size, pieces: &[PieceDrawing]) -> Option<PlacedKey> {
        self.in_room_beside(room, pieces, None)
    }

    /// The same clear of another box as well.
    pub(super) fn in_room_beside(
        &self,
        room: Size,
        pieces: &[PieceDrawing],
        taken: Option<Rect>,
    ) -> Option<PlacedKey> {
        let inked: Vec<Inked> = pieces.iter().map(Inked::of).collect();
        let shapes = self.shapes();
        let mut y = AROUND;
        while y + LEADING < room.height {
            let mut x = AROUND;
            while x < room.width {
                let free = |(_, size): &&(usize, Size)| {
                    let bounds = Rect::from_origin_size((x, y), *size);
                    bounds.x1 + AROUND <= room.width
                        && bounds.y1 + AROUND <= room.height
                        && taken.is_none_or(|taken| !taken.overlaps(bounds.inflate(AROUND, AROUND)))
                        && is_free(bounds.inflate(AROUND, AROUND), &inked)
                };
                if let Some((rows, size)) = shapes.iter().find(free) {
                    return Some(self.placed(Rect::from_origin_size((x, y), *size), *rows));
                }
                x += STEP;
            }
            y += STEP;
        }
        None
    }

    /// Its place below everything, in as few rows as the width allows.
    pub(super) fn below(&self, width: f64, down: f64) -> PlacedKey {
        let fits = |(_, size): &&(usize, Size)| size.width + 2.0 * AROUND <= width;
        let shapes = self.shapes();
        let flat = shapes.iter().rev().find(fits).or(shapes.first());
        let (rows, size) = flat.copied().unwrap_or((1, Size::ZERO));
        self.placed(Rect::from_origin_size((AROUND, down + AROUND), size), rows)
    }

    /// In how many rows it can stand, and how large it is then; the tallest first.
    fn shapes(&self) -> Vec<(usize, Size)> {
        let count = self.entries.len();
        if count == 0 {
            return vec![(0, self.size(0))];
        }
        let mut shapes: Vec<(usize, Size)> = Vec::new();
        for columns in 1..=count {
            let rows = count.div_ceil(columns);
            if shapes.last().is_none_or(|(last, _)| *last != rows) {
                shapes.push((rows, self.size(rows)));
            }
        }
        shapes
    }

    fn placed(&self, bounds: Rect, rows: usize) -> PlacedKey {
        PlacedKey { drawing: self.drawn(bounds.origin(), rows), bounds }
    }
}

/// The key in its place.
#[derive(Clone, Debug)]
pub(super) struct PlacedKey {
    pub drawing: Drawing,
    /// The room that it takes, mm.
    pub bounds: Rect,
}

/// Whether a box lies outside all pieces and has nothing drawn in it.
fn is_free(bounds: Rect, inked: &[Inked]) -> bool {
    inked.iter().all(|ink| {
        let within = || holds(&ink.ring, bounds.center());
        !ink.bounds.overlaps(bounds) || (!ink.is_in(bounds) && !within())
    })
}
