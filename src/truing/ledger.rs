//! The ledger: what a pattern measures.

use crate::pattern::{EdgeRef, Ledger, Pattern, Piece};
use crate::truing::girths;

/// What a pattern measures now: girth per level, sewn length of every edge, and the net area of all its pieces, all
/// copies counted.
#[must_use]
pub fn ledger(pattern: &Pattern) -> Ledger {
    let girths = girths(pattern).into_iter().map(|girth| (girth.level, girth.around.mm())).collect();
    let edges = pattern.pieces().flat_map(sewn_lengths).collect();
    Ledger { girths, edges, net_area: net_area(pattern) }
}

fn sewn_lengths(piece: &Piece) -> impl Iterator<Item = (EdgeRef, f64)> {
    piece.edge_ids().map(|id| {
        let edge = piece.edge_ref(id);
        (edge, piece.sewn_length(id))
    })
}

/// The area of all pieces with their darts folded out, all copies counted, mm². Pieces that were made of others are none of
/// the cloth that the pattern began with.
pub(super) fn net_area(pattern: &Pattern) -> f64 {
    pattern
        .pieces()
        .filter(|piece| piece.derived.is_none())
        .map(|piece| piece.net_area() * f64::from(piece.times()))
        .sum()
}
