//! `true-seam`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeRef, Refusal};
use crate::recut::Work;
use crate::recut::fields::TrueBy;

/// Bring two seamlines of nearly equal length to equal length, or smooth an edge across a joint.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TrueSeam {
    /// Any edge of the seam: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// Which side changes: share (default: each gives half), or the piece that changes.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<TrueBy>,
    /// An edge that continues across the end of the seam, to be smoothed there: front.hem.
    #[arg(long, value_name = "PIECE.EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smooth: Option<EdgeRef>,
}

pub(super) fn true_seam(step: &TrueSeam, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
