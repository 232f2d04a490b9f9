//! Rows of text in columns that line up.

use std::fmt;

use retrue::canvas::clean;
use retrue::tolerance::MOST_SHOWN;

/// To which side the cells of a column are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Rows of cells, as they are shown. Columns are as wide as their widest cell, but for cells of over [`MOST_SHOWN`] signs,
/// which reach over theirs; a column that is empty throughout is left out.
#[derive(Clone, Debug)]
pub struct Rows {
    columns: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Rows {
    /// A table without rows.
    pub fn new(columns: impl Into<Vec<Align>>) -> Rows {
        Rows { columns: columns.into(), rows: Vec::new() }
    }

    /// Adds a row. Cells beyond the last column are left out.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.iter().map(|cell| clean(cell).into_owned()).collect());
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn width(&self, column: usize) -> usize {
        let widths = self.rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count());
        widths.map(|width| width.min(MOST_SHOWN)).max().unwrap_or(0)
    }
}

impl fmt::Display for Rows {
    /// Each row on a line of its own, indented by two spaces.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let widths: Vec<usize> = (0..self.columns.len()).map(|column| self.width(column)).collect();
        for row in &self.rows {
            let mut line = String::new();
            for ((cell, align), width) in row.iter().zip(&self.columns).zip(&widths) {
                let width = *width;
                if width == 0 {
                    continue;
                }
                line.push_str("  ");
                let air = " ".repeat(width.saturating_sub(cell.chars().count()));
                line.push_str(&match align {
                    Align::Left => format!("{cell}{air}"),
                    Align::Right => format!("{air}{cell}"),
                });
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_of_any_length_is_shown_whole_and_on_one_line() {
        let mut table = Rows::new([Align::Left, Align::Right]);
        let long = "x".repeat(100_000);
        table.row([long.clone(), "1 mm".into()]);
        table.row(["a\nb\u{202E}".into(), long.clone()]);
        let text = table.to_string();
        assert_eq!(text.matches(&long).count(), 2);
        assert_eq!((text.lines().count(), text.contains('\u{202E}')), (2, false));
    }

    #[test]
    fn columns_line_up_and_empty_ones_are_left_out() {
        let mut table = Rows::new([Align::Left, Align::Right, Align::Left, Align::Left]);
        table.row(["side".into(), "8 mm".into(), String::new(), "hem".into()]);
        table.row(["armhole".into(), "120 mm".into(), String::new(), "seam".into()]);
        assert_eq!(table.to_string(), "  side       8 mm  hem\n  armhole  120 mm  seam\n");
    }
}
