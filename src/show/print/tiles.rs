//! Which pages an area is cut into, and which of them are needed.
//!
//! ```text
//!   window of 1-A ├──────────────────┤
//!                window of 1-B  ├──────────────────┤
//!                               ├──┤  overlap: on both
//! ```

use kurbo::{BezPath, Rect, Size, Vec2};

use crate::canvas::{chords, holds, points, straight};
use crate::curve::{Point, TurnedBox};
use crate::show::piece::PieceDrawing;
use crate::tolerance::SAME_POINT;

/// A page of a grid, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tile {
    /// From the top.
    pub row: usize,
    /// From the left.
    pub column: usize,
}

impl Tile {
    /// Row and column, `2-C`: nothing that a paper is called.
    #[must_use]
    pub fn name(self) -> String {
        format!("{}-{}", self.row_name(), self.column_name())
    }

    /// The number of its row: 1 is on top.
    pub(super) fn row_name(self) -> String {
        (self.row + 1).to_string()
    }

    /// The letter of its column: A is on the left.
    pub(super) fn column_name(self) -> String {
        letters(self.column)
    }
}

/// A, B … Z, AA, AB …
pub(super) fn letters(index: usize) -> String {
    let last = char::from(b'A' + (index % 26) as u8);
    if index < 26 { last.to_string() } else { format!("{}{last}", letters(index / 26 - 1)) }
}

/// Pages beside and under one another, each overlapping the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    pub rows: usize,
    pub columns: usize,
    pub window: Size,
    pub overlap: f64,
}

/// The most pages of a grid in each direction.
const MOST: f64 = 1000.0;

impl Grid {
    /// The least grid that shows an extent.
    pub(super) fn over(extent: Size, window: Size, overlap: f64) -> Grid {
        let count = |length: f64, shown: f64| {
            ((length - overlap - SAME_POINT) / (shown - overlap)).ceil().clamp(1.0, MOST) as usize
        };
        Grid {
            rows: count(extent.height, window.height),
            columns: count(extent.width, window.width),
            window,
            overlap,
        }
    }

    /// The longer side of all pages put together, in whole millimetres.
    pub(super) fn longer_side(&self) -> u64 {
        let side = |shown: f64, count: usize| shown + (shown - self.overlap) * (count - 1) as f64;
        side(self.window.width, self.columns).max(side(self.window.height, self.rows)).round() as u64
    }

    pub(super) fn step(&self) -> Vec2 {
        Vec2::new(self.window.width - self.overlap, self.window.height - self.overlap)
    }

    /// What a page shows.
    pub(super) fn shown(&self, tile: Tile) -> Rect {
        let origin = Point::new(self.step().x * tile.column as f64, self.step().y * tile.row as f64);
        Rect::from_origin_size(origin, self.window)
    }

    /// The lines along which pages lie on one another when they are put together.
    pub(super) fn joins(&self) -> Vec<BezPath> {
        let step = self.step();
        let far = Point::new(step.x * self.columns as f64, step.y * self.rows as f64) + self.window.to_vec2();
        let upright = (1..self.columns).map(|column| {
            let x = step.x * column as f64;
            straight(Point::new(x, 0.0), Point::new(x, far.y))
        });
        let level = (1..self.rows).map(|row| {
            let y = step.y * row as f64;
            straight(Point::new(0.0, y), Point::new(far.x, y))
        });
        upright.chain(level).collect()
    }

    /// What a page alone answers for: what it shows, less what the pages before show as well.
    fn own(&self, tile: Tile) -> Rect {
        let shown = self.shown(tile);
        let before = |index: usize| if index == 0 { 0.0 } else { self.overlap };
        Rect::new(shown.x0 + before(tile.column), shown.y0 + before(tile.row), shown.x1, shown.y1)
    }

    fn column_of(&self, x: f64) -> usize {
        (((x - self.overlap) / self.step().x).max(0.0) as usize).min(self.columns - 1)
    }

