//! The page that comes first: what the pattern is, how the pages are put together, what is on them, and what the lines mean.
//!
//! What has no room on it goes on over as many pages as it needs: nothing on paper is smaller than can be read.

use kurbo::Rect;

use crate::canvas::{Drawing, Label, Layer, wrapped};
use crate::curve::Point;
use crate::show::print::frame::Frame;
use crate::show::print::key::LineKey;
use crate::show::print::map::{map, numbers_told, scale_in};
use crate::show::print::section::{Section, Tiled};
use crate::tolerance::LEAST_PRINTED;
use crate::units::Unit;

/// Font heights, mm: titles, that the pattern is not true, what the pattern is, text.
const TITLE: f64 = 8.0;
const WARNING: f64 = 4.5;
const ABOUT: f64 = 3.4;
const TEXT: f64 = 2.9;

/// Font heights in which the pieces are listed, mm, the one that is wished first.
const LISTED: [f64; 3] = [TEXT, 2.5, LEAST_PRINTED];

/// Distance of lines, as a multiple of the font's height.
const LEADING: f64 = 1.4;

/// What share of the window's height the map may take, the one that is wished first: less where all has room on one page then.
const MAP_SHARES: [f64; 4] = [0.44, 0.4, 0.36, 0.32];

/// Width of the texts where they stand beside the map, mm, and how many times as large the map must be for that.
const TEXT_WIDTH: f64 = 100.0;
const BESIDE_FROM: f64 = 1.15;

/// Distance of columns, mm.
const BETWEEN: f64 = 8.0;

/// Where the next line goes: a column of a page.
#[derive(Clone, Copy)]
struct Column {
    page: usize,
    x: f64,
    y: f64,
    width: f64,
    bottom: f64,
}

/// Pages under way.
struct Cover {
    pages: Vec<Drawing>,
    window: Rect,
    /// Those that are open, the one that is filled first.
    columns: Vec<Column>,
}

impl Cover {
    /// How high lines of text are in a column, mm.
    fn height(text: &str, size: f64, width: f64) -> f64 {
        wrapped(text, size, width).len() as f64 * size * LEADING
    }

    /// A text at the head of the first column that has room for it.
    fn text(&mut self, text: &str, size: f64) {
        let height = |column: &Column| Cover::height(text, size, column.width);
        let column = self.taken(height);
        for (line, text) in (1..).zip(wrapped(text, size, column.width)) {
            let at = Point::new(column.x, column.y + size * LEADING * f64::from(line));
            self.pages[column.page].labels.push(Label::from_left(text, at, size, Layer::Pages));
        }
    }

    fn key(&mut self, key: &LineKey) {
        let column = self.taken(|_| key.height() + TEXT);
        let at = Point::new(column.x, column.y + TEXT);
        self.pages[column.page].add(key.drawn(at, key.len()));
    }

    /// Takes room for something so high in the first open column that has it; those before it are full. A page is added
    /// where none has.
    fn taken(&mut self, height: impl Fn(&Column) -> f64) -> Column {
        let open = self.columns.iter().position(|column| column.y + height(column) <= column.bottom);
        match open {
            Some(full) => {
                self.columns.drain(..full);
            }
            None => {
                let page = self.pages.len();
                self.pages.push(Drawing::default());
                self.columns = halves(self.window, self.window.y0, page).to_vec();
            }
        }
        let found = self.columns[0];
        self.columns[0].y += height(&found);
        found
    }
}

/// Two columns of a page from some way down.
fn halves(window: Rect, y: f64, page: usize) -> [Column; 2] {
    let width = (window.width() - BETWEEN) / 2.0;
    [window.x0, window.x1 - width].map(|x| Column { page, x, y, width, bottom: window.y1 })
}

