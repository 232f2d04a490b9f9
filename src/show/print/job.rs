//! From a pattern to pages.

use kurbo::{Affine, Rect, Size, Vec2};

use crate::allowance::SewingOrder;
use crate::canvas::{
    Area, BoxOrder, BoxSizes, Drawing, Label, Layer, LineKind, Lying, Put, Tone, Turning, place, straight,
};
use crate::curve::Point;
use crate::show::piece::{PieceDrawing, as_cut_wide};
use crate::show::print::cover::cover;
use crate::show::print::frame::{DIAMOND, Frame, Header, TRIAL, half_diamond, letter_boxes};
use crate::show::print::key::LineKey;
use crate::show::print::notes::{self, ALLOWANCES};
use crate::show::print::on_cloth::on_cloth;
use crate::show::print::options::{PrintError, PrintOptions};
use crate::show::print::pages::{Page, ShownArea};
use crate::show::print::section::{DrawnTurned, GAP, INSET, Section, Tiled};
use crate::show::print::tiles::{Grid, Inked, Tile, letters};
use crate::units::Unit;

/// The most pages side by side that are tried.
const MOST_COLUMNS: usize = 14;

/// The longest page, mm: readers take no more than 14,400 points (5.08 m).
pub(super) const LONGEST_PAGE: f64 = 5000.0;

/// Where along a page's edge its diamond is tried.
const DIAMOND_SHARES: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88];

/// At how many places between the ends of the edge it is tried after those.
const DIAMONDS_BETWEEN: u32 = 45;

/// Font heights of the name of a page on its pattern, mm.
const PALE: [f64; 3] = [10.0, 8.0, 6.0];

/// Air around that name, mm, the one that is wished first: near a title it would be read with it.
const PALE_AIR: [f64; 2] = [9.0, 2.0];

fn sizes(pieces: &[DrawnTurned]) -> Vec<BoxSizes> {
    pieces.iter().map(DrawnTurned::sizes).collect()
}

/// Pieces over as few pages as can be found.
pub(super) fn tile(
    pieces: &[DrawnTurned],
    order: &SewingOrder,
    window: Size,
    overlap: f64,
) -> Result<Tiled, PrintError> {
    let boxes = sizes(pieces);
    let inked: Vec<[Inked; 2]> =
        pieces.iter().map(|piece| [Inked::of(&piece.upright), Inked::of(&piece.quarter)]).collect();
    let mut best: Option<(Vec<Put>, Grid, Vec<Tile>)> = None;
    let score = |grid: &Grid, tiles: &[Tile]| (tiles.len(), grid.rows * grid.columns, grid.longer_side());
    for columns in 1..=MOST_COLUMNS {
        let width = window.width + (window.width - overlap) * (columns - 1) as f64;
        let area = Area { width: width - GAP, height: None, gap: GAP };
        for (sorted, turning) in ways() {
            let Ok(puts) = place(&boxes, area, sorted, turning) else { continue };
            let moved: Vec<(&Inked, Vec2)> =
                inked.iter().zip(&puts).map(|(ink, put)| at_place(ink, put)).collect();
            let extent = moved.iter().map(|(ink, by)| ink.bounds + *by).reduce(|a, b| a.union(b));
            let extent = extent.unwrap_or_default();
            let grid = Grid::over(Size::new(extent.x1 + 1.0, extent.y1 + 1.0), window, overlap);
            let tiles = grid.needed(moved);
            if best.as_ref().is_none_or(|(_, best, least)| score(&grid, &tiles) < score(best, least)) {
                best = Some((puts, grid, tiles));
            }
        }
    }
    let Some((puts, grid, tiles)) = best else {
        return Err(PrintError::paper_too_small(window));
    };
    let joins = grid.joins();
    let placed = pieces.iter().zip(&puts).map(|(piece, put)| piece.placed_across(put, order, &joins));
    Ok(Tiled { pieces: placed.collect::<Result<_, _>>()?, grid, tiles })
}

