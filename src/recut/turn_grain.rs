//! `turn-grain`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{PieceName, Refusal};
use crate::recut::Work;
use crate::recut::fields::GrainWay;

/// Set the grainline lengthwise, crosswise, or along a line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TurnGrain {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// lengthwise, crosswise, or a line.
    #[arg(long, value_name = "WAY")]
    pub to: GrainWay,
}

pub(super) fn turn_grain(step: &TurnGrain, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
