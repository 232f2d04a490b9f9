//! `set-allowance`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::Refusal;
use crate::recut::Work;
use crate::recut::fields::EdgeChoice;
use crate::units::Length;

/// Set the allowance of edges.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetAllowance {
    /// The edges: "front.side, back.*", *.hem, or finish:hem.
    #[arg(long, value_name = "EDGES")]
    pub edges: EdgeChoice,
    /// What is added outside the seamline for cutting.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub allowance: Length,
}

pub(super) fn set_allowance(step: &SetAllowance, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
