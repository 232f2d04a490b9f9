//! `set-edge`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeName, EdgeRef, Finish, Refusal, Selvedge, SewnTo};
use crate::recut::Work;
use crate::units::Length;

/// Set the finish, selvedge, seam, ease or name of an edge.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetEdge {
    /// The edge: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub edge: EdgeRef,
    /// How it is finished: seam, hem, fold, or free.
    #[arg(long, value_name = "FINISH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish: Option<Finish>,
    /// Whether it lies on the selvedge: yes or no.
    #[arg(long, value_name = "SELVEDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub selvedge: Option<Selvedge>,
    /// What it is sewn to, in place of all it was sewn to: "back.side", "front.armhole back.armhole", "back.side from hem"; a ; begins another layer; none takes it off.
    #[arg(long, value_name = "EDGES")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sewn_to: Option<SewnTo>,
    /// By how much this side of the seam is meant to be longer.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ease: Option<Length>,
    /// Another name.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<EdgeName>,
}

pub(super) fn set_edge(step: &SetEdge, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
