//! `pivot-dart`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{DartName, PieceName, Place, Refusal};
use crate::recut::Work;
use crate::units::{Length, Share};

/// Close a dart and open it elsewhere on the outline, in whole or by a share.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PivotDart {
    /// The piece with the dart.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The dart to close.
    #[arg(long, value_name = "DART")]
    pub dart: DartName,
    /// Where it opens, on an edge: shoulder@50%.
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub to: Place,
    /// How much of it is moved; otherwise all, 100%.
    #[arg(long, value_name = "SHARE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<Share>,
    /// The point about which it turns; otherwise the tip. The legs are redrawn to it.
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<Place>,
    /// How far the new tip stands from the point about which it turned; otherwise it reaches the point.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stand_off: Option<Length>,
}

pub(super) fn pivot_dart(step: &PivotDart, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