fn ways() -> impl Iterator<Item = (BoxOrder, Turning)> {
    BoxOrder::ALL
        .into_iter()
        .flat_map(|order| [Turning::Never, Turning::Free].map(|turning| (order, turning)))
}

fn at_place<'a>(ink: &'a [Inked; 2], put: &Put) -> (&'a Inked, Vec2) {
    let ink = match put.lying {
        Lying::Upright | Lying::Half => &ink[0],
        Lying::Quarter | Lying::ThreeQuarters => &ink[1],
    };
    (ink, put.corner + INSET - ink.bounds.origin())
}

/// Pieces whole on single sheets, as few as can be found and none longer than need be.
pub(super) fn sheets(pieces: &[DrawnTurned], window: Size) -> Result<Vec<Vec<PieceDrawing>>, PrintError> {
    let boxes = sizes(pieces);
    let area = Area { width: window.width - GAP, height: Some(window.height - GAP), gap: GAP };
    let mut best: Option<((usize, f64), Vec<Put>)> = None;
    let mut too_large = None;
    for (order, turning) in ways() {
        match place(&boxes, area, order, turning) {
            Err(index) if turning == Turning::Free => too_large = Some(index),
            Err(_) => {}
            Ok(puts) => {
                let sheets = puts.iter().map(|put| put.sheet + 1).max().unwrap_or(0);
                let down = |(put, sizes): (&Put, &BoxSizes)| put.corner.y + sizes.lying(put.lying).height;
                let last = puts.iter().zip(&boxes).filter(|(put, _)| put.sheet + 1 == sheets).map(down);
                let score = (sheets, last.fold(0.0, f64::max));
                if best.as_ref().is_none_or(|(least, _)| score < *least) {
                    best = Some((score, puts));
                }
            }
        }
    }
    let Some(((count, _), puts)) = best else {
        return Err(PrintError::piece_too_large(&pieces[too_large.unwrap_or(0)].upright, window));
    };
    let mut sheets = vec![Vec::new(); count];
    for (piece, put) in pieces.iter().zip(&puts) {
        sheets[put.sheet].push(piece.placed(put));
    }
    Ok(sheets)
}

impl Tiled {
    fn has(&self, row: Option<usize>, column: Option<usize>) -> Option<Tile> {
        let tile = Tile { row: row?, column: column? };
        self.tiles.binary_search(&tile).is_ok().then_some(tile)
    }

    fn neighbours(&self, tile: Tile) -> [Option<Tile>; 4] {
        let Tile { row, column } = tile;
        [
            self.has(Some(row), column.checked_sub(1)),
            self.has(Some(row), Some(column + 1)),
            self.has(row.checked_sub(1), Some(column)),
            self.has(Some(row + 1), Some(column)),
        ]
    }

    /// The pages on which each piece is.
    fn tiles_of(&self, piece: &PieceDrawing) -> Vec<Tile> {
        let ink = Inked::of(piece);
        self.grid.needed([(&ink, Vec2::ZERO)])
    }

    /// What is on the pages, a line for each piece.
    pub(super) fn contents(&self, unit: Unit) -> Vec<String> {
        let line = |piece: &PieceDrawing| {
            let tiles = self.tiles_of(piece);
            let pages = match (tiles.first(), tiles.last()) {
                (Some(first), Some(last)) if first != last => {
                    let rows = tiles.iter().map(|tile| tile.row);
                    let columns = tiles.iter().map(|tile| tile.column);
                    let from = Tile {
                        row: rows.clone().min().unwrap_or(0),
                        column: columns.clone().min().unwrap_or(0),
                    };
                    let to = Tile { row: rows.max().unwrap_or(0), column: columns.max().unwrap_or(0) };
                    format!("{} to {}", from.name(), to.name())
                }
                (Some(only), _) => only.name(),
                _ => String::new(),
            };
            let wide = piece.cut_width.map_or_else(String::new, |width| {
                let opened = if piece.half { ", opened out" } else { "" };
                format!(", {}{opened}", as_cut_wide(width, unit))
            });
            format!("{}: {}, {} cloth{wide} · {pages}", piece.title, piece.count, piece.cloth)
        };
        self.pieces.iter().map(line).collect()
    }

