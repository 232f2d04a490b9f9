//! Why no seamline comes of a drawn cutting line.

use crate::curve::{CurveError, Point};
use crate::pattern::{DartName, EdgeName};

/// Why no seamline comes of a drawn cutting line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TakeOffError {
    /// No stretch is said to be an edge.
    #[error("the cutting line has no edge")]
    NoEdge,
    /// The stretches do not follow one another round.
    #[error("the cutting line is not closed: {0}")]
    Open(CurveError),
    /// Two edges that do not follow one another have one name.
    #[error("two edges are called {0}")]
    NameTwice(EdgeName),
    /// An allowance that cannot have been cut.
    #[error("{edge}: an allowance of {allowance:.1} mm cannot be taken off; give one from 0 mm")]
    BadAllowance {
        /// The edge.
        edge: EdgeName,
        /// The allowance, mm.
        allowance: f64,
    },
    /// The cutting line bends more sharply than any line at this allowance can.
    #[error(
        "{edge}: {allowance:.1} mm cannot be the allowance: the cutting line has room for {room:.1} mm at \
         ({:.1}, {:.1})", at.x, at.y
    )]
    TooDeep {
        /// The edge.
        edge: EdgeName,
        /// The allowance, mm.
        allowance: f64,
        /// The deepest allowance there is room for there, mm.
        room: f64,
        /// Where, on the cutting line.
        at: Point,
    },
    /// Taken off, the allowances of the neighbours leave nothing of an edge.
    #[error(
        "{edge}: its cutting line is {drawn:.1} mm long, and the allowances taken off beside it and its neighbours \
         ({before:.1}, {allowance:.1} and {after:.1} mm) leave nothing of it"
    )]
    NothingLeft {
        /// The edge.
        edge: EdgeName,
        /// The length of its drawn line, mm.
        drawn: f64,
        /// The allowance of the edge before, mm.
        before: f64,
        /// Its own, mm.
        allowance: f64,
        /// The allowance of the edge after, mm.
        after: f64,
    },
    /// Two edges that follow one another do not meet once their allowances are off.
    #[error(
        "{first} and {second} do not meet once {first_allowance:.1} and {second_allowance:.1} mm are taken off at \
         ({:.1}, {:.1})", at.x, at.y
    )]
    NoCorner {
        /// The edge that arrives.
        first: EdgeName,
        /// The edge that leaves.
        second: EdgeName,
        /// The allowance of the first, mm.
        first_allowance: f64,
        /// The allowance of the second, mm.
        second_allowance: f64,
        /// Where the first one's cutting line ends.
        at: Point,
    },
    /// The seamline crosses itself.
    #[error(
        "{first} would cross {second} at ({:.1}, {:.1}) once {first_allowance:.1} and {second_allowance:.1} mm are \
         taken off", at.x, at.y
    )]
    Crosses {
        /// The one edge.
        first: EdgeName,
        /// The other, which may be the same.
        second: EdgeName,
        /// The allowance of the first, mm.
        first_allowance: f64,
        /// The allowance of the second, mm.
        second_allowance: f64,
        /// Where.
        at: Point,
    },
    /// The allowances leave no piece.
    #[error(
        "nothing is left of the piece once its allowances are taken off, the deepest {allowance:.1} mm on {edge}"
    )]
    NoPiece {
        /// The edge with the deepest allowance.
        edge: EdgeName,
        /// That allowance, mm.
        allowance: f64,
    },
    /// No line could be drawn inside an edge's cutting line.
    #[error("{edge}: no line can be drawn {allowance:.1} mm inside its cutting line: {source}")]
    Inside {
        /// The edge.
        edge: EdgeName,
        /// The allowance, mm.
        allowance: f64,
        /// What stands in the way.
        source: CurveError,
    },
    /// A dart opens on an edge that is not there.
    #[error("{dart}: no edge of the cutting line is called {edge}")]
    NoDartEdge {
        /// The dart.
        dart: DartName,
        /// The edge said to hold it.
        edge: EdgeName,
    },
    /// The cutting line shows no dart where there should be one.
    #[error("{dart}: the cutting line of {edge} has neither its cap nor a wedge; give its legs or its mouth")]
    NoDart {
        /// The dart.
        dart: DartName,
        /// The edge said to hold it.
        edge: EdgeName,
    },
    /// The legs or the mouth of a dart do not lie at its edge.
    #[error("{dart}: its mouth at ({:.1}, {:.1}) lies {off:.1} mm off the seamline of {edge}", at.x, at.y)]
    MouthOff {
        /// The dart.
        dart: DartName,
        /// The edge said to hold it.
        edge: EdgeName,
        /// The mouth's end.
        at: Point,
        /// How far off, mm.
        off: f64,
    },
}

/// What of a piece a fault of taking its allowances off is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakeOffPlace<'a> {
    /// All of it.
    Piece,
    /// An edge; the first where there are two.
    Edge(&'a EdgeName),
    /// A dart.
    Dart(&'a DartName),
}

impl TakeOffError {
    /// What it is about.
    #[must_use]
    pub fn place(&self) -> TakeOffPlace<'_> {
        match self {
            TakeOffError::NoEdge | TakeOffError::Open(_) => TakeOffPlace::Piece,
            TakeOffError::NameTwice(edge)
            | TakeOffError::BadAllowance { edge, .. }
            | TakeOffError::TooDeep { edge, .. }
            | TakeOffError::NothingLeft { edge, .. }
            | TakeOffError::NoCorner { first: edge, .. }
            | TakeOffError::Crosses { first: edge, .. }
            | TakeOffError::NoPiece { edge, .. }
            | TakeOffError::Inside { edge, .. } => TakeOffPlace::Edge(edge),
            TakeOffError::NoDartEdge { dart, .. }
            | TakeOffError::NoDart { dart, .. }
            | TakeOffError::MouthOff { dart, .. } => TakeOffPlace::Dart(dart),
        }
    }
}
