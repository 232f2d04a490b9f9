//! Rows of text in columns that line up.

use std::fmt;

/// To which side the cells of a column are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Rows of cells. Columns are as wide as their widest cell; a column that is empty throughout is left out.
#[derive(Clone, Debug)]
pub struct Table {
    columns: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows.
    pub fn new(columns: impl Into<Vec<Align>>) -> Table {
        Table { columns: columns.into(), rows: Vec::new() }
    }

    /// Adds a row. Cells beyond the last column are left out.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into());
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn width(&self, column: usize) -> usize {
        let widths = self.rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count());
        widths.max().unwrap_or(0)
    }
}

impl fmt::Display for Table {
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
                line.push_str(&match align {
                    Align::Left => format!("{cell:<width$}"),
                    Align::Right => format!("{cell:>width$}"),
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
    fn columns_line_up_and_empty_ones_are_left_out() {
        let mut table = Table::new([Align::Left, Align::Right, Align::Left, Align::Left]);
        table.row(["side".into(), "8 mm".into(), String::new(), "hem".into()]);
        table.row(["armhole".into(), "120 mm".into(), String::new(), "seam".into()]);
        assert_eq!(table.to_string(), "  side       8 mm  hem\n  armhole  120 mm  seam\n");
    }
}
