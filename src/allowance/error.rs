//! Why a piece has no cutting line.

use crate::advice;
use crate::curve::CurveError;
use crate::pattern::{EdgeName, Field, Operation, PieceName, Refusal, RefusalKind};

/// Why a piece has no cutting line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AllowanceError {
    /// An allowance that cannot be cut.
    #[error("{piece}.{edge}: an allowance of {allowance:.1} mm cannot be cut; give one from 0 mm")]
    BadAllowance {
        /// The piece.
        piece: PieceName,
        /// The edge.
        edge: EdgeName,
        /// The allowance in mm.
        allowance: f64,
    },
    /// No line could be drawn beside an edge.
    #[error("{piece}.{edge}: no cutting line can be drawn beside the edge: {source}")]
    Beside {
        /// The piece.
        piece: PieceName,
        /// The edge.
        edge: EdgeName,
        /// What stands in the way.
        source: CurveError,
    },
    /// The line around the piece could not be freed of its loops.
    #[error(
        "{piece}: the cutting line cannot be closed: {source}; give the edges in its hollows a lesser allowance"
    )]
    Around {
        /// The piece.
        piece: PieceName,
        /// What stands in the way.
        source: CurveError,
    },
    /// A corner is set to a shape that it cannot have.
    #[error(
        "{piece}: the corner of {first} and {second} cannot be {shape}: {why}; set another with set-corner"
    )]
    BadCorner {
        /// The piece.
        piece: PieceName,
        /// The edge that arrives.
        first: EdgeName,
        /// The edge that leaves.
        second: EdgeName,
        /// The shape asked for.
        shape: &'static str,
        /// What it lacks.
        why: &'static str,
    },
    /// A half piece that cannot be opened out.
    #[error(
        "{piece}.{edge}: the half piece cannot be opened out: its cutting line does not run straight along its fold; draw \
         the fold straight, from end to end of the piece"
    )]
    CrookedFold {
        /// The piece.
        piece: PieceName,
        /// Its fold.
        edge: EdgeName,
    },
    /// A piece on more than one fold.
    #[error("{piece}: the piece has several folds: {}", listed(folds))]
    SeveralFolds {
        /// The piece.
        piece: PieceName,
        /// Its folds.
        folds: Vec<EdgeName>,
    },
}

fn listed(names: &[EdgeName]) -> String {
    names.iter().map(EdgeName::as_str).collect::<Vec<_>>().join(", ")
}

impl From<AllowanceError> for Refusal {
    fn from(error: AllowanceError) -> Refusal {
        let (kind, at, way_out) = match &error {
            AllowanceError::BadAllowance { piece, edge, .. } => {
                (RefusalKind::BadField, format!("{piece}.{edge}"), advice!("give it an allowance from 0 mm"))
            }
            AllowanceError::Beside { piece, edge, .. } => (
                RefusalKind::Geometry,
                format!("{piece}.{edge}"),
                advice!("redraw the edge or lessen its allowance"),
            ),
            AllowanceError::Around { piece, .. } => (
                RefusalKind::Geometry,
                piece.to_string(),
                advice!("give the edges in its hollows a lesser allowance"),
            ),
            AllowanceError::BadCorner { piece, .. } => (
                RefusalKind::BadField,
                piece.to_string(),
                advice!("set another shape with ", Operation::SetCorner),
            ),
            AllowanceError::CrookedFold { piece, edge } => (
                RefusalKind::BadOutline,
                format!("{piece}.{edge}"),
                advice!("draw the fold straight, from end to end of the piece"),
            ),
            AllowanceError::SeveralFolds { piece, folds } => {
                let opened = Operation::Unfold.with(Field::Piece, piece);
                let opened = folds.iter().take(1).fold(opened, |opened, fold| opened.with(Field::Edge, fold));
                let way_out = advice!("open it out at one of them first: ", opened);
                (RefusalKind::NotOfThatSort, piece.to_string(), way_out)
            }
        };
        Refusal::new(kind, at, error.to_string(), way_out)
    }
}