    /// The pages, the map first where there is more than one, or where the only one has no room for the key.
    pub(super) fn pages(&self, frame: &Frame, options: &PrintOptions, section: &Section) -> Vec<Page> {
        let inked: Vec<Inked> = self.pieces.iter().map(Inked::of).collect();
        let homes: Vec<Vec<Tile>> = self.pieces.iter().map(|piece| self.tiles_of(piece)).collect();
        let joints = self.joints(&inked);
        let alone = self.tiles.len() == 1;
        let key = match alone {
            true => {
                let key = LineKey::of(&self.pieces).under(&section.title, section.said_on_cover());
                key.in_room(frame.window.size(), &self.pieces)
            }
            false => None,
        };
        let mut pages = Vec::new();
        if key.is_none() {
            pages.extend(self.cover(frame, options, section));
        }
        if section.area == 0 {
            pages.extend(on_cloth_pages(frame, options, section));
        }
        for tile in &self.tiles {
            let mut furniture = frame.furniture(&self.header(*tile, &homes, section));
            let shown = self.grid.shown(*tile);
            let to_page = Affine::translate(frame.window.origin() - shown.origin());
            self.joins(&mut furniture, *tile, frame, &joints, to_page);
            if !alone {
                furniture.labels.extend(self.pale_name(*tile, &inked, to_page));
            }
            if let Some(key) = &key {
                furniture.add(key.drawing.moved(to_page));
            }
            let content = clipped(&self.pieces, shown, to_page);
            pages.push(Page {
                label: format!("{}{}", section.prefix, tile.name()),
                page: frame.page,
                window: frame.window,
                content,
                furniture,
                shown: Some(ShownArea { area: section.area, tile: Some(*tile), rect: shown }),
                bookmarks: self.bookmarks(*tile, &homes, to_page),
            });
        }
        pages
    }

    /// What a page says of itself: its place among the others, and the pieces on it.
    fn header(&self, tile: Tile, homes: &[Vec<Tile>], section: &Section) -> Header {
        let on_it = self.pieces.iter().zip(homes).filter(|(_, tiles)| tiles.contains(&tile));
        let titles: Vec<&str> = on_it.map(|(piece, _)| piece.title.as_str()).collect();
        let mut lines = vec![section.title.clone()];
        lines.extend(section.untrue_in_short().into_iter().chain(section.corrected.clone()));
        if self.tiles.len() == 1 {
            lines.extend([ALLOWANCES, TRIAL].map(str::to_owned));
            return Header { lines, ..Header::default() };
        }
        let number = self.tiles.iter().position(|one| *one == tile).map_or(0, |index| index + 1);
        lines.push(format!("page {number} of {}", self.tiles.len()));
        lines.push(format!("row {}, column {}", tile.row_name(), tile.column_name()));
        lines.extend((!titles.is_empty()).then(|| titles.join(", ")));
        let [left, right, above, below] = self.neighbours(tile).map(|tile| tile.map(Tile::name));
        Header { name: tile.name(), lines, left, right, above, below }
    }

    /// The cover with the map of the pages, and as many more pages as what it says needs.
    fn cover(&self, frame: &Frame, options: &PrintOptions, section: &Section) -> Vec<Page> {
        let (extent, paper) = (self.extent().size(), options.paper.title());
        let notes = notes::of_pages(self.tiles.len(), &paper, &self.grid, extent, options.unit);
        let drawings = cover(frame, self, section, &notes, options.unit);
        leading(drawings, frame, section, ("map", "map of the pages"))
    }

