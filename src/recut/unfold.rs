//! `unfold`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeName, PieceName, Refusal};
use crate::recut::Work;

/// Open a half piece out to the whole.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Unfold {
    /// The half piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The fold; needed only where the piece has several.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
}

pub(super) fn unfold(step: &Unfold, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
