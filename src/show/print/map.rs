//! The page that comes first: how the others are put together, what is on them, and what the lines mean.

use kurbo::{Affine, BezPath, Rect, Shape, Vec2};

use crate::canvas::{Drawing, Label, LabelRoom, LabelSpot, Layer, LineKind, Tone, broken, wrapped};
use crate::curve::Point;
use crate::show::print::frame::Frame;
use crate::show::print::key::Key;
use crate::show::print::laid_out::{Section, Tiled};
use crate::units::Unit;

/// Font heights, mm: titles, that the pattern is not true, text, page names on the map.
const TITLE: f64 = 8.0;
const WARNING: f64 = 4.5;
const TEXT: f64 = 2.9;
const SMALLEST: f64 = 1.7;

/// Distance of lines, as a multiple of the font's height.
const LEADING: f64 = 1.4;

/// What share of the window's height the map may take.
const MAP_SHARE: f64 = 0.44;

/// Width of the texts where they stand beside the map, mm, and how many times as large the map must be for that.
const TEXT_WIDTH: f64 = 100.0;
const BESIDE_FROM: f64 = 1.15;

/// The least font height of a name on the map, mm, and how many times as much air as on a piece is around it.
const SMALLEST_NAME: f64 = 1.4;
const MAP_AIR: f64 = 0.5;

/// Font heights of the names of pieces, mm.
const NAME_SIZES: [f64; 5] = [3.2, 2.6, 2.1, SMALLEST, SMALLEST_NAME];

/// The accuracy of boxes as paths, mm; they have no curves.
const ROUND: f64 = 0.1;

