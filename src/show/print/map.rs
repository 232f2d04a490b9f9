//! The page that comes first: how the others are put together, what is on them, and what the lines mean.

use kurbo::{Affine, Rect, Vec2};

use crate::curve::Point;
use crate::show::drawing::{Drawing, Label, Layer, LineKind, Tone, polygon};
use crate::show::labels::{Room, Spot};
use crate::show::piece::{arrow, wrapped};
use crate::show::print::frame::Frame;
use crate::show::print::job::Tiled;

/// Font heights, mm: titles, text, page names on the map.
const TITLE: f64 = 8.0;
const TEXT: f64 = 2.9;
const SMALLEST: f64 = 1.7;

/// Distance of lines, as a multiple of the font's height.
const LEADING: f64 = 1.4;

/// What share of the window's height the map may take.
const MAP_SHARE: f64 = 0.44;

/// Line kinds that the key explains.
const KEY: [(LineKind, &str); 10] = [
    (LineKind::CuttingLine, "cut here"),
    (LineKind::Seamline, "seamline: stitch here"),
    (LineKind::NewSeam, "new seam, made by a recut"),
    (LineKind::Hem, "turn the hem up here"),
    (LineKind::Fold, "lies on the fold of the cloth: do not cut"),
    (LineKind::DartLeg, "leg of a dart"),
    (LineKind::Level, "level where the body is measured"),
    (LineKind::Grainline, "grain: lay it parallel to the selvedge"),
    (LineKind::Notch, "notch: must meet its partner"),
    (LineKind::StyleLine, "style line"),
];

/// Length of a line in the key, mm.
const SAMPLE: f64 = 22.0;

/// A page under way: where the next line goes.
struct Sheet {
    drawing: Drawing,
    x: f64,
    y: f64,
    width: f64,
}

impl Sheet {
    fn text(&mut self, text: &str, size: f64) {
        for line in wrapped(text, size, self.width) {
            self.y += size * LEADING;
            let at = Point::new(self.x, self.y);
            self.drawing.labels.push(Label::from_left(line, at, size, Layer::Pages));
        }
    }
}

/// The map page of a tiled area.
pub(super) fn map_page(frame: &Frame, tiled: &Tiled, title: &str, notes: &[String]) -> Drawing {
    let window = frame.window.inflate(-4.0, -3.0);
    let mut sheet = Sheet { drawing: Drawing::default(), x: window.x0, y: window.y0, width: window.width() };
    sheet.text(title, TITLE);
    for note in notes {
        sheet.text(note, TEXT);
    }
    sheet.y += TEXT;
    let room = Rect::new(window.x0, sheet.y, window.x1, sheet.y + window.height() * MAP_SHARE);
    sheet.y = map(&mut sheet.drawing, tiled, room) + TEXT;
    let rows: Vec<String> = tiled.contents();
    let top = sheet.y;
    let half = window.width() / 2.0;
    sheet.width = half - 4.0;
    let size = fitting(&rows, sheet.width, window.y1 - top);
    for row in &rows {
        sheet.text(row, size);
    }
    sheet.x = window.x0 + half;
    sheet.y = top;
    key(&mut sheet);
    sheet.drawing
}

/// The font height in which rows of text have room.
fn fitting(rows: &[String], width: f64, height: f64) -> f64 {
    let mut size = TEXT;
    let taken = |size: f64| {
        rows.iter().map(|row| wrapped(row, size, width).len()).sum::<usize>() as f64 * size * LEADING
    };
    while size > SMALLEST && taken(size) > height {
        size *= 0.93;
    }
    size
}

fn key(sheet: &mut Sheet) {
    for (kind, text) in KEY {
        sheet.y += TEXT * LEADING;
        let from = Point::new(sheet.x, sheet.y - TEXT * 0.35);
        let end = from + Vec2::new(SAMPLE, 0.0);
        match kind {
            LineKind::Notch => {
                sheet.drawing.line(LineKind::CuttingLine, from, end);
                let middle = from.midpoint(end);
                sheet.drawing.line(kind, middle, middle + Vec2::new(0.0, 2.0));
            }
            _ => sheet.drawing.line(kind, from, end),
        }
        if kind == LineKind::Grainline {
            for (tip, way) in [(from, Vec2::new(-1.0, 0.0)), (end, Vec2::new(1.0, 0.0))] {
                sheet.drawing.fill(arrow(tip, way), Tone::Black, Layer::Marks);
            }
        }
        let at = Point::new(sheet.x + SAMPLE + 3.0, sheet.y);
        sheet.drawing.labels.push(Label::from_left(text, at, TEXT, Layer::Pages));
    }
}

/// The pages and the pieces on them, to scale; gives how far down it goes.
fn map(drawing: &mut Drawing, tiled: &Tiled, room: Rect) -> f64 {
    let extent = tiled.extent();
    let scale = (room.width() / extent.width()).min(room.height() / extent.height());
    let to = Affine::translate(room.origin().to_vec2()) * Affine::scale(scale);
    let mut outlines = Vec::new();
    for piece in &tiled.pieces {
        let lines = piece.outline.iter().map(|outline| to * outline).collect::<Vec<_>>();
        outlines.push(lines);
    }
    let frames = tiled.tiles.iter().map(|tile| to.transform_rect_bbox(tiled.grid.shown(*tile)));
    for (tile, shown) in tiled.tiles.iter().zip(frames) {
        let corners =
            [(shown.x0, shown.y0), (shown.x1, shown.y0), (shown.x1, shown.y1), (shown.x0, shown.y1)];
        drawing.stroke(LineKind::PageEdge, polygon(&corners.map(|(x, y)| Point::new(x, y))));
        let size = (shown.width().min(shown.height()) * 0.2).clamp(1.4, 4.0);
        let at = Point::new(shown.x0 + 0.8, shown.y1 - 0.8 - tiled.grid.overlap * scale);
        let mut name = Label::from_left(tile.name(), at, size, Layer::Pages);
        name.tone = Tone::Dark;
        drawing.labels.push(name);
    }
    let named = drawing.labels.clone();
    for (piece, lines) in tiled.pieces.iter().zip(&outlines) {
        let mut within = Room::within(lines, 1.0);
        named.iter().for_each(|label| within.block_label(label));
        for line in lines {
            within.block_path(line);
            drawing.stroke(LineKind::Rule, line.clone());
        }
        let bounds = to.transform_rect_bbox(piece.bounds);
        let spots: Vec<Spot> = [0.5, 0.35, 0.65, 0.2, 0.8]
            .into_iter()
            .flat_map(|down| [0.5, 0.35, 0.65, 0.25, 0.75].map(|across| (across, down)))
            .map(|(across, down)| {
                bounds.origin() + Vec2::new(bounds.width() * across, bounds.height() * down)
            })
            .flat_map(|at| {
                [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)].map(|along| Spot::Middle { at, along })
            })
            .collect();
        let name = vec![vec![(piece.title.clone(), 1.0)]];
        for mut label in within.set(&name, &[3.2, 2.6, 2.1, SMALLEST, 1.4], &spots).into_iter().flatten() {
            label.layer = Layer::Pages;
            drawing.labels.push(label);
        }
    }
    room.y0 + extent.height() * scale
}
