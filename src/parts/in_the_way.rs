//! What stands in the way of a change.

use crate::advice;
use crate::pattern::{DartName, Field, Operation, Piece, Refusal, RefusalKind};

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
        advice!(
            "move it away first: ",
            Operation::PivotDart
                .with(Field::Piece, piece.name())
                .with(Field::Dart, dart)
                .asking_place(Field::To)
        ),
    )
}
