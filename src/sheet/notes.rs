//! What the reader tolerated, to be told to the user.

use std::fmt;

use crate::pattern::{EdgeName, PieceName};
use crate::sheet::drawing::{Element, Note, UnitSource};

/// Something the reader tolerated.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SheetNote {
    /// Ends of edges were welded.
    Welded {
        /// The piece.
        piece: PieceName,
        /// The edge that ends there.
        ends: EdgeName,
        /// The edge that starts there.
        starts: EdgeName,
        /// How far apart they were, mm.
        gap: f64,
    },
    /// The drawing reader tolerated something.
    Drawing(Note),
    /// A kind that is not known; the element is kept as it stands.
    UnknownKind {
        /// The element.
        element: Element,
        /// The kind as written.
        kind: String,
    },
    /// The unit given goes before what the file states.
    OtherUnit {
        /// What the file states, mm in a user unit.
        stated: f64,
        /// What is used.
        used: f64,
    },
}

impl SheetNote {
    pub(super) fn of_unit(unit: &UnitSource) -> Option<SheetNote> {
        match unit {
            UnitSource::Stated { .. } => None,
            UnitSource::Told { mm_per_unit, stated, .. }
            | UnitSource::Measured { mm_per_unit, stated, .. } => {
                let stated = (*stated)?;
                let differs = (stated / mm_per_unit - 1.0).abs() > crate::tolerance::UNEQUAL_SCALES;
                differs.then_some(SheetNote::OtherUnit { stated, used: *mm_per_unit })
            }
        }
    }
}

impl fmt::Display for SheetNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SheetNote::Welded { piece, ends, starts, gap } => {
                write!(f, "{piece}: `{ends}` and `{starts}` lie {gap:.2} mm apart; joined half way")
            }
            SheetNote::Drawing(note) => write!(f, "{note}"),
            SheetNote::UnknownKind { element, kind } => {
                write!(f, "{element}: `{kind}` is not a kind of thing on a piece; kept as it stands")
            }
            SheetNote::OtherUnit { stated, used } => write!(
                f,
                "the sheet states {stated:.6} mm in a unit, but {used:.6} mm is used as asked; measure the print"
            ),
        }
    }
}
