//! A pattern on the way to fit: what was done, and what still does not.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::cloth::Stock;
use crate::cloth::fit::{Fit, FitError, fit};
use crate::pattern::{Pattern, PieceName};
use crate::plan::change::Move;
use crate::plan::cost;
use crate::plan::figures::seams_of;
use crate::plan::need::Need;
use crate::plan::trued::Trued;
use crate::plan::{ChangeKind, PlanTask, Seen};
use crate::recut::Step;
use crate::truing::Verdict;
use crate::units::Angle;

/// A change that was made.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Done {
    /// What kind of change.
    pub kind: ChangeKind,
    /// The piece of the pattern as given that it was made to.
    #[serde(rename = "piece")]
    pub root: PieceName,
    /// What a sewer would say of it, as the second half of "you would": `cut back with a seam down its middle`.
    #[serde(skip)]
    pub tale: String,
}

/// A pattern on the way to fit.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) pattern: Pattern,
    pub(super) steps: Vec<Step>,
    pub(super) done: Vec<Done>,
    /// Of which piece of the given pattern each piece came.
    pub(super) roots: BTreeMap<PieceName, PieceName>,
    pub(super) fit: Fit,
    /// What the changes cost.
    pub(super) cost: f64,
    /// How many seams were added to the garment.
    pub(super) seams: i64,
    /// How many of the first steps true what was not true before.
    pub(super) trued: usize,
    /// What is not true of the pattern; until it was looked at, of the one that it was made of.
    verdict: Arc<Verdict>,
    truth: Truth,
}

/// Whether a state was looked at for what is not true of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Truth {
    Unknown,
    Holds,
}

impl State {
    /// The pattern before any recut, trued as far as it can be.
    pub(super) fn start(task: PlanTask<'_>) -> Result<State, FitError> {
        let Trued { pattern, steps, verdict } = Trued::of(task.pattern);
        let own = |piece: &crate::pattern::Piece| (piece.name().clone(), piece.name().clone());
        Ok(State {
            fit: fit(&pattern, task.stock, task.grain_tolerance)?,
            trued: steps.len(),
            steps,
            done: Vec::new(),
            roots: pattern.pieces().map(own).collect(),
            cost: 0.0,
            seams: 0,
            verdict: Arc::new(verdict),
            truth: Truth::Holds,
            pattern,
        })
    }

    /// The state after a move; none where its pieces cannot be cut. Whether it is true is not looked at yet: that takes
    /// longer than all else, and most are never gone on from.
    pub(super) fn after(&self, made: Move, stock: &Stock, tolerance: Angle) -> Option<State> {
        let fit = fit(&made.draft.pattern, stock, tolerance).ok()?;
        let mut roots = self.roots.clone();
        for (piece, from) in &made.draft.made {
            if let Some(root) = from.first().and_then(|from| roots.get(from)).cloned() {
                roots.insert(piece.clone(), root);
            }
        }
        roots.retain(|piece, _| made.draft.pattern.find(piece).is_some());
        let added = seams_of(&made.draft.pattern) - seams_of(&self.pattern);
        let mut state = State {
            cost: self.cost + cost::of_move(&made, added),
            seams: self.seams + added,
            steps: self.steps.clone(),
            trued: self.trued,
            done: self.done.clone(),
            verdict: Arc::clone(&self.verdict),
            truth: Truth::Unknown,
            pattern: made.draft.pattern.clone(),
            roots,
            fit,
        };
        state.steps.extend(made.draft.steps.iter().cloned());
        for kind in [Some(made.kind), made.besides].into_iter().flatten() {
            let done =
                |(root, _): &(PieceName, Seen)| Done { kind, root: root.clone(), tale: made.tale.clone() };
            state.done.extend(made.changed.iter().map(done));
        }
        Some(state)
    }

    /// Whether it is as true as what it was made of; looked at once.
    pub(super) fn holds_true(&mut self) -> bool {
        if self.truth == Truth::Unknown {
            let found = Verdict::of(&self.pattern);
            if !found.is_as_true_as(&self.verdict) {
                return false;
            }
            self.verdict = Arc::new(found);
            self.truth = Truth::Holds;
        }
        true
    }

    /// What is not true of it, once that was looked at.
    pub(super) fn verdict(&self) -> &Verdict {
        &self.verdict
    }

    pub(super) fn root(&self, piece: &PieceName) -> PieceName {
        self.roots.get(piece).unwrap_or(piece).clone()
    }

    pub(super) fn needs(&self) -> Vec<Need> {
        Need::all(&self.fit)
    }

    /// How many changes it is made of, other cloth aside.
    pub(super) fn cuts(&self) -> usize {
        self.done.iter().filter(|done| done.kind != ChangeKind::Companion).count()
    }

    /// What tells one set of changes from another: kinds and pieces, in no order.
    pub(super) fn signature(&self) -> Vec<(PieceName, ChangeKind)> {
        let mut all: Vec<_> = self.done.iter().map(|done| (done.root.clone(), done.kind)).collect();
        all.sort();
        all
    }

    /// Whether it makes every kind of change to every piece that another makes, each as often, and maybe more. What is sewn at
    /// the selvedges is sewn otherwise, and not one thing more.
    pub(super) fn does_all_of(&self, other: &State) -> bool {
        let (own, wanted) = (self.signature(), other.signature());
        let at_selvedges = |all: &[(PieceName, ChangeKind)], root: &PieceName| {
            [ChangeKind::Lapped, ChangeKind::Butted].map(|kind| all.contains(&(root.clone(), kind)))
        };
        let sewn_alike =
            wanted.iter().all(|(root, _)| at_selvedges(&own, root) == at_selvedges(&wanted, root));
        let mut rest = own.iter();
        sewn_alike && wanted.iter().all(|wanted| rest.any(|found| found == wanted))
    }
}
