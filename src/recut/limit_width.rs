//! `limit-width`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{PieceName, Refusal};
use crate::recut::Work;
use crate::units::Length;

/// Cut a piece into the fewest panels no wider than a given width.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LimitWidth {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Most width of a panel as it is cut: opened out, allowances included.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub width: Length,
}

pub(super) fn limit_width(step: &LimitWidth, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
