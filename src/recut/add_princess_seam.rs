//! `add-princess-seam`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{PieceName, Place, Refusal};
use crate::recut::Work;
use crate::recut::fields::{DartChoice, Names};
use crate::units::Length;

/// Cut a piece from an edge through a point to another edge, taking the darts into the seam.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddPrincessSeam {
    /// The piece to cut.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Where the seam starts, on an edge: shoulder@50%.
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub from: Place,
    /// The point it runs through: bust-point.
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub through: Place,
    /// Where it ends, on an edge: "hem@45% from centre".
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub to: Place,
    /// The darts to take in, "bust-dart, waist-dart" or none; otherwise all whose tip lies within 60 mm of the point.
    #[arg(long, value_name = "DARTS")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub darts: Option<DartChoice>,
    /// Most ease between the two seamlines; otherwise what the blend needs, at most 1.5mm.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ease: Option<Length>,
    /// How far on either side of the point the seamlines are blended; otherwise 30mm.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blend: Option<Length>,
    /// Names of the two new pieces, "a, b"; the first goes to the part nearest the centre.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<Names>,
}

pub(super) fn add_princess_seam(step: &AddPrincessSeam, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
