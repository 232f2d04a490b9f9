//! What stands in the way of a change.

use crate::advice;
use crate::pattern::{DartName, Field, Operation, Piece, Refusal, RefusalKind, Suggestion};

/// To move a dart away, to a place that the user names.
pub(crate) fn dart_moved(piece: &Piece, dart: &DartName) -> Suggestion {
    let pivot = Operation::PivotDart.with(Field::Piece, piece.name()).with(Field::Dart, dart);
    pivot.asking_place(Field::To)
}

/// A refusal of a change where a dart opens.
pub(crate) fn dart_opens(
    piece: &Piece,
    dart: &DartName,
    at: impl std::fmt::Display,
    what: String,
) -> Refusal {
    Refusal::new(
        RefusalKind::DartInTheWay,
        at,
        what,
        advice!("move it away first: ", dart_moved(piece, dart)),
    )
}