    /// The diamonds between pages: where they stand, mm of the area, and their letters.
    fn joints(&self, inked: &[Inked]) -> Vec<PageSeam> {
        let mut joints = Vec::new();
        for tile in &self.tiles {
            let shown = self.grid.shown(*tile);
            let [_, right, _, below] = self.neighbours(*tile);
            let overlap = self.grid.overlap;
            let length = Size::new(shown.width() - overlap, shown.height() - overlap);
            if let Some(next) = right {
                let x = self.grid.shown(next).x0;
                let at = |share: f64| Point::new(x, shown.y0 + overlap + length.height * share);
                let way = Vec2::new(1.0, 0.0);
                joints.push(PageSeam::new(*tile, next, way, clear(at, way, inked), joints.len()));
            }
            if let Some(next) = below {
                let y = self.grid.shown(next).y0;
                let at = |share: f64| Point::new(shown.x0 + overlap + length.width * share, y);
                let way = Vec2::new(0.0, 1.0);
                joints.push(PageSeam::new(*tile, next, way, clear(at, way, inked), joints.len()));
            }
        }
        joints
    }

    /// Lines onto which the next pages are laid, and the halves of the diamonds.
    fn joins(&self, drawing: &mut Drawing, tile: Tile, frame: &Frame, joints: &[PageSeam], to_page: Affine) {
        let window = frame.window;
        for joint in joints.iter().filter(|joint| joint.before == tile || joint.after == tile) {
            let at = to_page * joint.at;
            let into = if joint.before == tile { -joint.way } else { joint.way };
            drawing.add(half_diamond(at, into, &joint.letter));
            if joint.before == tile && self.grid.overlap > 0.0 {
                let line = if joint.way.x > 0.0 {
                    straight(Point::new(at.x, window.y0), Point::new(at.x, window.y1))
                } else {
                    straight(Point::new(window.x0, at.y), Point::new(window.x1, at.y))
                };
                drawing.stroke(LineKind::PageEdge, line);
            }
        }
    }

    /// The name of a page, large and not black, which stays when its strips are cut off, where nothing is drawn.
    fn pale_name(&self, tile: Tile, inked: &[Inked], to_page: Affine) -> Option<Label> {
        let shown = self.grid.shown(tile);
        let shares = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9];
        for (air, size) in PALE_AIR.into_iter().flat_map(|air| PALE.map(|size| (air, size))) {
            for (x, y) in shares.into_iter().flat_map(|y| shares.map(|x| (x, y))) {
                let at = shown.origin() + Vec2::new(shown.width() * x, shown.height() * y);
                let mut label = Label::level(tile.name(), at, size, Layer::Pages);
                label.tone = Tone::Dark;
                let around = label.bounds().inflate(air, air);
                let inside = shown.inflate(-self.grid.overlap, -self.grid.overlap);
                if inside.contains_rect(around) && !inked.iter().any(|ink| ink.is_in(around)) {
                    label.at = to_page * label.at;
                    return Some(label);
                }
            }
        }
        None
    }

    fn bookmarks(&self, tile: Tile, homes: &[Vec<Tile>], to_page: Affine) -> Vec<(String, Point)> {
        let begins = self.pieces.iter().zip(homes).filter(|(_, tiles)| tiles.first() == Some(&tile));
        begins.map(|(piece, _)| (piece.title.clone(), to_page * piece.bounds.origin())).collect()
    }
}

/// A seam between two pages.
struct PageSeam {
    before: Tile,
    after: Tile,
    /// From the one to the other.
    way: Vec2,
    at: Point,
    letter: String,
}

impl PageSeam {
    fn new(before: Tile, after: Tile, way: Vec2, at: Point, index: usize) -> PageSeam {
        PageSeam { before, after, way, at, letter: letters(index).to_lowercase() }
    }
}

/// The first place around which nothing is drawn; else, as where a line runs along the page's edge, one at which nothing
/// crosses the letters; else the one that is wished.
fn clear(at: impl Fn(f64) -> Point, way: Vec2, inked: &[Inked]) -> Point {
    let reach = DIAMOND + 1.0;
    let places = || {
        let between =
            (0..DIAMONDS_BETWEEN).map(|i| 0.06 + 0.88 * f64::from(i) / f64::from(DIAMONDS_BETWEEN - 1));
        DIAMOND_SHARES.into_iter().chain(between).map(&at)
    };
    let empty = |place: Rect| !inked.iter().any(|ink| ink.is_in(place));
    let whole = places().find(|place| empty(Rect::from_center_size(*place, (2.0 * reach, 2.0 * reach))));
    let read = || places().find(|place| letter_boxes(*place, way).into_iter().all(empty));
    whole.or_else(read).unwrap_or_else(|| at(DIAMOND_SHARES[0]))
}

