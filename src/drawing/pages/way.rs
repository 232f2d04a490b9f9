//! The order in which the pages of a grid follow one another.

use super::grid::Cell;

/// The way in which pages follow one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Rows,
    Columns,
    /// Rows from the lowest up.
    RowsUp,
    /// Each second row runs back.
    RowsToAndFro,
    ColumnsToAndFro,
}

impl Way {
    /// The usual first.
    pub const ALL: [Way; 5] = [Way::Rows, Way::Columns, Way::RowsUp, Way::RowsToAndFro, Way::ColumnsToAndFro];

    /// Whether pages follow one another in rows.
    pub fn is_by_rows(self) -> bool {
        matches!(self, Way::Rows | Way::RowsUp | Way::RowsToAndFro)
    }

    /// The cell of a place in the order, where a row (or column) has so many.
    pub fn cell(self, place: usize, long: usize) -> Cell {
        let (row, at) = ((place / long) as i32, (place % long) as i32);
        let to_and_fro = if row % 2 == 0 { at } else { long as i32 - 1 - at };
        match self {
            Way::Rows => Cell { column: at, row },
            Way::RowsUp => Cell { column: at, row: -row },
            Way::RowsToAndFro => Cell { column: to_and_fro, row },
            Way::Columns => Cell { column: row, row: at },
            Way::ColumnsToAndFro => Cell { column: row, row: to_and_fro },
        }
    }

    /// The place of a cell in the order.
    pub fn place(self, cell: Cell, long: usize) -> Option<usize> {
        let (row, at) = match self {
            Way::Rows | Way::RowsToAndFro => (cell.row, cell.column),
            Way::RowsUp => (-cell.row, cell.column),
            Way::Columns | Way::ColumnsToAndFro => (cell.column, cell.row),
        };
        let (row, at) = (usize::try_from(row).ok()?, usize::try_from(at).ok().filter(|at| *at < long)?);
        let runs_back = matches!(self, Way::RowsToAndFro | Way::ColumnsToAndFro) && row % 2 == 1;
        Some(row * long + if runs_back { long - 1 - at } else { at })
    }
}
