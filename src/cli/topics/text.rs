//! A topic as text for a terminal.

use crate::cli::color::{TextPaint, TextTone};
use crate::cli::rows::{Align, Rows};
use crate::cli::terminal::{broken, filled, width};
use crate::cli::topics::blocks::{Block, TextSpan};

/// How far in stand lines that are kept as they are.
const INDENT: &str = "    ";

/// The blocks as text, of which no line is longer than a width, but for lines that are kept as they are.
pub fn of(blocks: &[Block], paint: TextPaint, columns: usize) -> String {
    let mut text = String::new();
    let mut before: Option<&Block> = None;
    for block in blocks {
        let goes_on = matches!((before, block), (Some(Block::Point { .. }), Block::Point { .. }));
        if before.is_some() && !goes_on {
            text.push('\n');
        }
        text.push_str(&shown(block, paint, columns));
        before = Some(block);
    }
    text
}

fn shown(block: &Block, paint: TextPaint, columns: usize) -> String {
    match block {
        Block::Title(spans) | Block::Heading(spans) => {
            let title: String = spans.iter().map(plain).collect();
            format!("{}\n", filled(&paint.paint(TextTone::Title, title), 0, columns))
        }
        Block::Paragraph(spans) => format!("{}\n", filled(&line(spans, paint), 0, columns)),
        Block::Point { mark, spans } => {
            let further = width(mark) + 1;
            format!("{}\n", filled(&format!("{mark} {}", line(spans, paint)), further, columns))
        }
        Block::Lines(lines) => {
            lines.lines().map(|line| format!("{INDENT}{line}").trim_end().to_owned() + "\n").collect()
        }
        Block::Table(rows) => {
            let mut table = Rows::new([Align::Left, Align::Left]);
            for row in rows {
                let cell =
                    |i: usize| row.get(i).map(|spans| spans.iter().map(plain).collect()).unwrap_or_default();
                table.row([cell(0), cell(1)]);
            }
            broken(&table.to_string(), columns)
        }
    }
}

fn line(spans: &[TextSpan], paint: TextPaint) -> String {
    let shown = spans.iter().map(|span| match span {
        TextSpan::Strong(words) => paint.paint(TextTone::Title, words),
        other => plain(other),
    });
    shown.collect()
}

fn plain(span: &TextSpan) -> String {
    match span {
        TextSpan::Words(words) | TextSpan::Strong(words) => words.clone(),
        TextSpan::Typed(typed) => format!("`{typed}`"),
    }
}
