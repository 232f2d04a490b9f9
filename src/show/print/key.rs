//! The key to the lines: what each kind that is drawn means.

use std::collections::BTreeSet;

use kurbo::{Circle, Point, Rect, Shape, Size, Vec2};

use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, arrow, holds, wrapped};
use crate::show::piece::{ARROW, PieceDrawing};
use crate::show::print::tiles::Inked;

/// What is said of the kinds of line, in the order in which it is.
const MEANINGS: [(LineKind, &str); 18] = [
    (LineKind::CuttingLine, "cut here"),
    (LineKind::OnSelvedge, "on the selvedge: do not cut"),
    (LineKind::Seamline, "seamline: stitch here"),
    (LineKind::SeamOnCut, "seamline that is cut: no allowance"),
    (LineKind::LapStitching, "stitching of a lap, through both"),
    (LineKind::NewSeam, "new seam, made by a recut"),
    (LineKind::NewSeamOnCut, "new seam that is cut: no allowance"),
    (LineKind::Hem, "turn the hem up here"),
    (LineKind::Fold, "on the fold of the cloth: do not cut"),
    (LineKind::DartLeg, "leg of a dart"),
    (LineKind::DartFold, "fold of a dart, from its tip to its cap"),
    (LineKind::Level, "level where the body is measured"),
    (LineKind::Grainline, "grain: lay it parallel to the selvedge"),
    (LineKind::Notch, "notch: must meet its partner"),
    (LineKind::StyleLine, "style line"),
    (LineKind::Point, "point of the body, or tip of a dart"),
    (LineKind::Mark, "other mark, named beside it"),
    (LineKind::Leader, "leads to its text, or frames it"),
];

/// Font height, distance of lines, length of a line's sample, and its distance from what is said of it, mm.
const TEXT: f64 = 2.9;
const HEAD_LEADING: f64 = 1.4;
const LEADING: f64 = HEAD_LEADING * TEXT;
const SAMPLE: f64 = 22.0;
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
pub(super) struct Key {
    head: Vec<(String, f64)>,
    entries: Vec<(LineKind, &'static str)>,
}

impl Key {
    /// The key to pieces.
    pub(super) fn of<'a>(pieces: impl IntoIterator<Item = &'a PieceDrawing>) -> Key {
        let strokes = pieces.into_iter().flat_map(|piece| &piece.drawing.strokes);
        let drawn: BTreeSet<LineKind> = strokes.map(|stroke| stroke.kind).collect();
        let entries = MEANINGS.into_iter().filter(|(kind, _)| drawn.contains(kind)).collect();
        Key { head: Vec::new(), entries }
    }

    /// The same under a title and what else a cover says.
    pub(super) fn under(self, title: &str, lines: impl IntoIterator<Item = String>) -> Key {
        let lines = lines.into_iter().map(|line| (line, TEXT));
        Key { head: [(title.to_owned(), HEADLINE)].into_iter().chain(lines).collect(), ..self }
    }

    /// How many kinds it explains.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    /// How high it is with a row for each kind, mm.
    pub(super) fn height(&self) -> f64 {
        self.size(self.len()).height
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
                sample(&mut drawing, *kind, base - Vec2::new(0.0, TEXT * 0.35));
                let at = base + Vec2::new(SAMPLE + BESIDE, 0.0);
                drawing.labels.push(Label::from_left(*text, at, TEXT, Layer::Pages));
            }
            x += self.width_of(column, rows) + BETWEEN;
        }
        drawing
    }

    /// Its place in a box where nothing is drawn and no piece lies: as high as can be, then as far left.
    pub(super) fn in_room(&self, room: Size, pieces: &[PieceDrawing]) -> Option<Placed> {
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
    pub(super) fn below(&self, width: f64, down: f64) -> Placed {
        let fits = |(_, size): &&(usize, Size)| size.width + 2.0 * AROUND <= width;
        let shapes = self.shapes();
        let flat = shapes.iter().rev().find(fits).or(shapes.first());
        let (rows, size) = flat.copied().unwrap_or((1, Size::ZERO));
        self.placed(Rect::from_origin_size((AROUND, down + AROUND), size), rows)
    }

    /// In how many rows it can stand, and how large it is then; the tallest first.
    fn shapes(&self) -> Vec<(usize, Size)> {
        let count = self.entries.len();
        let mut shapes: Vec<(usize, Size)> = Vec::new();
        for columns in 1..=count {
            let rows = count.div_ceil(columns);
            if shapes.last().is_none_or(|(last, _)| *last != rows) {
                shapes.push((rows, self.size(rows)));
            }
        }
        shapes
    }

    fn placed(&self, bounds: Rect, rows: usize) -> Placed {
        Placed { drawing: self.drawn(bounds.origin(), rows), down: bounds.y1 }
    }
}

/// The key in its place.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub drawing: Drawing,
    /// How far down it reaches, mm.
    pub down: f64,
}

/// Whether a box lies outside all pieces and has nothing drawn in it.
fn is_free(bounds: Rect, inked: &[Inked]) -> bool {
    inked.iter().all(|ink| {
        let within = || holds(&ink.ring, bounds.center());
        !ink.bounds.overlaps(bounds) || (!ink.is_in(bounds) && !within())
    })
}

/// A line of a kind as it is drawn, from a place to the right.
fn sample(drawing: &mut Drawing, kind: LineKind, from: Point) {
    let end = from + Vec2::new(SAMPLE, 0.0);
    match kind {
        LineKind::Notch => {
            drawing.line(LineKind::CuttingLine, from, end);
            let middle = from.midpoint(end);
            drawing.line(kind, middle, middle + Vec2::new(0.0, 2.0));
        }
        LineKind::Point => {
            let middle = from.midpoint(end);
            drawing.stroke(kind, Circle::new(middle, 1.0).to_path(0.01));
            for reach in [Vec2::new(1.6, 0.0), Vec2::new(0.0, 1.6)] {
                drawing.line(kind, middle - reach, middle + reach);
            }
        }
        LineKind::SeamOnCut | LineKind::NewSeamOnCut => {
            drawing.line(LineKind::CuttingLine, from, end);
            drawing.line(kind, from, end);
        }
        _ => drawing.line(kind, from, end),
    }
    if kind == LineKind::Grainline {
        for (tip, way) in [(from, Vec2::new(-1.0, 0.0)), (end, Vec2::new(1.0, 0.0))] {
            drawing.fill(arrow(tip, way, ARROW), Tone::Black, Layer::Marks);
        }
    }
}
