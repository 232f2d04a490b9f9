//! How a piece is to be made: which parts of old pieces, and which stretches of old edges and new lines go round it.

use crate::curve::{Curve, Motion, Outline};
use crate::pattern::{
    ClothName, Copy, Cut, Dart, DartName, Edge, EdgeId, EdgeName, Finish, Kept, Level, On, Opening, Piece,
    PieceName, Purpose, Refusal, Selvedge, Unsewn,
};
use crate::units::Length;

/// A region of an old piece, and the motion that carries it.
#[derive(Clone, Debug)]
pub(crate) struct Part<'a> {
    pub piece: &'a Piece,
    /// Its outline on the old piece; none where it is the whole piece.
    pub region: Option<Outline>,
    pub motion: Motion,
    /// Which copy of the old piece is used.
    pub copy: Copy,
    /// Its levels on the old piece where they are not just those that lie in the region.
    pub levels: Option<Vec<Level>>,
}

impl<'a> Part<'a> {
    pub(crate) fn whole(piece: &'a Piece, motion: Motion) -> Part<'a> {
        Part { piece, region: None, motion, copy: Copy::Drawn, levels: None }
    }

    pub(crate) fn of(piece: &'a Piece, region: Outline, motion: Motion) -> Part<'a> {
        Part { piece, region: Some(region), motion, copy: Copy::Drawn, levels: None }
    }
}

/// A stretch of the new outline.
#[derive(Clone, Debug)]
pub(crate) enum Bit {
    /// A stretch of an old edge, `from < to` on its curve; a mirrored part is walked from `to`.
    Old { part: usize, edge: EdgeId, from: f64, to: f64 },
    /// The way from one part to the next where they do not quite meet. Edges on both sides are brought to its middle
    /// where they can be, see [`bridged`](super::bridged); else it is part of the edge before it.
    Bridge(Curve),
    /// The mouth of a new dart, by its place in [`Assembly::new_darts`]; on the edge of a part where that is said, else
    /// on the edge before it.
    Mouth { dart: usize, chord: Curve, on: Option<(usize, EdgeId)> },
    /// A new edge.
    New { look: EdgeLook, curve: Curve },
}

/// What an edge is besides its curve.
#[derive(Clone, Debug)]
pub(crate) struct EdgeLook {
    pub name: EdgeName,
    pub finish: Finish,
    pub allowance: Length,
    pub selvedge: Selvedge,
    pub unsewn: Unsewn,
    pub open: Option<Opening>,
    pub lap: Option<Length>,
    pub kept: Kept,
}

impl EdgeLook {
    pub(crate) fn of(edge: &Edge) -> EdgeLook {
        EdgeLook {
            name: edge.name.clone(),
            finish: edge.finish,
            allowance: edge.allowance,
            selvedge: edge.selvedge,
            unsewn: edge.unsewn,
            open: edge.open,
            lap: edge.lap,
            kept: edge.kept.clone(),
        }
    }

    pub(crate) fn seam(name: EdgeName, allowance: Length) -> EdgeLook {
        EdgeLook {
            name,
            finish: Finish::Seam,
            allowance,
            selvedge: Selvedge::No,
            unsewn: Unsewn::Forgotten,
            open: None,
            lap: None,
            kept: Kept::default(),
        }
    }
}

/// Whether what has no place on a piece (a comment) goes along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unplaced {
    Keep,
    Leave,
}

/// How a piece is to be made.
#[derive(Clone, Debug)]
pub(crate) struct Assembly<'a> {
    pub name: PieceName,
    pub cut: Cut,
    pub cloth: ClothName,
    pub purpose: Purpose,
    pub kept: Kept,
    pub parts: Vec<Part<'a>>,
    /// The outline, clockwise, beginning at a corner.
    pub bits: Vec<Bit>,
    /// The part whose grain the piece has.
    pub grain: usize,
    /// Darts that do not go along.
    pub taken: Vec<(PieceName, DartName)>,
    /// Darts that were on no old piece; the mouth of an open one is set where its [`Bit::Mouth`] lies.
    pub new_darts: Vec<Dart>,
    /// Pairs of old edges, each of a part, of which the second goes on with the first as one edge.
    pub continued: Vec<[(usize, EdgeId); 2]>,
    /// Places on old edges, each of a part, at which one edge ends and another begins.
    pub divided: Vec<(usize, On)>,
    pub unplaced: Unplaced,
}

impl<'a> Assembly<'a> {
    /// One for a piece like another, of given parts and outline; the grain is the first part's.
    pub(crate) fn like(
        piece: &'a Piece,
        name: PieceName,
        parts: Vec<Part<'a>>,
        bits: Vec<Bit>,
    ) -> Assembly<'a> {
        Assembly {
            name,
            cut: piece.cut,
            cloth: piece.cloth.clone(),
            purpose: piece.purpose,
            kept: piece.kept.clone(),
            parts,
            bits,
            grain: 0,
            taken: Vec::new(),
            new_darts: Vec::new(),
            continued: Vec::new(),
            divided: Vec::new(),
            unplaced: Unplaced::Keep,
        }
    }

    /// The curve of a stretch of the outline as it lies in the new piece, clockwise.
    pub(super) fn curve_of(&self, bit: &Bit) -> Result<Curve, Refusal> {
        Ok(match bit {
            Bit::Old { part, edge, from, to } => {
                let part = &self.parts[*part];
                let curve = part.piece.edge(*edge).curve.stretch(*from, *to)?.moved(&part.motion);
                if part.motion.is_mirrored() { curve.reversed() } else { curve }
            }
            Bit::Bridge(curve) | Bit::Mouth { chord: curve, .. } | Bit::New { curve, .. } => curve.clone(),
        })
    }
}