    fn row_of(&self, y: f64) -> usize {
        (((y - self.overlap) / self.step().y).max(0.0) as usize).min(self.rows - 1)
    }

    fn tiles_of(&self, bounds: Rect) -> impl Iterator<Item = Tile> + use<> {
        let columns = self.column_of(bounds.x0)..=self.column_of(bounds.x1);
        let rows = self.row_of(bounds.y0)..=self.row_of(bounds.y1);
        rows.flat_map(move |row| columns.clone().map(move |column| Tile { row, column }))
    }

    /// The pages on which something is drawn, or which lie within a piece, row by row.
    pub(super) fn needed<'a>(&self, inked: impl IntoIterator<Item = (&'a Inked, Vec2)>) -> Vec<Tile> {
        let mut needed = vec![false; self.rows * self.columns];
        let index = |tile: Tile| tile.row * self.columns + tile.column;
        for (ink, by) in inked {
            for (from, to) in &ink.chords {
                let line = (*from + by, *to + by);
                let bounds = Rect::from_points(line.0, line.1);
                let (first, last) = (bounds.origin(), Point::new(bounds.x1, bounds.y1));
                let first = Tile { row: self.row_of(first.y), column: self.column_of(first.x) };
                if first == (Tile { row: self.row_of(last.y), column: self.column_of(last.x) }) {
                    needed[index(first)] = true;
                    continue;
                }
                for tile in self.tiles_of(bounds) {
                    needed[index(tile)] |= upright(self.own(tile)).is_met_by(line);
                }
            }
            for tile in self.tiles_of(ink.bounds + by) {
                let middle = self.own(tile).center() - by;
                needed[index(tile)] |= holds(&ink.ring, middle);
            }
        }
        let all = Rect::from_origin_size(Point::ORIGIN, (f64::MAX, f64::MAX));
        self.tiles_of(all).filter(|tile| needed[index(*tile)]).collect()
    }
}

/// An upright box.
pub(super) fn upright(rect: Rect) -> TurnedBox {
    TurnedBox {
        centre: rect.center(),
        along: Vec2::new(1.0, 0.0),
        half: Vec2::new(rect.width() / 2.0, rect.height() / 2.0),
    }
}

/// Where a piece leaves ink, as straight lines, and the loop within which its paper is needed.
#[derive(Clone, Debug)]
pub(super) struct Inked {
    pub chords: Vec<(Point, Point)>,
    pub ring: Vec<Point>,
    pub bounds: Rect,
}

impl Inked {
    pub(super) fn of(piece: &PieceDrawing) -> Inked {
        let drawing = &piece.drawing;
        let mut lines: Vec<(Point, Point)> =
            drawing.strokes.iter().flat_map(|stroke| chords(&stroke.path, 1.0)).collect();
        lines.extend(drawing.fills.iter().flat_map(|fill| chords(&fill.path, 1.0)));
        for label in &drawing.labels {
            let corners = label.corners();
            lines.extend((0..4).map(|i| (corners[i], corners[(i + 1) % 4])));
        }
        Inked { chords: lines, ring: points(&piece.outline, 1.0), bounds: piece.bounds }
    }

    /// Whether something is drawn in a box.
    pub(super) fn is_in(&self, rect: Rect) -> bool {
        self.bounds.overlaps(rect) && self.chords.iter().any(|line| upright(rect).is_met_by(*line))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_named_by_row_and_column_and_not_like_papers() {
        assert_eq!(Tile { row: 1, column: 2 }.name(), "2-C");
        assert_eq!([0, 25, 26, 51, 52, 701, 702].map(letters), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn a_grid_shows_its_extent_with_no_page_too_many() {
        let grid = |width| Grid::over(Size::new(width, 50.0), Size::new(100.0, 100.0), 10.0);
        assert_eq!([90.0, 100.0, 100.1, 190.0, 190.1].map(|width| grid(width).columns), [1, 1, 2, 2, 3]);
        let last = grid(190.0).shown(Tile { row: 0, column: 1 });
        assert_eq!((last.x0, last.x1), (90.0, 190.0));
    }
}
