//! The steps that mend what is not true, with their fields.

use crate::advice;
use crate::pattern::{
    Advice, EdgeEnd, EdgeId, EdgeRef, Field, Finish, Operation, Pattern, Piece, Suggestion,
};
use crate::tolerance::{MOST_SMOOTHED, MOST_TRUED};
use crate::truing::{SeamEnd, SeamWalk};
use crate::units::Length;

/// The step that brings the sides of a seam to equal length; none where they differ by more than that does.
pub(super) fn trued(pattern: &Pattern, walk: &SeamWalk) -> Option<Advice> {
    let seam = pattern.edge_naming(walk.seam).filter(|_| walk.difference.mm().abs() <= MOST_TRUED)?;
    Some(advice!("true it: ", Operation::TrueSeam.with(Field::Seam, seam)))
}

/// The steps for an edge that turns where it runs on across the end of a seam.
pub(super) fn smoothed_across(pattern: &Pattern, walk: &SeamWalk, end: &SeamEnd) -> Option<Advice> {
    let beyond = end.beyond.0.drawn();
    let seam = pattern.edge_naming(walk.seam).filter(|_| end.kink().abs() <= MOST_SMOOTHED);
    let smooth = seam.map(|seam| smoothed(&seam, &beyond));
    let (first, last) = pattern.seam(walk.seam).first.first_and_last();
    let meets = |edge: &EdgeRef| {
        pattern.edge(edge).is_ok_and(|(piece, id)| {
            let beside = [EdgeEnd::First, EdgeEnd::Last].map(|end| piece.beside(id, end));
            *piece.name() == beyond.piece
                && beside.iter().any(|beside| piece.edge(*beside).name == beyond.edge)
        })
    };
    let own = [first, last].into_iter().map(|run| run.edge.drawn()).find(meets);
    either(smooth, own.map(|own| pointed(&own, &beyond)))
}

/// The steps for an edge that turns where it goes on in the next of its piece.
pub(super) fn smoothed_at_join(piece: &Piece, id: EdgeId) -> Option<Advice> {
    let named = |id: EdgeId| EdgeRef::new(piece.name().clone(), piece.edge(id).name.clone());
    let (edge, next) = (named(id), named(piece.next(id)));
    let smooth = (piece.edge(id).finish == Finish::Seam).then(|| smoothed(&edge, &edge));
    either(smooth, Some(pointed(&edge, &next)))
}

/// The step for an edge that turns in its own mirror image, where that is meant.
pub(super) fn pointed_at_fold(piece: &Piece, edge: EdgeId, fold: EdgeId) -> Advice {
    let [edge, fold] = [edge, fold].map(|id| EdgeRef::new(piece.name().clone(), piece.edge(id).name.clone()));
    advice!("where a point is meant, say so: ", pointed(&edge, &fold))
}

/// An allowance for edges.
pub(super) fn allowance(edges: &[&EdgeRef], allowance: Length) -> Suggestion {
    let edges: Vec<String> = edges.iter().map(|edge| edge.drawn().to_string()).collect();
    Operation::SetAllowance.with(Field::Edges, edges.join(", ")).with(Field::Allowance, allowance)
}

fn smoothed(seam: &EdgeRef, edge: &EdgeRef) -> Suggestion {
    Operation::TrueSeam.with(Field::Seam, seam).with(Field::Smooth, edge)
}

fn pointed(edge: &EdgeRef, next: &EdgeRef) -> Suggestion {
    Operation::SetCorner.with(Field::Edges, format!("{edge}, {next}")).with(Field::Shape, "point")
}

fn either(smooth: Option<Suggestion>, point: Option<Suggestion>) -> Option<Advice> {
    match (smooth, point) {
        (Some(smooth), Some(point)) => {
            Some(advice!("smooth it: ", smooth, "; where a point is meant, say so: ", point))
        }
        (Some(smooth), None) => Some(advice!("smooth it: ", smooth)),
        (None, Some(point)) => Some(advice!("where a point is meant, say so: ", point)),
        (None, None) => None,
    }
}
