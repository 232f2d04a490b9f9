//! How much of a piece is seen when the garment is worn.

use crate::pattern::words::{FACING, INSIDE, says};
use crate::pattern::{Copy, GirthUse, Making, Pattern, Piece, PieceName, Purpose};

/// How much of a piece is seen when the garment is worn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seen {
    /// It lies inside: a facing, a lining, the under layer of a collar, a pocket bag.
    Hidden,
    /// A small thing on the outside: a belt, a cuff, a collar.
    Detail,
    /// It goes round the body.
    Body,
}

impl Piece {
    /// Whether it is a facing, by how it was made or by what it is called; what is cut of another cloth for one is none.
    pub(crate) fn is_facing(&self) -> bool {
        self.purpose == Purpose::Plain
            && (self.is_made(Making::Facing) || says(self.name().as_str(), &FACING))
    }
}

/// How much of a piece of a pattern is seen.
pub(crate) fn seen(pattern: &Pattern, piece: &Piece) -> Seen {
    if counts_round_body(piece) {
        return Seen::Body;
    }
    let left_out = !piece.levels.is_empty();
    // A hint only, of pieces whose levels do not say otherwise.
    let named_inside = says(piece.name().as_str(), &INSIDE);
    if left_out || named_inside || lies_under(pattern, piece.name()) {
        return Seen::Hidden;
    }
    Seen::Detail
}

fn counts_round_body(piece: &Piece) -> bool {
    piece.levels.iter().any(|level| level.girth == GirthUse::Counts)
}

/// Whether it lies against a piece that goes round the body, edge on edge: both sides of a seam run the same way round
/// only where the pieces are turned right sides together and back, as a facing is.
fn lies_under(pattern: &Pattern, name: &PieceName) -> bool {
    pattern.seams().iter().any(|seam| {
        let (first, second) = (&seam.first.edges()[0], &seam.second.edges()[0]);
        let layered = first.travel == second.travel
            && first.edge.copy == Copy::Drawn
            && second.edge.copy == Copy::Drawn
            && first.edge.piece != second.edge.piece;
        let other = if first.edge.piece == *name {
            &second.edge.piece
        } else if second.edge.piece == *name {
            &first.edge.piece
        } else {
            return false;
        };
        layered && pattern.find(other).is_some_and(counts_round_body)
    })
}
