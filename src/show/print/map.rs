//! The map of the pages: how they lie beside one another, and the pieces on them.

use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Rect, Shape, Vec2};

use crate::canvas::{
    Drawing, Label, LabelRoom, LabelSpot, Layer, LineKind, Tone, block, broken_name, straight,
};
use crate::curve::Point;
use crate::show::print::section::Tiled;
use crate::show::print::tiles::{Tile, letters};
use crate::tolerance::{LEAST_PRINTED, SAME_POINT};

/// How many times as much air as on a piece is around a name on the map.
pub(super) const MAP_AIR: f64 = 0.5;

/// Font heights of the names of pieces, mm.
const NAME_SIZES: [f64; 4] = [3.2, 2.8, 2.4, LEAST_PRINTED];

/// Greatest font height of a page's name, mm, and its share of the lesser side of the page.
const PAGE_NAME: (f64, f64) = (4.0, 0.2);

/// Room beside the map for the names of rows and columns, mm.
pub(super) const MAP_BORDER: f64 = 4.0;

/// The accuracy of boxes as paths, mm; they have no curves.
pub(super) const ROUND: f64 = 0.1;

/// Where in a page and a piece its name is tried, as shares of width and height.
const PAGE_SHARES: [f64; 5] = [0.2, 0.35, 0.5, 0.65, 0.8];
const PAGE_SHARES_DOWN: [f64; 5] = [0.85, 0.7, 0.5, 0.3, 0.15];
const PIECE_SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];

/// How long the line to a name outside its piece is, mm, and in how many ways it is tried.
const LED: [f64; 8] = [2.0, 3.0, 4.5, 6.5, 9.0, 13.0, 18.0, 25.0];
const LED_WAYS: u32 = 16;

/// How large a map is in a room.
pub(super) fn scale_in(tiled: &Tiled, room: Rect) -> f64 {
    let extent = tiled.extent();
    (room.width() / extent.width()).min(room.height() / extent.height())
}

/// The pages and the pieces on them, to scale; gives the box that it takes, and the pieces that have but a number on it, the
/// first of them the one.
pub(super) fn map(drawing: &mut Drawing, tiled: &Tiled, room: Rect) -> (Rect, Vec<String>) {
    let room = Rect::new(room.x0 + MAP_BORDER, room.y0 + MAP_BORDER, room.x1, room.y1);
    let (extent, scale) = (tiled.extent(), scale_in(tiled, room));
    let to = Affine::translate(room.origin().to_vec2()) * Affine::scale(scale);
    let outlines: Vec<BezPath> = tiled.pieces.iter().map(|piece| to * &piece.outline).collect();
    let frames: Vec<Rect> =
        tiled.tiles.iter().map(|tile| to.transform_rect_bbox(tiled.grid.shown(*tile))).collect();
    let on_pages: Option<Vec<Label>> = tiled
        .tiles
        .iter()
        .zip(&frames)
        .map(|(tile, shown)| page_name(*tile, shown.inset(-tiled.grid.overlap * scale), &outlines))
        .collect();
    let mut named = on_pages.unwrap_or_default();
    drawing.labels.extend(beside(tiled, room, to));
    let mut small = Vec::new();
    for (piece, outline) in tiled.pieces.iter().zip(&outlines) {
        let [mut within, mut between] =
            [(); 2].map(|()| LabelRoom::within(std::slice::from_ref(outline), MAP_AIR));
        for room in [&mut within, &mut between] {
            named.iter().for_each(|label: &Label| room.block_label(label));
            room.block_path(outline);
        }
        frames.iter().for_each(|frame| between.block_path(&frame.to_path(ROUND)));
        drawing.stroke(LineKind::Rule, outline.clone());
        let bounds = to.transform_rect_bbox(piece.bounds);
        let labels = name_in(&mut between, &piece.title, bounds);
        match labels.or_else(|| name_in(&mut within, &piece.title, bounds)) {
            Some(labels) => named.extend(labels),
            None => small.push((piece.title.as_str(), outline)),
        }
    }
    let whole = Rect::from_origin_size(room.origin(), extent.size() * scale);
    let mut numbered = Vec::new();
    for (name, outline) in lead_out(drawing, &mut named, &small, (&outlines, whole)) {
        numbered.push(name.to_owned());
        named.push(number_on(numbered.len(), outline, outline.bounding_box(), &named));
    }
    let names: Vec<Rect> = named.iter().map(Label::bounds).collect();
    for frame in &frames {
        let lines =
            frame.to_path(ROUND).segments().flat_map(|side| stopping_at(side, &names)).collect::<Vec<_>>();
        lines.into_iter().for_each(|(from, to)| drawing.line(LineKind::PageEdge, from, to));
    }
    drawing.labels.extend(named);
    (whole, numbered)
}

