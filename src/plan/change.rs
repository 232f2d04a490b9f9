//! Kinds of change, and a change that could be made.

use crate::pattern::PieceName;
use crate::plan::Seen;
use crate::plan::draft::RecutSoFar;

/// A kind of change.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum ChangeKind {
    /// A side seam is moved into the piece.
    SideSeam,
    /// A side seam is moved so that the selvedge is the edge of the piece.
    Selvedge,
    /// A seam in place of a fold.
    Centre,
    /// A princess seam.
    Princess,
    /// A dart is run out into a seam.
    DartSeam,
    /// A seam along a line drawn on the piece.
    StyleLine,
    /// A seam across the upper part of a piece.
    Yoke,
    /// A seam across, lower down.
    Waist,
    /// A piece in panels of equal width.
    Panels,
    /// A border cut off along an edge.
    Band,
    /// A border from another cloth in place of the end of the garment.
    Border,
    /// The grain across the cloth.
    Crosswise,
    /// A piece sewn to itself in two: an upper and an under part.
    TwoPiece,
    /// A piece put together where that is not seen.
    Piecing,
    /// Another cloth.
    Companion,
    /// Edges on the selvedges, one sewn on top of the other.
    Lapped,
    /// Edges on the selvedges, sewn edge to edge over a tape.
    Butted,
}

impl ChangeKind {
    /// Whether it makes several parts of a piece.
    pub(super) fn makes_parts(self) -> bool {
        match self {
            ChangeKind::Princess
            | ChangeKind::DartSeam
            | ChangeKind::StyleLine
            | ChangeKind::Yoke
            | ChangeKind::Waist
            | ChangeKind::Panels
            | ChangeKind::Band
            | ChangeKind::Border
            | ChangeKind::TwoPiece
            | ChangeKind::Piecing => true,
            ChangeKind::SideSeam
            | ChangeKind::Selvedge
            | ChangeKind::Centre
            | ChangeKind::Crosswise
            | ChangeKind::Companion
            | ChangeKind::Lapped
            | ChangeKind::Butted => false,
        }
    }
}

/// A recut that could serve a need.
#[derive(Clone, Debug)]
pub(super) struct Move {
    pub(super) kind: ChangeKind,
    /// What is done with that to the same pieces, if anything.
    pub(super) besides: Option<ChangeKind>,
    /// The pieces that it changes, as they are called in the given pattern, and how much of each is seen.
    pub(super) changed: Vec<(PieceName, Seen)>,
    pub(super) draft: RecutSoFar,
    pub(super) tale: String,
}
