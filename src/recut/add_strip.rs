//! `add-strip`.

pub use crate::derive::{AddStrip, Over, StripEnd};

use crate::advice;
use crate::derive::Fields;
use crate::pattern::{Field, Kept, Line, PieceName, Refusal, RefusalKind, StyleLine, StyleLineName};
use crate::recut::{Notice, Work};

pub(super) fn add_strip(step: &AddStrip, work: &mut Work) -> Result<(), Refusal> {
    let step = match (&step.over, &step.piece) {
        (Over::Line(line), Some(piece)) if !matches!(line, Line::Style(_)) => {
            let name = draw_line(step, work, line, piece)?;
            AddStrip { over: Over::Line(Line::Style(name)), ..step.clone() }
        }
        _ => step.clone(),
    };
    let made = Fields::Strip(step).made(&work.pattern)?;
    work.put_made(made)
}

/// Draws the line that a strip covers on its piece, where it is laid by it and goes with the piece.
fn draw_line(
    step: &AddStrip,
    work: &mut Work,
    line: &Line,
    piece: &PieceName,
) -> Result<StyleLineName, Refusal> {
    let of = work.pattern.piece(piece)?;
    let drawn = of.drawn_line(line)?;
    let meetings = drawn.meetings(of);
    let [(start, end)] = drawn.inside(of, &meetings)[..] else {
        return Err(Refusal::new(
            RefusalKind::BadLine,
            piece,
            format!("`{line}` does not run through the piece once, from edge to edge"),
            advice!("name another line, or draw it and name it: ", Field::Over.set("front.LINE")),
        )
        .about(line));
    };
    let curve = drawn.curve.stretch(start.line_at, end.line_at)?;
    let strip = step.name.clone().unwrap_or_else(|| work.pattern.free_name(piece.with("strip")));
    let name: StyleLineName = strip.with("line").as_str().parse().map_err(|error| {
        Refusal::new(RefusalKind::BadField, piece, error, advice!("give another ", Field::Name))
    })?;
    let piece = work.pattern.piece_mut(piece)?;
    let name = name.free(|name| {
        piece.style_lines.iter().any(|line| line.name == *name)
            || piece.edges().iter().any(|edge| edge.name.as_str() == name.as_str())
    });
    piece.style_lines.push(StyleLine { name: name.clone(), curve, kept: Kept::default() });
    let notice = Notice::LineDrawn { piece: piece.name().clone(), line: name.clone() };
    work.tell(notice);
    Ok(name)
}
