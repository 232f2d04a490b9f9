//! `merge-at-seamline`.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeRef, PieceName, Refusal};
use crate::recut::Work;

/// Join two pieces, or two edges of one piece, along their seam into one.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MergeAtSeamline {
    /// Any edge of the seam: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// What becomes of a void between the two seamlines: a dart, or a refusal (default).
    #[arg(long, value_name = "SHAPING")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaping: Option<VoidShaping>,
    /// Name of the new piece; otherwise that of the first.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

/// What becomes of a void between two seamlines that are joined.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum VoidShaping {
    /// A dart, or a double dart in the middle of the seam.
    Dart,
    /// Nothing is joined.
    #[default]
    Refuse,
}

pub(super) fn merge_at_seamline(step: &MergeAtSeamline, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
