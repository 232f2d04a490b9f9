//! `dart-to-seam`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{DartName, PieceName, Place, Refusal};
use crate::recut::Work;
use crate::recut::fields::Names;

/// Run a dart out to the edges and cut there.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DartToSeam {
    /// The piece with the dart.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The dart; a double dart runs out at both tips, and a dart whose tip faces this one is taken in with it.
    #[arg(long, value_name = "DART")]
    pub dart: DartName,
    /// Where the seam ends beyond the tip, on an edge; otherwise straight on along the dart's axis.
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
    /// Names of the two new pieces, "a, b"; the first goes to the part nearest the centre.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<Names>,
}

pub(super) fn dart_to_seam(step: &DartToSeam, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
