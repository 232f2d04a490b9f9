//! A piece that does not fit, and what every family of recuts needs to know of it.

use crate::cloth::fit::PieceFit;
use crate::cloth::{Cloth, Selvedges, Stock};
use crate::pattern::{Finish, Piece, PieceName};
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::state::State;
use crate::plan::{ChangeKind, PlanTask, Seen, Taste};
use crate::tolerance::{HOME_ALLOWANCE, SEAM_ROOM};
use crate::truing::Verdict;
use crate::units::Angle;

/// A piece that does not fit, and all around it.
pub(super) struct Site<'a> {
    pub(super) setting: Setting<'a>,
    pub(super) state: &'a State,
    pub(super) stock: &'a Stock,
    pub(super) taste: &'a Taste,
    pub(super) tolerance: Angle,
    pub(super) piece: &'a Piece,
    pub(super) cloth: &'a Cloth,
    pub(super) root: PieceName,
    pub(super) seen: Seen,
    pub(super) lack: Lack,
}

/// In which way a piece does not fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lack {
    /// Its width as cut, what the cloth gives one of its shape, and what it has all along its length. The two are the same but
    /// where it is held against panels.
    Width { width: f64, gives: f64, all_along: f64 },
    /// Its length as cut, and that of the cloth.
    Length { length: f64, longest: f64 },
}

impl Lack {
    pub(super) fn over(self) -> f64 {
        match self {
            Lack::Width { width, gives, .. } => width - gives,
            Lack::Length { length, longest } => length - longest,
        }
    }
}

impl Site<'_> {
    /// Whether the piece may be cut up in a way.
    pub(super) fn may(&self, kind: ChangeKind) -> bool {
        self.taste.may_cut(&self.root, kind)
    }

    /// The widths at which parts of the piece are cut: what the cloth gives one of its shape, then, where that is less, what it has
    /// all along. The wider makes fewer parts, the narrower those that fit whatever their shape.
    pub(super) fn widths(&self) -> Vec<f64> {
        let Lack::Width { gives, all_along, .. } = self.lack else { return Vec::new() };
        if all_along < gives { vec![gives, all_along] } else { vec![gives] }
    }

    /// Whether the cloth has two selvedges: a panel of a garment taken apart has none.
    pub(super) fn has_both_selvedges(&self) -> bool {
        self.cloth.selvedges == Selvedges::Both && !self.cloth.bolts().is_empty()
    }

    /// How much must come off the piece along a new seam so that it fits: what it misses, the new seam's allowance, and a
    /// little so that it does not miss again by rounding.
    pub(super) fn must_give(&self) -> f64 {
        self.lack.over() + greatest_allowance(self.piece) + SEAM_ROOM
    }

    pub(super) fn draft(&self) -> RecutSoFar {
        RecutSoFar::of(&self.state.pattern)
    }

    pub(super) fn made(&self, kind: ChangeKind, draft: RecutSoFar, tale: String) -> Move {
        Move { kind, besides: None, changed: vec![(self.root.clone(), self.seen)], draft, tale }
    }

    /// How many pieces a draft has in place of the one.
    pub(super) fn pieces_in_place(&self, draft: &RecutSoFar) -> usize {
        draft.pattern.pieces().len() - self.state.pattern.pieces().len() + 1
    }

    /// Whether a draft leaves the pattern as true as it was.
    pub(super) fn is_true(&self, draft: &RecutSoFar) -> bool {
        Verdict::of(&draft.pattern).is_as_true_as(self.state.verdict())
    }

    /// Whether all that a draft has in place of the piece fits its cloth.
    pub(super) fn parts_fit(&self, draft: &RecutSoFar) -> bool {
        let is_part = |found: &PieceFit| {
            found.piece == *self.piece.name() || self.state.pattern.find(&found.piece).is_none()
        };
        let fit = crate::cloth::fit::fit(&draft.pattern, self.stock, self.tolerance);
        fit.is_ok_and(|fit| fit.pieces.iter().filter(|found| is_part(found)).all(PieceFit::is_within))
    }

    /// A piece of a draft against its cloth.
    pub(super) fn fit_of(&self, draft: &RecutSoFar, piece: &PieceName) -> Option<PieceFit> {
        let fit = crate::cloth::fit::fit(&draft.pattern, self.stock, self.tolerance).ok()?;
        fit.pieces.into_iter().find(|found| found.piece == *piece)
    }
}

/// The greatest allowance of a piece's sewn edges: no new seam takes more.
pub(super) fn greatest_allowance(piece: &Piece) -> f64 {
    let sewn = piece.edges().iter().filter(|edge| edge.finish == Finish::Seam);
    sewn.map(|edge| edge.allowance.mm()).reduce(f64::max).unwrap_or(HOME_ALLOWANCE)
}

/// How much of each piece of the given pattern is seen.
pub(in crate::plan) type Sight = std::collections::BTreeMap<PieceName, Seen>;

/// What every move needs to know beside the state.
#[derive(Clone, Copy)]
pub(in crate::plan) struct Setting<'a> {
    pub(in crate::plan) stock: &'a Stock,
    pub(in crate::plan) taste: &'a Taste,
    pub(in crate::plan) tolerance: Angle,
    pub(in crate::plan) sight: &'a Sight,
}

impl<'a> Setting<'a> {
    pub(in crate::plan) fn of(task: PlanTask<'a>, sight: &'a Sight) -> Setting<'a> {
        Setting { stock: task.stock, taste: task.taste, tolerance: task.grain_tolerance, sight }
    }

    pub(in crate::plan) fn seen(&self, root: &PieceName) -> Seen {
        self.sight.get(root).copied().unwrap_or(Seen::Detail)
    }
}
