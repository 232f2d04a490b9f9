//! Pages laid by the lines that are cut off at their edges, where each draws but its own part of them.

use std::collections::HashMap;

use kurbo::{Rect, Size, Vec2};

use super::cut::CutPage;
use super::furniture;
use super::grid::{self, Cell, PageStep, PagesSheet, Placed};
use super::laid::LaidPages;
use super::neighbours::{Neighbours, by_ends};
use super::order::in_order;
use super::overlap;
use super::shapes::Shapes;
use super::strips::by_strips;
use super::told::PutTogetherBy;
use super::window::{self, Telling, WindowSide, Windows, own_part};
use crate::drawing::drawn::{Drawn, DrawnPage};

/// As many ends of lines may meet none by chance.
const MOST_BY_CHANCE: usize = 1;

/// The way in which most lines go on: as each page fits best, or all in the order of the file; edge to edge, or overlapping.
pub(super) fn lay(pages: &[&DrawnPage], shapes: &Shapes) -> LaidPages {
    let windows = window::windows(pages, shapes, Telling::CutLines);
    let mut best = ArrangedPages::of(&Inner::of(pages, shapes, &windows, Vec2::ZERO));
    let mut best_overlap = Vec2::ZERO;
    if best.unmet > MOST_BY_CHANCE {
        for overlap in overlaps(pages, shapes, &windows, |_, _, _| true) {
            let other = ArrangedPages::of(&Inner::of(pages, shapes, &windows, overlap));
            if other.met > best.met {
                (best, best_overlap) = (other, overlap);
            }
        }
    }
    if best_overlap != Vec2::ZERO && best.sheets.len() > 1 {
        let links = by_strips(&cut_pages(pages, shapes, &windows.of), &windows.of, best_overlap);
        best.sheets = grid::joined(best.sheets, &links, best.step);
    }
    LaidPages {
        windows,
        step: best.step,
        sheets: best.sheets,
        by: PutTogetherBy::CutLines,
        blank: Vec::new(),
    }
}

/// The step of pages that lie in cells which were told: edge to edge, or overlapping where more lines go on so.
pub(super) fn step_of_told(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &Windows,
    cells: &[Cell],
) -> Option<PageStep> {
    let placed: HashMap<Cell, usize> = cells.iter().copied().zip(0..pages.len()).collect();
    let is_next = |from: usize, to: usize, side: WindowSide| cells[from].beside(side) == cells[to];
    let flush = Inner::of(pages, shapes, windows, Vec2::ZERO);
    let mut best = (flush.neighbours.all_met(&placed), flush.step?);
    for overlap in overlaps(pages, shapes, windows, is_next) {
        let other = Inner::of(pages, shapes, windows, overlap);
        let met = other.neighbours.all_met(&placed);
        if met > best.0 {
            best = (met, other.step?);
        }
    }
    Some(best.1)
}

/// Whether more lines end at the edges of pages than shapes are drawn on several, as where each page draws but its own part.
pub(super) fn are_in_parts(pages: &[&DrawnPage], shapes: &Shapes, shared: usize) -> bool {
    let windows = window::windows(pages, shapes, Telling::CutLines);
    let ends = |at: usize| windows.of[at].map_or(0, |window| own_ends(pages[at], at, shapes, window));
    let mut left = shared;
    (0..pages.len()).any(|at| match left.checked_sub(ends(at)) {
        Some(less) => {
            left = less;
            false
        }
        None => true,
    })
}

/// How many lines of a page end of themselves at the edge of its window.
fn own_ends(page: &DrawnPage, at: usize, shapes: &Shapes, window: Rect) -> usize {
    let ends = |thing: usize| match &page.things[thing].what {
        Drawn::Shape { path, paint } => window::ends_at(path, paint, window),
        Drawn::Hidden(_) | Drawn::Text(_) | Drawn::Writing(_) | Drawn::Picture => 0,
    };
    let own = (0..page.things.len()).filter(|thing| ends(*thing) > 0);
    let own = own.filter(|thing| !furniture::is_left_out(page, (at, *thing), shapes, Some(window)));
    own.map(ends).sum()
}