/// The names of pieces that have no room for them, each where nothing else is, as near as can be, and a line to it; gives the
/// pieces for which there is no such place.
fn lead_out<'a>(
    drawing: &mut Drawing,
    named: &mut Vec<Label>,
    small: &[(&'a str, &'a BezPath)],
    (outlines, whole): (&[BezPath], Rect),
) -> Vec<(&'a str, &'a BezPath)> {
    let mut room = LabelRoom::within(&[whole.to_path(ROUND)], MAP_AIR);
    room.block_path(&whole.to_path(ROUND));
    outlines.iter().for_each(|outline| room.block_path(outline));
    named.iter().for_each(|label| room.block_label(label));
    let mut left = Vec::new();
    for (name, outline) in small {
        let from = outline.bounding_box().center();
        let way = |turn: u32| Vec2::from_angle(f64::from(turn) * std::f64::consts::TAU / f64::from(LED_WAYS));
        let ways = LED.iter().flat_map(|long| (0..LED_WAYS).map(move |turn| (way(turn), *long)));
        let text = vec![((*name).to_owned(), 1.0)];
        let led = ways.into_iter().find_map(|(away, long)| {
            let end = from + away * long;
            let spot = LabelSpot::Beside { on: end, away, gap: 0.0, along: Vec2::new(1.0, 0.0) };
            let stands = block(&text, spot, LEAST_PRINTED).into_iter().flat_map(|label| {
                let [a, b, c, d] = label.corners();
                [a, b, c, d, a.midpoint(c), a.midpoint(b), c.midpoint(d)]
            });
            let mut places = stands.chain([end]);
            if places.any(|at| outlines.iter().any(|outline| outline.contains(at)))
                || !room.is_clear_of_labels((from, end))
            {
                return None;
            }
            Some((room.set(std::slice::from_ref(&text), &[LEAST_PRINTED], &[spot])?, end))
        });
        let Some((labels, end)) = led else {
            left.push((*name, *outline));
            continue;
        };
        let line = straight(from, end);
        room.block_path(&line);
        drawing.stroke(LineKind::Leader, line);
        named.extend(labels.into_iter().map(|label| Label { layer: Layer::Pages, ..label }));
    }
    left
}

/// A number on what is too small for its name: clear of its lines, else of other labels, else in its middle.
pub(super) fn number_on(number: usize, outline: &BezPath, bounds: Rect, labels: &[Label]) -> Label {
    let text = number.to_string();
    let spots = spots(bounds, &PIECE_SHARES, &PIECE_SHARES);
    let set = |lines: &[BezPath]| {
        let mut room = LabelRoom::within(std::slice::from_ref(outline), MAP_AIR);
        labels.iter().for_each(|label| room.block_label(label));
        lines.iter().for_each(|line| room.block_path(line));
        room.set(&[vec![(text.clone(), 1.0)]], &[LEAST_PRINTED], &spots)?.into_iter().next()
    };
    let label = set(std::slice::from_ref(outline)).or_else(|| set(&[])).unwrap_or_else(|| {
        let base = Label::base_of(bounds.center(), Vec2::new(1.0, 0.0), LEAST_PRINTED);
        Label::level(text.clone(), base, LEAST_PRINTED, Layer::Pages)
    });
    Label { layer: Layer::Pages, ..label }
}

/// What numbers stand for, in a sentence; none where there are none.
pub(super) fn numbers_told(names: &[String]) -> Option<String> {
    let told: Vec<String> =
        (1..).zip(names).map(|(number, name): (usize, _)| format!("{number} {name}")).collect();
    (!told.is_empty()).then(|| format!("Numbered for want of room: {}.", told.join(", ")))
}

