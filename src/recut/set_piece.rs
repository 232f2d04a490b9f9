//! `set-piece`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{ClothName, Cut, PieceName, Refusal};
use crate::recut::Work;

/// Set the name, count of copies, or cloth of a piece.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetPiece {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Another name.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
    /// How many copies: 1, 2 (left and right), or "2 same".
    #[arg(long, value_name = "CUT")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<Cut>,
    /// The cloth it is cut from: main, companion.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
}

pub(super) fn set_piece(step: &SetPiece, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
