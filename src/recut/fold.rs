//! `fold`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeName, PieceName, Refusal};
use crate::recut::Work;

/// Fold a whole piece to its half.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Fold {
    /// The whole piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Name of the new fold; otherwise centre.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
}

pub(super) fn fold(step: &Fold, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
