//! Left and right halves that mirror each other on the cloth: where stripes along its length come again and again, the
//! cloth is the same on both sides of each stripe, and of the middle between two.
//!
//! ```text
//!        fold on a stripe, or midway        right half        stripe        left half, as far from it
//!    │   │   │   ┃   │   │   │                 ┌──┐   │   │   │   │   │   ┌──┐
//! ```

use indexmap::IndexMap;

use crate::allowance::Halves;
use crate::cloth::layout::copies::{BodySide, PieceCopy};
use crate::cloth::layout::sheets::Ground;
use crate::cloth::search::{Axis, LinesAlike, Phase, PhaseLines};
use crate::cloth::{Cloth, Stock, StripesAlong, StripesAt};
use crate::curve::Point;
use crate::pattern::{Pattern, Piece, PieceName};
use crate::tolerance::SMOOTH_JOINT;

/// Whether left and right halves are held so that they mirror each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OnStripes {
    /// As far as the cloth is symmetric.
    Mirrored,
    /// Anyhow.
    Free,
}

/// The pieces whose halves are to mirror each other.
#[derive(Clone, Debug, Default)]
pub(super) struct Mirrors {
    held: IndexMap<PieceName, MirroredAt>,
}

#[derive(Clone, Copy, Debug)]
enum MirroredAt {
    /// Its fold lies on a stripe, or midway between two: a place of it, on the pattern sheet.
    Fold(Point),
    /// Left and right lie as far to both sides of a stripe.
    Pair(Point),
}

impl Mirrors {
    /// Of pieces that are to be matched, by their copies on a single layer.
    pub(super) fn of<'n>(
        pattern: &Pattern,
        stock: &Stock,
        all: &[PieceCopy],
        pieces: impl Iterator<Item = &'n PieceName>,
    ) -> Mirrors {
        let mut mirrors = Mirrors::default();
        for name in pieces {
            let Some(piece) = pattern.find(name) else { continue };
            let is_symmetric = stock.find(&piece.cloth).and_then(repeats_across).is_some();
            let copies: Vec<&PieceCopy> = all.iter().filter(|copy| copy.piece == *name).collect();
            if is_symmetric && let Some(held) = mirrored(piece, &copies) {
                mirrors.held.insert(name.clone(), held);
            }
        }
        mirrors
    }

    /// Whether there is none.
    pub(super) fn is_empty(&self) -> bool {
        self.held.is_empty()
    }

    /// Whether a piece is held: one whose halves mirror each other is not turned.
    pub(super) fn holds(&self, piece: &PieceName) -> bool {
        self.held.contains_key(piece)
    }

    /// Where a copy is held across the grounds that it may lie on.
    pub(super) fn phases(&self, copy: &PieceCopy, cloth: &Cloth, grounds: &[(usize, &Ground)]) -> Vec<Phase> {
        let Some((group, _, held)) = self.held.get_full(&copy.piece) else { return Vec::new() };
        let Some((repeat, first)) = repeats_across(cloth) else { return Vec::new() };
        let (at, lines) = match (*held, copy.hand) {
            (MirroredAt::Fold(at), _) => {
                (at, PhaseLines::Repeating { first: vec![first, first + repeat / 2.0], repeat })
            }
            (MirroredAt::Pair(at), BodySide::Left) => {
                (at, PhaseLines::Opposite { group, about: first, repeat })
            }
            (MirroredAt::Pair(at), _) => {
                let alike = LinesAlike::Repeat(repeat);
                (at, PhaseLines::Together { group, offset: 0.0, alike })
            }
        };
        let mark = copy.cut.from_sheet().apply(at);
        let striped = grounds.iter().filter(|(_, ground)| ground.shows_stripes(StripesAlong::Length));
        striped
            .map(|(sheet, _)| Phase { sheet: *sheet, axis: Axis::Across, mark, lines: lines.clone() })
            .collect()
    }
}

/// After which width the stripes along the length of a cloth come again, and where the first is.
fn repeats_across(cloth: &Cloth) -> Option<(f64, f64)> {
    match cloth.stripes_along(StripesAlong::Length)?.at() {
        StripesAt::Every { repeat, first } => Some((*repeat, *first)),
        StripesAt::Marks(_) => None,
    }
}

/// How the halves of a piece mirror each other; none of a piece without left and right.
fn mirrored(piece: &Piece, copies: &[&PieceCopy]) -> Option<MirroredAt> {
    let is_on_fold = |copy: &&PieceCopy| copy.hand == BodySide::Only && copy.halves == Halves::Opened;
    if let Some(fold) = piece.fold().filter(|_| copies.iter().all(is_on_fold)) {
        let fold = &piece.edge(fold).curve;
        let way = (fold.end() - fold.start()).normalize();
        let runs_along = way.cross(piece.grain_or_down()).abs() <= SMOOTH_JOINT;
        return runs_along.then(|| MirroredAt::Fold(fold.start()));
    }
    let has = |hand: BodySide| copies.iter().any(|copy| copy.hand == hand);
    if !(has(BodySide::Right) && has(BodySide::Left)) || piece.fold().is_some() {
        return None;
    }
    Some(MirroredAt::Pair(piece.edges().first()?.curve.start()))
}
