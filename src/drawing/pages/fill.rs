//! Pages that show no line which goes on elsewhere, placed by their number.

use super::grid::{Cell, PageStep, PagesSheet, Placed};
use super::way::Way;

/// Places single pages by their number, where the pages before and after them are placed and as many cells lie between, or
/// where there are cells before the first that is placed.
pub(super) fn in_order(sheet: &mut PagesSheet, single: &mut Vec<usize>, step: PageStep) {
    let Some(order) = Order::of(sheet) else { return };
    let mut placed = sheet.0.clone();
    placed.sort_by_key(|placed| placed.page);
    let mut found: Vec<Placed> = Vec::new();
    let mut put = |page: usize, place: usize, near: Placed| {
        let cell = order.cell(place);
        let on = Cell { column: cell.column - near.cell.column, row: cell.row - near.cell.row };
        found.push(Placed { page, cell, origin: near.origin + step.place(on) });
    };
    if let Some((first, place)) = placed.first().and_then(|first| Some((first, order.place(first.cell)?))) {
        let (mut page, mut place) = (first.page, place);
        while page > 0 && place > 0 && single.contains(&(page - 1)) {
            (page, place) = (page - 1, place - 1);
            put(page, place, *first);
        }
    }
    for two in placed.windows(2) {
        let pages = two[0].page + 1..two[1].page;
        let (Some(from), Some(to)) = (order.place(two[0].cell), order.place(two[1].cell)) else { continue };
        let fits = to - from == two[1].page - two[0].page;
        if pages.is_empty() || !fits || !pages.clone().all(|page| single.contains(&page)) {
            continue;
        }
        pages.for_each(|page| put(page, from + page - two[0].page, two[0]));
    }
    single.retain(|page| !found.iter().any(|placed| placed.page == *page));
    sheet.0.extend(found);
    sheet.0.sort_by_key(|placed| placed.page);
}

/// The order in which the pages of a sheet follow one another.
pub(super) struct Order {
    way: Way,
    long: usize,
    /// The row at which it begins, where it goes up.
    lowest: i32,
}

impl Order {
    /// The first in which each page comes after the one before.
    pub(super) fn of(sheet: &PagesSheet) -> Option<Order> {
        let (columns, rows) = sheet.extent();
        let mut placed = sheet.0.clone();
        placed.sort_by_key(|placed| placed.page);
        let order = |way: Way| {
            let long = if way.is_by_rows() { columns } else { rows };
            let lowest = if way == Way::RowsUp { rows - 1 } else { 0 };
            Some(Order { way, long: usize::try_from(long).ok()?, lowest })
        };
        let rises = |order: &Order| {
            let place = |placed: &Placed| order.place(placed.cell);
            placed.windows(2).all(|two| place(&two[0]) < place(&two[1]))
        };
        Way::ALL.into_iter().filter_map(order).find(rises)
    }

    fn cell(&self, place: usize) -> Cell {
        self.way.cell(place, self.long).moved(Cell { column: 0, row: self.lowest })
    }

    fn place(&self, cell: Cell) -> Option<usize> {
        self.way.place(cell.moved(Cell { column: 0, row: -self.lowest }), self.long)
    }

    /// Whether the file has pages enough between those before and after a place for one of them to be the one that lies
    /// there: it is empty. `number` tells which page of the file a page is.
    pub(super) fn has_empty_page_at(
        &self,
        cell: Cell,
        sheet: &PagesSheet,
        number: impl Fn(usize) -> usize,
    ) -> bool {
        let Some(at) = self.place(cell) else { return false };
        let placed =
            || sheet.0.iter().filter_map(|placed| Some((self.place(placed.cell)?, number(placed.page))));
        let before = placed().filter(|(place, _)| *place < at).max();
        let after = placed().filter(|(place, _)| *place > at).min();
        let (Some((from, first)), Some((to, last))) = (before, after) else { return false };
        last.saturating_sub(first) >= to - from
    }
}
