//! To which side a folded dart is pressed.
//!
//! Where the sheet does not say it: a dart on an edge that runs mainly along the grain is pressed down, in the
//! direction of the grainline; any other toward the centre. The centre is the first of these that the piece has:
//!
//! 1. its fold,
//! 2. an edge sewn to its own mirrored copy,
//! 3. an edge whose name says centre,
//! 4. a free edge that runs mainly along the grain.
//!
//! A piece that has none of them gets its darts pressed toward the first corner of their edge.

use crate::allowance::SewingOrder;
use crate::curve::Point;
use crate::pattern::words::{CENTRE, says};
use crate::pattern::{Dart, EdgeEnd, EdgeId, Finish, Mouth, Piece, Press};

/// The end of the mouth's edge to which the folded dart is pressed.
///
/// An edge named in the sheet that does not meet the mouth's edge stands for the end from which it is fewer edges away;
/// one that the piece does not have is as none named.
pub(super) fn toward(
    dart: &Dart,
    mouth: &Mouth,
    edge: EdgeId,
    piece: &Piece,
    order: &SewingOrder<'_>,
) -> EdgeEnd {
    let named = match &dart.press {
        Press::Toward(name) => piece.find_edge(name).filter(|named| *named != edge),
        Press::Usual => None,
    };
    match named {
        Some(named) => nearer_end(piece, edge, named),
        None => usual(mouth, edge, piece, order),
    }
}

fn nearer_end(piece: &Piece, from: EdgeId, named: EdgeId) -> EdgeEnd {
    let count = piece.edges().len();
    let clockwise = (named.0 + count - from.0) % count;
    if clockwise <= count - clockwise { EdgeEnd::Last } else { EdgeEnd::First }
}

fn usual(mouth: &Mouth, edge: EdgeId, piece: &Piece, order: &SewingOrder<'_>) -> EdgeEnd {
    let (from, to) = (piece.point_on(edge, mouth.from), piece.point_on(edge, mouth.to));
    let grain = piece.grain_or_down();
    let chord = to - from;
    let wanted = if chord.dot(grain).abs() > chord.cross(grain).abs() {
        grain
    } else {
        let middle = from.midpoint(to);
        match centre(piece, order) {
            Some(centre) => nearest_of(piece, centre, middle) - middle,
            None => return EdgeEnd::First,
        }
    };
    if chord.dot(wanted) > 0.0 { EdgeEnd::Last } else { EdgeEnd::First }
}

fn nearest_of(piece: &Piece, edge: EdgeId, point: Point) -> Point {
    piece.edge(edge).curve.nearest(point).point
}

fn centre(piece: &Piece, order: &SewingOrder<'_>) -> Option<EdgeId> {
    let grain = piece.grain_or_down();
    let says_centre = |id: &EdgeId| says(piece.edge(*id).name.as_str(), &CENTRE);
    let free_along = |id: &EdgeId| {
        let edge = piece.edge(*id);
        let chord = edge.curve.end() - edge.curve.start();
        edge.finish == Finish::Free && chord.dot(grain).abs() > chord.cross(grain).abs()
    };
    piece
        .fold()
        .or_else(|| piece.edge_ids().find(|id| order.sewn_to_own_mirror(piece, *id)))
        .or_else(|| piece.edge_ids().find(says_centre))
        .or_else(|| piece.edge_ids().find(free_along))
}
