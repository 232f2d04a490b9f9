//! `split`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{Line, PieceName, Refusal};
use crate::recut::Work;
use crate::recut::fields::Names;
use crate::units::Length;

/// Cut a piece in two along a line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Split {
    /// The piece to cut.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The line: a style line's name, "A > B", "A ~ B ~ C", "level waist", "beside centre at 12cm", "across at 9cm below PLACE", "along at PLACE".
    #[arg(long, value_name = "LINE")]
    pub line: Line,
    /// Names of the two new pieces, "a, b"; the first goes to the part with the fold, else the one nearest the centre edge, else the upper.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<Names>,
    /// Allowance of the two new edges; otherwise the one most of the piece's seams have.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
}

pub(super) fn split(step: &Split, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
