//! Why new pieces cannot be laid back onto old ones.

use crate::curve::CurveError;
use crate::units::counted;

/// Why new pieces cannot be laid back onto old ones.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ResewError {
    /// The older pattern has gone on where the newer one ends.
    #[error("it is the later of the two: its record has {}, and the other one only the first {new} of them", counted(*old, "step"))]
    OldIsLater {
        /// How many steps the one given as older has.
        old: usize,
        /// How many the one given as newer has.
        new: usize,
    },
    /// The older pattern is another than the newer one was before its first step.
    #[error("it is not the pattern that the newer one was cut from: {what}")]
    OtherLedger {
        /// What differs.
        what: String,
    },
}

/// Why a recorded step cannot be measured.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeasureError {
    /// A recorded part names a piece that is not there.
    #[error("no piece `{piece}`")]
    NoPiece {
        /// Its name.
        piece: String,
    },
    /// The outline of a recorded part cannot be read.
    #[error("the outline of a part of `{piece}` cannot be read: {what}")]
    BadOutline {
        /// The piece it is a part of.
        piece: String,
        /// What is wrong with it.
        what: String,
    },
    /// The numbers cannot be worked out.
    #[error(transparent)]
    Geometry(#[from] CurveError),
}
