//! Which pieces are given to another cloth first: those that are seen least.

use crate::pattern::words::{BACK, SIDE, UNDER, says};
use crate::pattern::{Pattern, Piece, PieceName, Seen, seen};

/// The share of the garment from which on too much of it would come from other cloth.
const MOST_ELSEWHERE: f64 = 0.5;

/// From where a piece is looked at, by what it is called: a hint only, of pieces that are seen alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Faces {
    Down,
    Behind,
    Aside,
    Ahead,
}

impl Faces {
    fn of(name: &str) -> Faces {
        let known = [(&UNDER[..], Faces::Down), (&BACK[..], Faces::Behind), (&SIDE[..], Faces::Aside)];
        known.into_iter().find(|(words, _)| says(name, words)).map_or(Faces::Ahead, |(_, faces)| faces)
    }
}

/// Pieces of a pattern, the least seen first, of those what lies under, behind and at the side, and of those the largest.
pub(super) fn least_seen_first<'a>(
    pattern: &Pattern,
    pieces: impl Iterator<Item = &'a Piece>,
) -> Vec<PieceName> {
    let key = |piece: &Piece| -> (Seen, Faces) {
        // The under part of a sleeve is the least of it that is seen, but is not hidden.
        (seen(pattern, piece), Faces::of(piece.name().as_str()))
    };
    let mut pieces: Vec<&Piece> = pieces.collect();
    pieces.sort_by(|a, b| key(a).cmp(&key(b)).then(area(b).total_cmp(&area(a))).then(a.name().cmp(b.name())));
    pieces.into_iter().map(|piece| piece.name().clone()).collect()
}

/// Whether some pieces are the lesser part of a garment.
pub(super) fn is_lesser_part(pattern: &Pattern, pieces: &[PieceName]) -> bool {
    let all: f64 = pattern.pieces().filter(|piece| piece.is_cut()).map(area).sum();
    let own: f64 = pieces.iter().filter_map(|name| pattern.find(name)).map(area).sum();
    own < all * MOST_ELSEWHERE
}

fn area(piece: &Piece) -> f64 {
    piece.net_area() * f64::from(piece.times())
}
