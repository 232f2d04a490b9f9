//! `set-corner`.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::pattern::Refusal;
use crate::recut::Work;
use crate::recut::fields::CornerEdges;

/// Set the shape of a corner of the cutting line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetCorner {
    /// The two edges that meet there: "front.side, front.hem"; square is squared to the first.
    #[arg(long, value_name = "A, B")]
    pub edges: CornerEdges,
    /// mitre, square, turned-up, jog, or usual (as the trade would).
    #[arg(long, value_name = "SHAPE")]
    pub shape: CornerWish,
}

/// The shape asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum CornerWish {
    /// Both cutting lines run on until they meet.
    Mitre,
    /// The end is squared to the first seamline.
    Square,
    /// The neighbour's cutting line is reflected in the hem's fold.
    TurnedUp,
    /// Each line ends square to its own seamline.
    Jog,
    /// As the trade would.
    Usual,
}

pub(super) fn set_corner(step: &SetCorner, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
