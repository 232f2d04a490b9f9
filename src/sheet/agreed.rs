//! What a sheet and a map may say of a piece and its seams alike: both refuse the same of it.

use crate::pattern::{DartShape, EdgeName, EdgeRef, Piece, Press, Refusal, RefusalKind, ShapedCorner};

/// Refuses the shape of a corner of edges that do not meet.
pub(crate) fn refuse_apart(piece: &Piece, corner: &ShapedCorner) -> Result<(), Refusal> {
    let (first, second) = &corner.edges;
    let (a, b) = (piece.edge_named(first)?, piece.edge_named(second)?);
    if piece.next(a) == b || piece.next(b) == a {
        return Ok(());
    }
    let what = format!("`{first}` and `{second}` do not meet");
    Err(Refusal::new(RefusalKind::BadField, piece.name(), what, "name two edges that meet at a corner"))
}

/// To which side a dart is pressed: toward an edge that its mouth's edge meets.
///
/// # Errors
///
/// Refuses an edge that the piece does not have, or that the edge of the mouth does not meet.
pub(crate) fn pressed(piece: &Piece, shape: &DartShape, toward: EdgeName) -> Result<Press, Refusal> {
    match shape {
        DartShape::Open { mouth, .. } => {
            let edge = piece.edge_named(&mouth.edge)?;
            piece.end_at(edge, &toward)?;
        }
        DartShape::Double { .. } => {
            piece.edge_named(&toward)?;
        }
    }
    Ok(Press::Toward(toward))
}

/// Refuses a seam of which an edge stands on both sides, or twice on one.
pub(crate) fn refuse_sewn_to_itself(first: &[EdgeRef], second: &[EdgeRef]) -> Result<(), Refusal> {
    if let Some(edge) = second.iter().find(|edge| first.contains(edge)) {
        let way_out = format!("for its mirrored copy write {edge}/m");
        return Err(Refusal::new(RefusalKind::BadSeam, edge, "the edge is sewn to itself", way_out));
    }
    for side in [first, second] {
        let twice = side.iter().enumerate().find(|(at, edge)| side[..*at].contains(edge));
        if let Some((_, edge)) = twice {
            let what = format!("`{edge}` stands twice in one seam");
            return Err(Refusal::new(RefusalKind::BadSeam, edge, what, "name it once"));
        }
    }
    Ok(())
}
