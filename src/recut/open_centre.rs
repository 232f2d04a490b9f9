//! `open-centre`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeName, PieceName, Refusal};
use crate::recut::Work;

/// Turn a fold into a seam to the piece's own mirrored copy.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OpenCentre {
    /// The half piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The fold; needed only where the piece has several.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
}

pub(super) fn open_centre(step: &OpenCentre, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
