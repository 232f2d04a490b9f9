//! What is made at marks that are drawn on pieces: pockets and buttonholes.

use crate::pattern::words::{POCKET, says};
use crate::pattern::{Pattern, Piece};
use crate::show::piece::mark_words;
use crate::show::report::phrases::times;
use crate::units::counted;

const BUTTONHOLE: [&str; 1] = ["buttonhole"];

/// Where pockets are set, a sentence for each piece with such marks.
pub(super) fn pockets(pattern: &Pattern) -> Vec<String> {
    let set = |piece: &Piece, names: &[String]| {
        let where_drawn = match names {
            [one] => format!("where {one} is drawn on {}", piece.name()),
            _ => format!("where they are drawn on {}: {}", piece.name(), names.join(", ")),
        };
        let what = if names.len() == 1 { "pocket" } else { "pockets" };
        format!("Set the {what} {where_drawn}{}.", times(piece.times()))
    };
    at_marks(pattern, &POCKET, set)
}

/// Which buttonholes are worked, a sentence for each piece with such marks.
pub(super) fn buttonholes(pattern: &Pattern) -> Vec<String> {
    at_marks(pattern, &BUTTONHOLE, |piece, names| {
        let layers = if piece.times() > 1 { ", on the side that laps over" } else { "" };
        format!("Work {} where drawn on {}{layers}.", counted(names.len(), "buttonhole"), piece.name())
    })
}

/// A sentence for each piece that is cut and has marks of some words, of what those are called.
fn at_marks(
    pattern: &Pattern,
    words: &[&str],
    sentence: impl Fn(&Piece, &[String]) -> String,
) -> Vec<String> {
    let of_piece = |piece: &Piece| {
        let names = piece.marks.iter().filter_map(mark_words);
        let names: Vec<String> = names.filter(|name| says(&name.to_lowercase(), words)).collect();
        (!names.is_empty()).then(|| sentence(piece, &names))
    };
    pattern.pieces().filter(|piece| piece.is_cut()).filter_map(of_piece).collect()
}