/// Where in a page and a piece its name is tried, as shares of width and height.
const PAGE_SHARES: [f64; 5] = [0.2, 0.35, 0.5, 0.65, 0.8];
const PAGE_SHARES_DOWN: [f64; 5] = [0.85, 0.7, 0.5, 0.3, 0.15];
const PIECE_SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];

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
pub(super) fn map_page(
    frame: &Frame,
    tiled: &Tiled,
    section: &Section,
    notes: &[String],
    unit: Unit,
) -> Drawing {
    let window = frame.window.inflate(-4.0, -3.0);
    let mut sheet = Sheet { drawing: Drawing::default(), x: window.x0, y: window.y0, width: window.width() };
    sheet.text(&section.title, TITLE);
    if let Some(untrue) = &section.untrue {
        sheet.text(&untrue.line, WARNING);
    }
    for note in notes {
        sheet.text(note, TEXT);
    }
    sheet.y += TEXT;
    let rows: Vec<String> = tiled.contents(unit);
    let key = Key::of(&tiled.pieces);
    let below = Rect::new(window.x0, sheet.y, window.x1, sheet.y + window.height() * MAP_SHARE);
    let beside = Rect::new(window.x0, sheet.y, window.x1 - TEXT_WIDTH, window.y1);
    let scale = |room: Rect| scale_in(tiled, room);
    if beside.width() > 0.0 && scale(beside) > scale(below) * BESIDE_FROM {
        let drawn = map(&mut sheet.drawing, tiled, beside);
        (sheet.x, sheet.width) = (drawn.x1 + TEXT, window.x1 - drawn.x1 - TEXT);
        let size = fitting(&rows, sheet.width, window.y1 - sheet.y - key.height() - TEXT);
        rows.iter().for_each(|row| sheet.text(row, size));
        sheet.drawing.add(key.drawn(Point::new(sheet.x, sheet.y + TEXT), key.len()));
        return sheet.drawing;
    }
    let top = map(&mut sheet.drawing, tiled, below).y1 + TEXT;
    let half = window.width() / 2.0;
    (sheet.y, sheet.width) = (top, half - 4.0);
    let size = fitting(&rows, sheet.width, window.y1 - top);
    rows.iter().for_each(|row| sheet.text(row, size));
    sheet.drawing.add(key.drawn(Point::new(window.x0 + half, top), key.len()));
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

/// How large a map is in a room.
fn scale_in(tiled: &Tiled, room: Rect) -> f64 {
    let extent = tiled.extent();
    (room.width() / extent.width()).min(room.height() / extent.height())
}

/// The pages and the pieces on them, to scale; gives the box that it takes.
fn map(drawing: &mut Drawing, tiled: &Tiled, room: Rect) -> Rect {
    let (extent, scale) = (tiled.extent(), scale_in(tiled, room));
    let to = Affine::translate(room.origin().to_vec2()) * Affine::scale(scale);
    let outlines: Vec<BezPath> = tiled.pieces.iter().map(|piece| to * &piece.outline).collect();
    let frames: Vec<Rect> =
        tiled.tiles.iter().map(|tile| to.transform_rect_bbox(tiled.grid.shown(*tile))).collect();
    let mut named: Vec<Label> = Vec::new();
    for (tile, shown) in tiled.tiles.iter().zip(&frames) {
        let frame = shown.to_path(ROUND);
        let inner = shown.inset(-tiled.grid.overlap * scale);
        let mut page = LabelRoom::within(&[inner.to_path(ROUND)], MAP_AIR);
        page.block_path(&inner.to_path(ROUND));
        outlines.iter().for_each(|outline| page.block_path(outline));
        drawing.stroke(LineKind::PageEdge, frame);
        let size = (shown.width().min(shown.height()) * 0.2).clamp(1.4, 4.0);
        let sizes = [size, size * 0.75, size * 0.55].map(|size| size.max(SMALLEST_NAME));
        let name = [vec![(tile.name(), 1.0)]];
        let labels = page.set(&name, &sizes, &spots(inner, &PAGE_SHARES, &PAGE_SHARES_DOWN));
        let wished = Point::new(inner.x0 + 0.8, inner.y1 - 0.8);
        let labels =
            labels.unwrap_or_else(|| vec![Label::from_left(tile.name(), wished, size, Layer::Pages)]);
        named.extend(labels.into_iter().map(|label| Label {
            tone: Tone::Dark,
            layer: Layer::Pages,
            ..label
        }));
    }
    for (piece, outline) in tiled.pieces.iter().zip(&outlines) {
        let [mut within, mut between] =
            [(); 2].map(|()| LabelRoom::within(std::slice::from_ref(outline), MAP_AIR));
        for room in [&mut within, &mut between] {
            named.iter().for_each(|label| room.block_label(label));
            room.block_path(outline);
        }
        frames.iter().for_each(|frame| between.block_path(&frame.to_path(ROUND)));
        drawing.stroke(LineKind::Rule, outline.clone());
        let bounds = to.transform_rect_bbox(piece.bounds);
        let spots = spots(bounds, &PIECE_SHARES, &PIECE_SHARES);
        let name = [vec![(piece.title.clone(), 1.0)], broken(&piece.title.replace('-', "- "), 3)];
        let name = name
            .map(|lines| lines.into_iter().map(|(text, share)| (text.replace("- ", "-"), share)).collect());
        let labels = between.set(&name, &NAME_SIZES, &spots);
        let labels = labels.or_else(|| within.set(&name, &NAME_SIZES, &spots));
        named.extend(labels.into_iter().flatten().map(|label| Label { layer: Layer::Pages, ..label }));
    }
    drawing.labels.extend(named);
    Rect::from_origin_size(room.origin(), extent.size() * scale)
}

/// Places over a box, by shares of its width and height, level first and then upward.
fn spots(bounds: Rect, across: &[f64], down: &[f64]) -> Vec<LabelSpot> {
    let places = down.iter().flat_map(|down| across.iter().map(move |across| (*across, *down)));
    let at = |(across, down): (f64, f64)| {
        bounds.origin() + Vec2::new(bounds.width() * across, bounds.height() * down)
    };
    let places: Vec<Point> = places.map(at).collect();
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    ways.into_iter()
        .flat_map(|along| places.iter().map(move |at| LabelSpot::Middle { at: *at, along }))
        .collect()
}
