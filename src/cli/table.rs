//! Columns of text, each as wide as its widest entry.

use crate::cli::color::{Paint, Tone};

/// A table under construction.
#[derive(Clone, Debug)]
pub struct Table {
    headings: Vec<&'static str>,
    rows: Vec<Vec<String>>,
    right: Vec<usize>,
}

/// What stands between two columns.
const GAP: &str = "  ";

impl Table {
    /// A table with a heading over each column; a heading may be empty.
    pub fn new(headings: &[&'static str]) -> Table {
        Table { headings: headings.to_vec(), rows: Vec::new(), right: Vec::new() }
    }

    /// The same table with some columns, counted from 0, set flush right, as numbers are.
    pub fn flush_right(self, columns: &[usize]) -> Table {
        Table { right: columns.to_vec(), ..self }
    }

    /// Adds a row.
    pub fn row(&mut self, entries: impl IntoIterator<Item = String>) {
        self.rows.push(entries.into_iter().collect());
    }

    /// The table as lines with an indent, none where it has no rows.
    pub fn text(&self, indent: &str, paint: Paint) -> String {
        if self.rows.is_empty() {
            return String::new();
        }
        let widths = self.widths();
        let headings: Vec<String> = self.headings.iter().map(|heading| (*heading).to_owned()).collect();
        let mut text = format!("{indent}{}\n", paint.paint(Tone::Quiet, self.line(&headings, &widths)));
        for row in &self.rows {
            text.push_str(indent);
            text.push_str(&self.line(row, &widths));
            text.push('\n');
        }
        text
    }

    fn widths(&self) -> Vec<usize> {
        let width = |column: usize| {
            let entries = self.rows.iter().filter_map(|row| row.get(column));
            entries.map(|entry| entry.chars().count()).max().unwrap_or(0)
        };
        self.headings.iter().enumerate().map(|(i, heading)| width(i).max(heading.chars().count())).collect()
    }

    fn line(&self, row: &[String], widths: &[usize]) -> String {
        let cells = row.iter().zip(widths).enumerate().map(|(i, (entry, width))| {
            let room = " ".repeat(width.saturating_sub(entry.chars().count()));
            if self.right.contains(&i) { format!("{room}{entry}") } else { format!("{entry}{room}") }
        });
        cells.collect::<Vec<_>>().join(GAP).trim_end().to_owned()
    }
}
