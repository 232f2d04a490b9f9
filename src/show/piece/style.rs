//! How a piece is drawn.

use kurbo::{Affine, BezPath};

use crate::allowance::Halves;
use crate::canvas::Lying;
use crate::pattern::Copy;
use crate::units::Unit;

/// What is shown of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// What is needed to cut and sew it: each edge with what it is sewn to and its allowance.
    Cutting,
    /// Each edge with its sewn length.
    Lengths,
    /// Each edge with its sewn length, without allowances.
    SeamlineLengths,
    /// What it looks like: its lines, without marks, and its name alone.
    Shape,
    /// What it looks like, without allowances.
    SeamlineShape,
}

impl Shows {
    /// Whether marks and edges are left out, and the name is all that is said.
    pub(super) fn is_shape(self) -> bool {
        matches!(self, Shows::Shape | Shows::SeamlineShape)
    }

    /// Whether allowances are drawn.
    pub(super) fn has_allowances(self) -> bool {
        !matches!(self, Shows::SeamlineLengths | Shows::SeamlineShape)
    }
}

/// Lines besides a piece's own that its texts keep clear of.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::show) struct OtherLines<'a> {
    /// What is drawn over the piece: texts never stand on it.
    pub drawn: &'a [BezPath],
    /// Where the paper is put together: texts stand on one side of it where the piece has room.
    pub joins: &'a [BezPath],
}

/// How a piece is drawn.
#[derive(Clone, Debug)]
pub struct PieceStyle {
    /// What is shown.
    pub shows: Shows,
    /// How many times larger than for paper texts are: a picture of the whole pattern is looked at from afar.
    pub magnified: f64,
    /// Half pieces as on the sheet, to be laid on the fold of the cloth, or opened out.
    pub halves: Halves,
    /// As on the sheet, or turned over.
    pub hand: Copy,
    /// How it is turned.
    pub lying: Lying,
    /// Which copy it is, if each is drawn: the first is 1.
    pub copy: Option<u32>,
    /// Of which garment it is, and which of its pieces, told under its name.
    pub garment: Option<String>,
    /// In which unit lengths are told.
    pub unit: Unit,
}

impl PieceStyle {
    /// As it is needed to cut, as it lies on the sheet.
    #[must_use]
    pub fn for_cutting(unit: Unit) -> PieceStyle {
        PieceStyle {
            shows: Shows::Cutting,
            magnified: 1.0,
            halves: Halves::OnFold,
            hand: Copy::Drawn,
            lying: Lying::Upright,
            copy: None,
            garment: None,
            unit,
        }
    }

    /// From the sheet to how it lies, but for where.
    pub(in crate::show) fn motion(&self) -> Affine {
        let hand = match self.hand {
            Copy::Drawn => Affine::IDENTITY,
            Copy::Mirrored => Affine::FLIP_X,
        };
        self.lying.turn() * hand
    }
}