/// What is left of an upright or level line that stops at the names which stand over it.
fn stopping_at(side: PathSeg, names: &[Rect]) -> Vec<(Point, Point)> {
    let (from, to) = (side.start(), side.end());
    let length = from.distance(to);
    if length <= SAME_POINT {
        return Vec::new();
    }
    let along = |at: Point| (at - from).dot(to - from) / length;
    let over = |name: &Rect| {
        let name = name.inflate(MAP_AIR, MAP_AIR);
        let (a, b) = (along(name.origin()), along(Point::new(name.x1, name.y1)));
        let crosses = Rect::from_points(from, to).inflate(SAME_POINT, SAME_POINT).overlaps(name);
        crosses.then(|| (a.min(b).max(0.0), a.max(b).min(length)))
    };
    let mut over: Vec<(f64, f64)> = names.iter().filter_map(over).collect();
    over.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut left = Vec::new();
    let mut begin = 0.0_f64;
    for (start, end) in over.into_iter().chain([(length, length)]) {
        if start > begin + SAME_POINT {
            left.push((from.lerp(to, begin / length), from.lerp(to, start / length)));
        }
        begin = begin.max(end);
    }
    left
}

/// The name of a piece where a room within its box has place for it, in one line or broken at its hyphens.
pub(super) fn name_in(room: &mut LabelRoom, title: &str, bounds: Rect) -> Option<Vec<Label>> {
    let spots = spots(bounds, &PIECE_SHARES, &PIECE_SHARES);
    let name = [vec![(title.to_owned(), 1.0)], broken_name(title, 3)];
    let labels = room.set(&name, &NAME_SIZES, &spots)?;
    Some(labels.into_iter().map(|label| Label { layer: Layer::Pages, ..label }).collect())
}

/// The name of a page on the map, clear of the pieces, else over them; none where the page has no room for it.
fn page_name(tile: Tile, inner: Rect, outlines: &[BezPath]) -> Option<Label> {
    let name = [vec![(tile.name(), 1.0)]];
    let size = (inner.width().min(inner.height()) * PAGE_NAME.1).clamp(LEAST_PRINTED, PAGE_NAME.0);
    let sizes = [size, size * 0.75].map(|size| size.max(LEAST_PRINTED));
    let spots = spots(inner, &PAGE_SHARES, &PAGE_SHARES_DOWN);
    let free = |others: &[BezPath]| {
        let mut page = LabelRoom::within(&[inner.to_path(ROUND)], MAP_AIR);
        page.block_path(&inner.to_path(ROUND));
        others.iter().for_each(|outline| page.block_path(outline));
        page.set(&name, &sizes, &spots)
    };
    let label = free(outlines).or_else(|| free(&[]))?.into_iter().next()?;
    Some(Label { tone: Tone::Dark, layer: Layer::Pages, ..label })
}

/// The numbers of the rows and the letters of the columns beside the map, as far as they have room.
fn beside(tiled: &Tiled, room: Rect, to: Affine) -> Vec<Label> {
    let middle = |row, column| to * tiled.grid.shown(Tile { row, column }).center();
    let (mut labels, half) = (Vec::<Label>::new(), MAP_BORDER / 2.0);
    let mut add = |text: String, at: Point| {
        let level = Vec2::new(1.0, 0.0);
        let base = Label::base_of(at, level, LEAST_PRINTED);
        let label = Label { tone: Tone::Dark, ..Label::level(text, base, LEAST_PRINTED, Layer::Pages) };
        let meets = |last: &Label| last.bounds().inflate(MAP_AIR, 0.0).overlaps(label.bounds());
        if !labels.last().is_some_and(meets) {
            labels.push(label);
        }
    };
    for column in 0..tiled.grid.columns {
        add(letters(column), Point::new(middle(0, column).x, room.y0 - half));
    }
    for row in 0..tiled.grid.rows {
        add((row + 1).to_string(), Point::new(room.x0 - half, middle(row, 0).y));
    }
    labels
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
