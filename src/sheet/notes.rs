//! What the reader tolerated, to be told to the user.

use std::fmt;

use crate::pattern::{EdgeName, PieceName};
use crate::sheet::drawing::{NamedElement, Note, UnitSource};

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
        element: NamedElement,
        /// The kind as written.
        kind: String,
    },
    /// A piece is hidden and was not read; it is kept in the background.
    HiddenPiece {
        /// The piece's group.
        element: NamedElement,
    },
    /// Edges stand in no piece and were not read; they are kept in the background.
    EdgesOutside {
        /// The first of them.
        first: NamedElement,
        /// How many there are together.
        count: usize,
    },
    /// The unit given goes before what the file states.
    OtherUnit {
        /// What the file states, mm in a user unit.
        stated: f64,
        /// What is used.
        used: f64,
    },
}

/// How an edge comes to stand in a piece.
const PIECE_WAY_OUT: &str = "mark the group around a piece with data-kind=\"piece\" and an id";

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
            SheetNote::HiddenPiece { element } => {
                write!(f, "{element} is a piece, but hidden: not read; show it, or take it out")
            }
            SheetNote::EdgesOutside { first, count: 1 } => {
                write!(f, "{first} is an edge, but stands in no piece: not read; {PIECE_WAY_OUT}")
            }
            SheetNote::EdgesOutside { first, count } => {
                let others = count - 1;
                write!(f, "{first} and {others} more edges stand in no piece: not read; {PIECE_WAY_OUT}")
            }
            SheetNote::OtherUnit { stated, used } => write!(
                f,
                "the sheet states {stated:.6} mm in a unit, but {used:.6} mm is used as asked; measure the print"
            ),
        }
    }
}
