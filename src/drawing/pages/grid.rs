//! The grid in which pages lie: their steps, the cell and the place of each.

use kurbo::{Size, Vec2};
use serde::{Serialize, Serializer};

use super::window::WindowSide;
use crate::tolerance::{LEAST_STEP_OF_PAGE, OFF_GRID};

/// A place in a grid of pages, counted from its upper left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Cell {
    /// From the left.
    #[serde(serialize_with = "from_one")]
    pub column: i32,
    /// From the top.
    #[serde(serialize_with = "from_one")]
    pub row: i32,
}

/// As a person counts.
fn from_one<S: Serializer>(place: &i32, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_i32(place + 1)
}

impl Cell {
    /// A cell as far on as another is from the first.
    pub(super) fn moved(self, by: Cell) -> Cell {
        Cell { column: self.column + by.column, row: self.row + by.row }
    }

    /// The cell at a side of it.
    pub(super) fn beside(self, side: WindowSide) -> Cell {
        let way = side.outward();
        self.moved(Cell { column: way.x as i32, row: way.y as i32 })
    }

    fn back(self, by: Cell) -> Cell {
        Cell { column: self.column - by.column, row: self.row - by.row }
    }
}

/// What shows how two pages lie to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Link {
    pub from: usize,
    pub to: usize,
    /// How far the second page lies from the first, mm.
    pub shift: Vec2,
    /// How much speaks for it.
    pub votes: usize,
}

/// How far pages lie from each other across and down, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PageStep(pub Vec2);

impl PageStep {
    /// The step that most links are whole multiples of; that of the page where no link leads across or down.
    pub fn of(links: &[Link], page: Size) -> PageStep {
        let across: Vec<(f64, usize)> = links.iter().map(|link| (link.shift.x, link.votes)).collect();
        let down: Vec<(f64, usize)> = links.iter().map(|link| (link.shift.y, link.votes)).collect();
        PageStep(Vec2::new(step(&across, page.width), step(&down, page.height)))
    }

    /// By how many cells a shift leads on; none where it does not lead from page to page.
    pub fn cells(self, shift: Vec2) -> Option<Cell> {
        let (column, row) = (steps(shift.x, self.0.x)?, steps(shift.y, self.0.y)?);
        (column != 0 || row != 0).then_some(Cell { column, row })
    }

    /// Where a cell lies, mm.
    pub fn place(self, cell: Cell) -> Vec2 {
        Vec2::new(self.0.x * f64::from(cell.column), self.0.y * f64::from(cell.row))
    }
}

/// How many steps a way is, where it is a whole number of them.
fn steps(way: f64, step: f64) -> Option<i32> {
    let count = (way / step).round();
    ((way - count * step).abs() <= OFF_GRID && count.abs() < 1e4).then_some(count as i32)
}

fn step(ways: &[(f64, usize)], page: f64) -> f64 {
    let least = LEAST_STEP_OF_PAGE * page;
    let may = |way: &f64| *way >= least && *way <= page + OFF_GRID;
    let mut candidates: Vec<f64> = ways.iter().map(|(way, _)| way.abs()).filter(may).collect();
    candidates.sort_by(f64::total_cmp);
    candidates.dedup_by(|a, b| (*a - *b).abs() <= OFF_GRID / 4.0);
    let fitting = |step: f64| -> usize {
        let fit = ways.iter().filter(|(way, _)| steps(*way, step).is_some());
        fit.map(|(_, votes)| votes).sum()
    };
    let best = candidates.into_iter().max_by_key(|step| fitting(*step));
    let Some(best) = best else { return page };
    let fit = ways.iter().filter_map(|(way, _)| Some((way.abs(), steps(*way, best)?.abs())));
    let (far, count) = fit.fold((0.0, 0), |(far, count), (way, steps)| (far + way, count + steps));
    if count > 0 { far / f64::from(count) } else { best }
}

/// A page in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placed {
    /// Which of the pages.
    pub page: usize,
    pub cell: Cell,
    /// Where its own zero lies, mm.
    pub origin: Vec2,
}

/// Pages that lie in one grid.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct PagesSheet(pub Vec<Placed>);

impl PagesSheet {
    /// One page by itself.
    pub fn alone(page: usize) -> PagesSheet {
        PagesSheet(vec![Placed { page, cell: Cell { column: 0, row: 0 }, origin: Vec2::ZERO }])
    }

    /// The page in a cell.
    pub fn at(&self, cell: Cell) -> Option<&Placed> {
        self.0.iter().find(|placed| placed.cell == cell)
    }

    /// How many columns and rows it has.
    pub fn extent(&self) -> (i32, i32) {
        let columns = self.0.iter().map(|placed| placed.cell.column).max().map_or(0, |most| most + 1);
        let rows = self.0.iter().map(|placed| placed.cell.row).max().map_or(0, |most| most + 1);
        (columns, rows)
    }

    /// The same, counted from its first column and row.
    pub fn counted_from_zero(mut self) -> PagesSheet {
        let column = self.0.iter().map(|placed| placed.cell.column).min().unwrap_or(0);
        let row = self.0.iter().map(|placed| placed.cell.row).min().unwrap_or(0);
        let first = self.0.iter().min_by_key(|placed| (placed.cell.row, placed.cell.column));
        let origin = first.map_or(Vec2::ZERO, |placed| placed.origin);
        for placed in &mut self.0 {
            placed.cell = placed.cell.back(Cell { column, row });
            placed.origin -= origin;
        }
        self.0.sort_by_key(|placed| placed.page);
        self
    }
}

/// Lays pages by what shows how they lie, what most speaks for first. No two pages lie in one cell.
pub(super) fn lay(pages: usize, links: &[Link], step: PageStep) -> Vec<PagesSheet> {
    joined((0..pages).map(PagesSheet::alone).collect(), links, step)
}

/// Lays sheets by what shows how pages of theirs lie to each other.
pub(super) fn joined(mut sheets: Vec<PagesSheet>, links: &[Link], step: PageStep) -> Vec<PagesSheet> {
    let mut order: Vec<&Link> = links.iter().collect();
    order.sort_by_key(|link| (std::cmp::Reverse(link.votes), link.from, link.to));
    for link in order {
        let Some(on) = step.cells(link.shift) else { continue };
        let sheet_of = |page: usize| {
            sheets.iter().enumerate().find_map(|(at, sheet)| {
                let placed = sheet.0.iter().find(|placed| placed.page == page)?;
                Some((at, *placed))
            })
        };
        let (Some((one, from)), Some((other, to))) = (sheet_of(link.from), sheet_of(link.to)) else {
            continue;
        };
        if one == other {
            continue;
        }
        let by = from.cell.moved(on).back(to.cell);
        let far = from.origin + link.shift - to.origin;
        let moved: Vec<Placed> = sheets[other]
            .0
            .iter()
            .map(|placed| Placed { cell: placed.cell.moved(by), origin: placed.origin + far, ..*placed })
            .collect();
        if moved.iter().all(|placed| sheets[one].at(placed.cell).is_none()) {
            sheets[one].0.extend(moved);
            sheets.remove(other);
        }
    }
    sheets.into_iter().map(PagesSheet::counted_from_zero).collect()
}
