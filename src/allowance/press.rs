//! To which side a folded dart is pressed.
//!
//! Where the sheet does not say it: a dart on an edge that runs mainly along the grain is pressed down, in the
//! direction of the grainline; any other toward the centre edge. A piece without one has a free edge that runs mainly along the
//! grain in its place; a piece that has none of them gets its darts pressed toward the first corner of their edge.

use crate::allowance::SewingOrder;
use crate::curve::Point;
use crate::pattern::{Dart, EdgeEnd, EdgeId, Finish, Mouth, Piece, Press};
use crate::tolerance::SAME_CUT;

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
    // A dart that opens on the centre itself has no side that is nearer to it.
    if wanted.hypot() <= SAME_CUT {
        return EdgeEnd::First;
    }
    if chord.dot(wanted) > 0.0 { EdgeEnd::Last } else { EdgeEnd::First }
}

fn nearest_of(piece: &Piece, edge: EdgeId, point: Point) -> Point {
    piece.edge(edge).curve.nearest(point).point
}

fn centre(piece: &Piece, order: &SewingOrder<'_>) -> Option<EdgeId> {
    let grain = piece.grain_or_down();
    let free_along = |id: &EdgeId| {
        let edge = piece.edge(*id);
        let chord = edge.curve.end() - edge.curve.start();
        edge.finish == Finish::Free && chord.dot(grain).abs() > chord.cross(grain).abs()
    };
    order.pattern().centre_edge(piece).or_else(|| piece.edge_ids().find(free_along))
}
