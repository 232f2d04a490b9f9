//! How the pages of a file are to be put together, as it is said.

use std::fmt;
use std::str::FromStr;

use super::grid::Cell;

/// How pages are put together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum PageChoice {
    /// As what is drawn on them shows.
    #[default]
    Auto,
    /// In a grid that is told.
    Grid(PageGrid),
}

/// A grid of pages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PageGrid {
    /// How many pages stand beside one another.
    pub columns: usize,
    /// How many stand under one another.
    pub rows: usize,
    /// In which order.
    pub order: PageOrder,
    /// The first page of it, from 1.
    pub from: usize,
    /// Places in the order, from 1, for which no page was printed.
    pub blank: Vec<usize>,
}

/// In which order the pages of a grid follow one another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PageOrder {
    /// Row by row, from the left.
    #[default]
    ByRows,
    /// Column by column, from the top.
    ByColumns,
}

impl PageGrid {
    /// The most pages of a grid in each direction.
    const MOST: usize = 100;

    /// The cells in the order of the pages, those that are blank left out.
    pub(super) fn cells(&self) -> Vec<Cell> {
        let places = 1..=self.columns * self.rows;
        places.filter(|place| !self.blank.contains(place)).map(|place| self.cell(place - 1)).collect()
    }

    /// The cells for which no page was printed.
    pub(super) fn blank_cells(&self) -> Vec<Cell> {
        self.blank.iter().map(|place| self.cell(place - 1)).collect()
    }

    fn cell(&self, place: usize) -> Cell {
        let (column, row) = match self.order {
            PageOrder::ByRows => (place % self.columns, place / self.columns),
            PageOrder::ByColumns => (place / self.rows, place % self.rows),
        };
        Cell { column: column as i32, row: row as i32 }
    }
}

/// Why a text says no way to put pages together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` says no way to put pages together: write \"auto\", or columns x rows as in \"5 x 6\", then, where it is so, \
     \"by columns\", \"from 2\" (the first page of the grid), \"blank 7,12\" (places without a page)"
)]
pub struct PageChoiceError(String);

impl FromStr for PageChoice {
    type Err = PageChoiceError;

    fn from_str(text: &str) -> Result<PageChoice, PageChoiceError> {
        let wrong = || PageChoiceError(text.to_owned());
        let spaced = text.to_lowercase().replace(['x', '×'], " x ").replace(',', " , ");
        let words: Vec<&str> = spaced.split_whitespace().collect();
        if words == ["auto"] {
            return Ok(PageChoice::Auto);
        }
        let [columns, "x", rows, rest @ ..] = words.as_slice() else { return Err(wrong()) };
        let count = |word: &str| word.parse().ok().filter(|n| (1..=PageGrid::MOST).contains(n));
        let mut grid = PageGrid {
            columns: count(columns).ok_or_else(wrong)?,
            rows: count(rows).ok_or_else(wrong)?,
            order: PageOrder::ByRows,
            from: 1,
            blank: Vec::new(),
        };
        let place = |word: &str| word.parse::<usize>().ok().filter(|n| *n > 0);
        let mut rest = rest;
        loop {
            rest = match rest {
                [] => break,
                ["by", "columns", rest @ ..] => {
                    grid.order = PageOrder::ByColumns;
                    rest
                }
                ["by", "rows", rest @ ..] => rest,
                ["from", page, rest @ ..] => {
                    grid.from = place(page).ok_or_else(wrong)?;
                    rest
                }
                ["blank", first, rest @ ..] => {
                    let mut rest = rest;
                    grid.blank.push(place(first).ok_or_else(wrong)?);
                    while let [",", next, more @ ..] = rest {
                        grid.blank.push(place(next).ok_or_else(wrong)?);
                        rest = more;
                    }
                    rest
                }
                _ => return Err(wrong()),
            };
        }
        let all = grid.columns * grid.rows;
        if grid.blank.iter().any(|place| *place > all) || grid.cells().is_empty() {
            return Err(wrong());
        }
        Ok(PageChoice::Grid(grid))
    }
}

impl fmt::Display for PageChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let PageChoice::Grid(grid) = self else { return f.write_str("auto") };
        write!(f, "{} x {}", grid.columns, grid.rows)?;
        if grid.order == PageOrder::ByColumns {
            f.write_str(" by columns")?;
        }
        if grid.from > 1 {
            write!(f, " from {}", grid.from)?;
        }
        if !grid.blank.is_empty() {
            let blank: Vec<String> = grid.blank.iter().map(ToString::to_string).collect();
            write!(f, " blank {}", blank.join(","))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_is_read_as_it_is_written() {
        for text in
            ["auto", "5 x 6", "5 x 6 by columns", "4 x 2 from 3", "5 x 6 by columns from 2 blank 7,12"]
        {
            let choice: PageChoice = text.parse().expect("a choice");
            assert_eq!(choice.to_string(), text);
        }
        assert_eq!("5x6".parse::<PageChoice>(), "5 × 6".parse());
    }

    #[test]
    fn what_says_no_grid_is_refused() {
        for text in
            ["", "5", "0 x 3", "5 x 6 from", "2 x 2 blank 5", "1 x 1 blank 1", "5 x 6 sideways", "101 x 1"]
        {
            assert!(text.parse::<PageChoice>().is_err(), "{text}");
        }
    }
}