/// What of pages is their own where all overlap, and which lines go on there.
struct Inner {
    windows: Vec<Option<Rect>>,
    step: Option<PageStep>,
    neighbours: Neighbours,
}

impl Inner {
    fn of(pages: &[&DrawnPage], shapes: &Shapes, windows: &Windows, overlap: Vec2) -> Inner {
        let inner = |window: &Option<Rect>| window.map(|window| own_part(window, overlap, |_| true));
        let inner: Vec<Option<Rect>> = windows.of.iter().map(inner).collect();
        let neighbours = Neighbours::of(&cut_pages(pages, shapes, &inner));
        let size = windows.size().map(|size| size.to_vec2() - overlap);
        let step = size.map(PageStep);
        Inner { windows: inner, step, neighbours }
    }
}

/// Pages in sheets, and how many lines go on.
struct ArrangedPages {
    step: PageStep,
    sheets: Vec<PagesSheet>,
    met: usize,
    unmet: usize,
}

impl ArrangedPages {
    fn of(inner: &Inner) -> ArrangedPages {
        let neighbours = &inner.neighbours;
        let pages = neighbours.pages();
        let ends: usize = (0..pages).map(|page| neighbours.all_ends(page)).sum();
        let step = inner.step.unwrap_or(PageStep(Size::new(1.0, 1.0).to_vec2()));
        let sheets = grid::lay(pages, &by_ends(neighbours, &inner.windows), step);
        let met = sheets.iter().map(|sheet| neighbours.all_met(&cells_of(sheet))).sum();
        let free = ArrangedPages { step, sheets, met, unmet: ends - 2 * met };
        if free.unmet <= MOST_BY_CHANCE {
            return free;
        }
        let ordered = in_order(neighbours);
        if ordered.met < free.met {
            return free;
        }
        let mut single: Vec<usize> = (0..pages).collect();
        single.retain(|page| !ordered.groups.iter().flatten().any(|(placed, _)| placed == page));
        let place = |&(page, cell): &(usize, Cell)| Placed { page, cell, origin: step.place(cell) };
        let sheets = ordered.groups.iter().map(|group| PagesSheet(group.iter().map(place).collect()));
        let sheets =
            sheets.map(PagesSheet::counted_from_zero).chain(single.into_iter().map(PagesSheet::alone));
        ArrangedPages { step, sheets: sheets.collect(), met: ordered.met, unmet: ends - 2 * ordered.met }
    }
}

fn cells_of(sheet: &PagesSheet) -> HashMap<Cell, usize> {
    sheet.0.iter().map(|placed| (placed.cell, placed.page)).collect()
}

/// The overlaps, across and down, that lines speak for.
fn overlaps(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &Windows,
    next: impl Fn(usize, usize, WindowSide) -> bool,
) -> Vec<Vec2> {
    let cut = cut_pages(pages, shapes, &windows.of);
    let [across, down] = [WindowSide::Right, WindowSide::Bottom]
        .map(|side| overlap::most_likely(&cut, &windows.of, side, |from, to| next(from, to, side)));
    match (across, down) {
        (Some(across), Some(down)) => {
            vec![Vec2::new(across, down), Vec2::new(across, 0.0), Vec2::new(0.0, down)]
        }
        (Some(one), None) => vec![Vec2::new(one, one), Vec2::new(one, 0.0)],
        (None, Some(one)) => vec![Vec2::new(one, one), Vec2::new(0.0, one)],
        (None, None) => Vec::new(),
    }
}

/// The lines of pages as their windows cut them off.
pub(super) fn cut_pages(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &[Option<Rect>],
) -> Vec<Option<CutPage>> {
    let cut = |(at, page): (usize, &&DrawnPage)| Some(CutPage::of(page, at, shapes, windows[at]?, |_| true));
    pages.iter().enumerate().map(cut).collect()
}
