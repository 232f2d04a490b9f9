//! `add-band`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeName, PieceName, Refusal};
use crate::recut::Work;
use crate::units::Length;

/// Cut a border of even depth along an edge.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddBand {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The edge along which the band lies.
    #[arg(long, value_name = "EDGE")]
    pub edge: EdgeName,
    /// Its finished depth.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub depth: Length,
    /// Name of the band; otherwise PIECE-band.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

pub(super) fn add_band(step: &AddBand, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
