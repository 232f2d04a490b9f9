//! What became of the pieces, and the pictures of before and after.

use crate::curve::Curve;
use crate::pattern::{Dart, Pattern, Piece, PieceName};
use crate::resew::is_other;
use crate::tolerance::REDRAWN;

/// What became of the pieces of a pattern.
#[derive(Clone, Debug, Default)]
pub(crate) struct ChangedPieces<'a> {
    /// The piece before and after.
    pub changed: Vec<(&'a Piece, &'a Piece)>,
    /// Those that are new.
    pub made: Vec<&'a Piece>,
    /// Those that are no more.
    pub gone: Vec<&'a Piece>,
    /// Those that are as they were.
    pub kept: Vec<&'a Piece>,
}

impl<'a> ChangedPieces<'a> {
    pub(crate) fn between(before: &'a Pattern, now: &'a Pattern) -> ChangedPieces<'a> {
        let mut changes = ChangedPieces::default();
        for piece in now.pieces() {
            match before.find(piece.name()) {
                None => changes.made.push(piece),
                Some(old) if is_other(old, piece) => changes.changed.push((old, piece)),
                Some(_) => changes.kept.push(piece),
            }
        }
        changes.gone = before.pieces().filter(|old| now.find(old.name()).is_none()).collect();
        changes
    }

    /// The pieces that are other than now, as they were.
    pub(super) fn before(&self) -> Vec<PieceName> {
        let old = self.changed.iter().map(|(old, _)| *old).chain(self.gone.iter().copied());
        old.map(|piece| piece.name().clone()).collect()
    }

    /// The pieces that are other than before, as they are.
    pub(super) fn now(&self) -> Vec<PieceName> {
        let new = self.changed.iter().map(|(_, new)| *new).chain(self.made.iter().copied());
        new.map(|piece| piece.name().clone()).collect()
    }

    /// Whether any line that is sewn lies elsewhere.
    pub(super) fn is_of_shape(&self) -> bool {
        let redrawn = |(old, new): &(&Piece, &Piece)| !is_same_shape(old, new);
        !self.made.is_empty() || !self.gone.is_empty() || self.changed.iter().any(redrawn)
    }
}

/// Whether the seamlines and darts of two pieces lie alike.
pub(super) fn is_same_shape(old: &Piece, new: &Piece) -> bool {
    let dart = |(a, b): (&Dart, &Dart)| {
        a.name == b.name && lies_as(a.legs().0, b.legs().0) && lies_as(a.legs().1, b.legs().1)
    };
    old.edges().len() == new.edges().len()
        && old.darts.len() == new.darts.len()
        && old.edges().iter().zip(new.edges()).all(|(a, b)| a.name == b.name && lies_as(&a.curve, &b.curve))
        && old.darts.iter().zip(&new.darts).all(dart)
}

/// Whether two curves are one but for what writing and reading rounds.
fn lies_as(a: &Curve, b: &Curve) -> bool {
    /// At so many places they are held against each other; two cubics that agree at ten are one.
    const PLACES: u32 = 10;
    let (mine, theirs) = (a.length(), b.length());
    (0..=PLACES).all(|i| {
        let share = f64::from(i) / f64::from(PLACES);
        a.point_at(mine * share).distance(b.point_at(theirs * share)) <= REDRAWN
    })
}