/// What of pieces is to be seen in a box, moved to its place on the page.
pub(super) fn clipped(pieces: &[PieceDrawing], shown: Rect, to_page: Affine) -> Drawing {
    use kurbo::Shape;
    /// Half the width of the thickest line, and more, mm.
    const REACH: f64 = 1.0;
    let seen = shown.inflate(REACH, REACH);
    let mut drawing = Drawing::default();
    for piece in pieces.iter().filter(|piece| piece.bounds.overlaps(seen)) {
        let all = &piece.drawing;
        let strokes = all.strokes.iter().filter(|stroke| seen.overlaps(stroke.path.bounding_box()));
        drawing.strokes.extend(strokes.cloned());
        let fills = all.fills.iter().filter(|fill| seen.overlaps(fill.path.bounding_box()));
        drawing.fills.extend(fills.cloned());
        drawing.labels.extend(all.labels.iter().filter(|label| seen.overlaps(label.bounds())).cloned());
    }
    drawing.moved(to_page)
}

/// A single sheet with whole pieces on it.
pub(super) fn single(
    frame: &Frame,
    pieces: &[PieceDrawing],
    section: &Section,
    (index, total): (usize, usize),
) -> Page {
    let to_page = Affine::translate(frame.window.origin().to_vec2());
    let mut lines = vec![section.title.clone(), format!("sheet {} of {total}", index + 1)];
    lines.extend(section.untrue_in_short().into_iter().chain(section.corrected.clone()));
    if index == 0 {
        lines.extend(section.about.iter().cloned().chain(section.finished.clone()));
    }
    lines.extend([ALLOWANCES, TRIAL].map(str::to_owned));
    let furniture = frame.furniture(&Header { lines, ..Header::default() });
    let shown = Rect::from_origin_size(Point::ORIGIN, frame.window.size());
    Page {
        label: format!("{}{}", section.prefix, index + 1),
        page: frame.page,
        window: frame.window,
        content: clipped(pieces, shown, to_page),
        furniture,
        shown: Some(ShownArea { area: section.area, tile: None, rect: shown }),
        bookmarks: pieces
            .iter()
            .map(|piece| (piece.title.clone(), to_page * piece.bounds.origin()))
            .collect(),
    }
}

/// Pages on which the cloths of layouts are shown.
fn on_cloth_pages(frame: &Frame, options: &PrintOptions, section: &Section) -> Vec<Page> {
    let drawings = on_cloth(frame.window.inflate(-4.0, -3.0), &options.layouts);
    leading(drawings, frame, section, ("cloth", "on the cloth"))
}

/// Pages that come before the pattern, each called by a word, and told as what they are.
fn leading(
    drawings: Vec<Drawing>,
    frame: &Frame,
    section: &Section,
    (word, what): (&str, &str),
) -> Vec<Page> {
    let page = |(index, drawing): (usize, Drawing)| {
        let number = if index == 0 { String::new() } else { format!(" {}", index + 1) };
        let mut lines = vec![section.title.clone(), format!("{what}{number}")];
        lines.extend(section.untrue_in_short().into_iter().chain(section.corrected.clone()));
        let mut furniture = frame.furniture(&Header { lines, ..Header::default() });
        furniture.add(drawing);
        let begins = (index == 0).then(|| (format!("{}{what}", section.prefix), Point::new(0.0, 0.0)));
        Page {
            label: format!("{}{word}{number}", section.prefix),
            page: frame.page,
            window: frame.window,
            content: Drawing::default(),
            furniture,
            shown: None,
            bookmarks: begins.into_iter().collect(),
        }
    };
    drawings.into_iter().enumerate().map(page).collect()
}
