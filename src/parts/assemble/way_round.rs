//! The way round a piece's outline from one place to another.

use crate::curve::{Curve, Outline};
use crate::parts::assemble::Bit;
use crate::pattern::{EdgeId, On, Piece, Refusal};
use crate::tolerance::{JOINT, SAME_CUT};

/// The stretches of a piece's edges met on the way round the outline, clockwise, from one place to another.
/// Stretches shorter than a cut can tell are left out. From a place to itself is the whole way round.
pub(crate) fn way_round(piece: &Piece, from: On, to: On) -> Vec<(EdgeId, f64, f64)> {
    let length = |edge: EdgeId| piece.edge(edge).curve.length();
    let mut way = Vec::new();
    if from.edge == to.edge && from.at + SAME_CUT < to.at {
        way.push((from.edge, from.at, to.at));
        return way;
    }
    way.push((from.edge, from.at, length(from.edge)));
    let mut edge = piece.next(from.edge);
    while edge != to.edge {
        way.push((edge, 0.0, length(edge)));
        edge = piece.next(edge);
    }
    way.push((to.edge, 0.0, to.at));
    way.retain(|(_, from, to)| to - from > SAME_CUT);
    way
}

/// The same way as bits of a part.
pub(crate) fn bits_round(piece: &Piece, part: usize, from: On, to: On) -> Vec<Bit> {
    let way = way_round(piece, from, to);
    way.into_iter().map(|(edge, from, to)| Bit::Old { part, edge, from, to }).collect()
}

/// The closed region of a piece between a way round its outline and curves that lead back.
pub(crate) fn region(piece: &Piece, from: On, to: On, back: &[Curve]) -> Result<Outline, Refusal> {
    let mut curves = Vec::new();
    for (edge, from, to) in way_round(piece, from, to) {
        curves.push(piece.edge(edge).curve.stretch(from, to)?);
    }
    curves.extend_from_slice(back);
    Ok(Outline::welded_within(curves, JOINT)?)
}
