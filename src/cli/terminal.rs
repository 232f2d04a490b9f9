//! How wide lines are that a person reads, and how longer ones are broken.

use std::io::IsTerminal;

/// The width to which lines keep where no terminal tells its own.
const USUAL: usize = 80;

/// The least width to which lines are broken: narrower, every word would stand alone.
const LEAST: usize = 32;

/// By how much a line goes on further in than it began.
const FURTHER_IN: usize = 4;

/// What is said where: each may be a terminal of its own, or a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stream {
    /// Standard output.
    Output,
    /// Standard error.
    Error,
}

/// How many signs a line has: as many as the terminal is wide, else as `COLUMNS` says, else 80.
pub fn columns(stream: Stream) -> usize {
    let size = match stream {
        Stream::Output if std::io::stdout().is_terminal() => {
            terminal_size::terminal_size_of(std::io::stdout())
        }
        Stream::Error if std::io::stderr().is_terminal() => {
            terminal_size::terminal_size_of(std::io::stderr())
        }
        Stream::Output | Stream::Error => None,
    };
    let told = || std::env::var("COLUMNS").ok()?.parse().ok();
    size.map(|(width, _)| usize::from(width.0)).or_else(told).unwrap_or(USUAL).max(LEAST)
}

/// A text of which no line is longer than a width, where words allow. A line of a table goes on under its last column, any
/// other a little further in than it began. Escape codes of a terminal take no width.
pub fn broken(text: &str, columns: usize) -> String {
    let mut broken = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let (line, end) = line.strip_suffix('\n').map_or((line, ""), |line| (line, "\n"));
        if width(line) > columns {
            add_broken(&mut broken, line, hanging(line, columns), columns);
        } else {
            broken.push_str(line);
        }
        broken.push_str(end);
    }
    broken
}

/// One line of text, of which no line is longer than a width, where words allow; it goes on so far in.
pub fn filled(line: &str, further: usize, columns: usize) -> String {
    let mut filled = String::with_capacity(line.len());
    add_broken(&mut filled, line, further, columns);
    filled
}

fn add_broken(broken: &mut String, line: &str, further: usize, columns: usize) {
    let indent = " ".repeat(further);
    let start = line.len() - line.trim_start().len();
    broken.push_str(&line[..start]);
    let mut at = start;
    let mut is_first = true;
    for part in kept_together(&line[start..]) {
        let word = part.trim_end();
        if at + width(word) > columns && !is_first && !word.is_empty() {
            let kept = broken.trim_end_matches(' ').len();
            broken.truncate(kept);
            broken.push('\n');
            broken.push_str(&indent);
            at = indent.len();
        }
        broken.push_str(part);
        at += width(part);
        is_first = false;
    }
}

/// What follows a number on the same line.
const UNITS: [&str; 9] = ["mm", "cm", "in", "m", "%", "mm²", "cm²", "m²", "yd²"];

/// The words of a line with the spaces behind them, a number and its unit as one.
fn kept_together(line: &str) -> Vec<&str> {
    let mut words: Vec<&str> = Vec::new();
    let mut at = 0;
    for word in line.split_inclusive(' ') {
        let end = at + word.len();
        let is_unit = UNITS
            .contains(&word.trim_end_matches(|sign: char| !sign.is_alphanumeric() && !"%²".contains(sign)));
        match words.last_mut() {
            Some(last) if is_unit && ends_as_number(last) => *last = &line[at - last.len()..end],
            _ => words.push(word),
        }
        at = end;
    }
    words
}

fn ends_as_number(word: &str) -> bool {
    word.strip_suffix(' ').is_some_and(|word| word.ends_with(|sign: char| sign.is_ascii_digit()))
}

/// How far in a line goes on: under what follows its last gap of two spaces, where that is not too far to the right.
fn hanging(line: &str, columns: usize) -> usize {
    let start = line.len() - line.trim_start().len();
    let usual = (start + FURTHER_IN).min(columns / 2);
    let last = line.trim_end().rfind("  ").filter(|at| *at > start);
    let column = last.map(|at| width(&line[..at]) + 2);
    column.filter(|column| *column <= columns * 3 / 5).unwrap_or(usual)
}

/// How many signs of a text are seen: escape codes, which begin with escape and end with a letter, are not.
pub fn width(text: &str) -> usize {
    let mut signs = text.chars();
    let mut seen = 0;
    while let Some(sign) = signs.next() {
        match sign {
            '\u{1b}' => {
                signs.by_ref().find(char::is_ascii_alphabetic);
            }
            _ => seen += 1,
        }
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_goes_on_under_its_last_column() {
        let line = "  side  12 mm  sewn to front.side and back.side\n";
        let broken_at_last =
            "  side  12 mm  sewn to\n               front.side and\n               back.side\n";
        assert_eq!(broken(line, 32), broken_at_last);
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(
            broken("it narrows to 12.7 mm here, over", 20),
            "it narrows to\n    12.7 mm here,\n    over"
        );
        assert_eq!(broken("measure both bars: 100 mm.", 24), "measure both bars:\n    100 mm.");
    }

    #[test]
    fn colour_takes_no_width_and_short_lines_stay() {
        let line = "\u{1b}[1mtrue:\u{1b}[0m all of it is well";
        assert_eq!(broken(line, 26), line);
        assert_eq!(broken(line, 18), "\u{1b}[1mtrue:\u{1b}[0m all of it is\n    well");
    }

    #[test]
    fn a_word_longer_than_a_line_is_left_whole() {
        assert_eq!(broken("a 0123456789 b", 6), "a\n   0123456789\n   b");
    }
}