/// The cover of a tiled area: its first page, and those over which it goes on.
pub(super) fn cover(
    frame: &Frame,
    tiled: &Tiled,
    section: &Section,
    notes: &[String],
    unit: Unit,
) -> Vec<Drawing> {
    let [wished, less @ ..] = MAP_SHARES;
    let with_map = |share| with_map(frame, tiled, section, (notes, unit), share);
    let cover = with_map(wished);
    match cover.len() {
        1 => cover,
        _ => less.into_iter().map(with_map).find(|less| less.len() == 1).unwrap_or(cover),
    }
}

/// The cover with a map of at most a share of the window's height.
fn with_map(
    frame: &Frame,
    tiled: &Tiled,
    section: &Section,
    (notes, unit): (&[String], Unit),
    share: f64,
) -> Vec<Drawing> {
    let window = frame.window.inflate(-4.0, -3.0);
    let first = Column { page: 0, x: window.x0, y: window.y0, width: window.width(), bottom: window.y1 };
    let mut cover = Cover { pages: vec![Drawing::default()], window, columns: vec![first] };
    cover.text(&section.title, TITLE);
    let warnings = usize::from(section.untrue.is_some());
    for (i, line) in section.said_on_cover().enumerate() {
        cover.text(&line, if i < warnings { WARNING } else { ABOUT });
    }
    notes.iter().for_each(|note| cover.text(note, TEXT));
    let (page, top) = cover.columns.first().map_or((0, window.y0), |column| (column.page, column.y + TEXT));
    let below = Rect::new(window.x0, top, window.x1, top + window.height() * share);
    let beside = Rect::new(window.x0, top, window.x1 - TEXT_WIDTH, window.y1);
    let (key, mut rows) = (LineKey::of(&tiled.pieces), tiled.contents(unit));
    if beside.width() > 0.0 && scale_in(tiled, beside) > scale_in(tiled, below) * BESIDE_FROM {
        let (drawn, numbered) = map(&mut cover.pages[page], tiled, beside);
        rows.splice(0..0, numbers_told(&numbered));
        let (x, width) = (drawn.x1 + TEXT, window.x1 - drawn.x1 - TEXT);
        let beside = Column { page, x, y: top, width, bottom: window.y1 };
        let under = Column { x: window.x0, y: drawn.y1 + TEXT, width: drawn.width(), ..beside };
        let fits_under = under.y + key.height() + TEXT <= under.bottom && key.width() <= drawn.width();
        if fits_under {
            cover.columns = vec![under];
            cover.key(&key);
        }
        cover.columns = vec![beside];
        list(&mut cover, &rows, if fits_under { 0.0 } else { key.height() + TEXT });
        if !fits_under {
            cover.key(&key);
        }
        return cover.pages;
    }
    let (drawn, numbered) = map(&mut cover.pages[page], tiled, below);
    rows.splice(0..0, numbers_told(&numbered));
    let [left, right] = halves(window, drawn.y1 + TEXT / 2.0, page);
    cover.columns = vec![right];
    cover.key(&key);
    let rest = std::mem::take(&mut cover.columns);
    cover.columns = [left].into_iter().chain(rest).collect();
    list(&mut cover, &rows, 0.0);
    cover.pages
}

/// Lists the pieces, in the largest letters in which the open columns have room for all, and for something so high after them;
/// where they have none, in the usual ones and on.
fn list(cover: &mut Cover, rows: &[String], after: f64) {
    let fits = |size: &f64| {
        let mut columns = cover.columns.iter().copied();
        let Some(mut column) = columns.next() else { return false };
        let mut takes = |height: &dyn Fn(f64) -> f64| {
            while column.y + height(column.width) > column.bottom {
                let Some(next) = columns.next() else { return false };
                column = next;
            }
            column.y += height(column.width);
            true
        };
        rows.iter().all(|row| takes(&|width| Cover::height(row, *size, width))) && takes(&|_| after)
    };
    let size = LISTED.into_iter().find(fits).unwrap_or(TEXT);
    rows.iter().for_each(|row| cover.text(row, size));
}
