//! Why new pieces cannot be laid back onto old ones.

use crate::curve::CurveError;
use crate::pattern::Refusal;

/// Why new pieces cannot be laid back onto old ones.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ResewError {
    /// The steps of the old pattern are not the first of the new one's.
    #[error("step {step} of the older pattern is not step {step} of the newer one: they went different ways")]
    OtherSteps {
        /// The first that differs, from 1.
        step: usize,
    },
    /// The older pattern measures other than the newer one did before its first step.
    #[error("it is not the pattern that the newer one was cut from: {what}")]
    OtherLedger {
        /// What differs.
        what: String,
    },
    /// A recorded step cannot be read.
    #[error("step {step} of the record cannot be read: {what}")]
    Unread {
        /// Which, from 1.
        step: usize,
        /// What is wrong with it.
        what: String,
    },
    /// A recorded step cannot be done on the older pattern.
    #[error("step {step} ({operation}) cannot be done on it as it was on the pattern that the newer one was cut from: {at}: {what}",
        at = refusal.at, what = refusal.what)]
    Refused {
        /// Which, from 1.
        step: usize,
        /// Its operation.
        operation: String,
        /// Why.
        refusal: Box<Refusal>,
    },
    /// A recorded part names a piece that is not there, or its outline or motion is none.
    #[error("what step {step} records cannot be measured: {source}")]
    Measured {
        /// Which, from 1.
        step: usize,
        /// Why.
        source: MeasureError,
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
