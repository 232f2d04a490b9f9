//! Limits of taste: what the user does not want, and what may be done.

use crate::pattern::{EdgeRef, PieceName};
use crate::plan::{ChangeKind, Seen};

/// A kind of change that is not wanted: on one piece, or on none at all.
#[derive(Clone, Debug, PartialEq)]
pub struct Unwanted {
    /// What kind of change.
    pub kind: ChangeKind,
    /// The piece that would be cut up or get narrower; where nothing is said, every piece.
    pub piece: Option<PieceName>,
}

/// Limits of taste. Pieces are those of the pattern as it is given; what is said of one is said of its parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taste {
    /// Pieces that must stay whole.
    pub whole: Vec<PieceName>,
    /// Kinds of change that are not wanted.
    pub unwanted: Vec<Unwanted>,
    /// Seams that must stay where they are, by any edge.
    pub stay: Vec<EdgeRef>,
    /// Pieces that may be cut crosswise although their cloth does not allow it.
    pub crosswise: Vec<PieceName>,
    /// Pieces that may be cut from another cloth; where nothing is said, those that are not seen, and of a cloth that is short
    /// any.
    pub companion: Option<Vec<PieceName>>,
    /// Pieces that may be pieced; where nothing is said, those that are not seen, and others beside a seam that hides it.
    pub pieced: Option<Vec<PieceName>>,
    /// The most seams that may be added to the garment.
    pub most_new_seams: Option<u32>,
}

impl Taste {
    /// Whether a kind of change is wanted on what came of a piece of the pattern.
    pub(super) fn wants(&self, root: &PieceName, kind: ChangeKind) -> bool {
        let forbids = |unwanted: &Unwanted| {
            unwanted.kind == kind && unwanted.piece.as_ref().is_none_or(|piece| piece == root)
        };
        !self.unwanted.iter().any(forbids)
    }

    /// Whether a piece that came from one of the pattern may be cut up in a way.
    pub(super) fn may_cut(&self, root: &PieceName, kind: ChangeKind) -> bool {
        self.wants(root, kind) && !self.whole.contains(root)
    }

    pub(super) fn may_cross(&self, root: &PieceName) -> bool {
        self.wants(root, ChangeKind::Crosswise) && self.crosswise.contains(root)
    }

    /// Whether a piece that does not fit its cloth may be cut from another.
    pub(super) fn may_leave_cloth(&self, root: &PieceName, seen: Seen) -> bool {
        (seen == Seen::Hidden || self.companion.is_some()) && self.may_spare_cloth(root)
    }

    /// Whether a piece may be cut from another cloth where its own is short.
    pub(super) fn may_spare_cloth(&self, root: &PieceName) -> bool {
        self.wants(root, ChangeKind::Companion)
            && self.companion.as_ref().is_none_or(|pieces| pieces.contains(root))
    }

    /// Whether a piece may be pieced: anywhere, or only beside a seam that hides it.
    pub(super) fn piecing(&self, root: &PieceName, seen: Seen) -> Piecing {
        if !self.may_cut(root, ChangeKind::Piecing) {
            return Piecing::Never;
        }
        match &self.pieced {
            Some(pieces) if pieces.contains(root) => Piecing::Anywhere,
            Some(_) => Piecing::Never,
            None if seen == Seen::Hidden => Piecing::Anywhere,
            None => Piecing::BesideSeam,
        }
    }
}

/// Where a piece may be pieced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Piecing {
    Never,
    BesideSeam,
    Anywhere,
}
