//! `move-seam`.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeRef, PieceName, Refusal};
use crate::recut::Work;
use crate::recut::fields::SeamLine;
use crate::units::Length;

/// Shift a seam: cut a strip off one piece and join it to the other at the old seamline.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MoveSeam {
    /// Any edge of the seam: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// The piece that gives.
    #[arg(long, value_name = "PIECE")]
    pub from: PieceName,
    /// Finished width that the giving piece keeps, as drawn: half the width for a half piece.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_width: Option<Length>,
    /// How far the seam is shifted into the giving piece.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Length>,
    /// Where the new seam runs: grain (straight and parallel to the grain), seam (parallel to the old one), or a line; otherwise grain with --to-width and seam with --by.
    #[arg(long, value_name = "LINE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<SeamLine>,
    /// What becomes of the shaping of the old seam: carry it to the new edge (default), keep it as a dart at the old seam, or drop it.
    #[arg(long, value_name = "SHAPING")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaping: Option<Shaping>,
    /// What becomes of the longer side of the new seam: eased in (default), or trued at the hem.
    #[arg(long, value_name = "LONGER")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longer: Option<Longer>,
    /// The edge at the end of the old seam where the two pieces are matched; otherwise the end away from a hem.
    #[arg(long, value_name = "PIECE.EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub match_at: Option<EdgeRef>,
}

/// What becomes of the shaping of a seam that is moved away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Shaping {
    /// The new edge takes it over, level by level.
    #[default]
    Carry,
    /// It stays at the old seam as a double dart.
    Dart,
    /// It is given up; the girth gained or lost is told.
    Drop,
}

/// What becomes of the difference where one side of the new seam is longer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Longer {
    /// It is eased in, up to 3 mm.
    #[default]
    Ease,
    /// It is trued at the hem.
    Hem,
}

pub(super) fn move_seam(step: &MoveSeam, work: &mut Work) -> Result<(), Refusal> {
    let _ = (step, work);
    todo!()
}
