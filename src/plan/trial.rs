//! Laying a recut.

use std::num::NonZero;
use std::panic::resume_unwind;
use std::time::Instant;

use crate::cloth::Stock;
use crate::cloth::layout::{Laid, LayError, LayTask, LayWish};
use crate::cloth::search::{Budget, Limit};
use crate::pattern::Pattern;
use crate::plan::Effort;
use crate::plan::state::State;
use crate::units::Angle;

/// How recuts are laid.
#[derive(Clone, Copy)]
pub(super) struct Laying<'a> {
    pub(super) stock: &'a Stock,
    pub(super) tolerance: Angle,
    pub(super) effort: &'a Effort,
    /// When the planning began.
    pub(super) started: Instant,
}

impl Laying<'_> {
    pub(super) fn wish(&self) -> LayWish {
        LayWish { grain_tolerance: self.tolerance, ..LayWish::default() }
    }

    /// Whether no more layouts are to be begun.
    pub(super) fn is_late(&self) -> bool {
        let Effort { stop, deadline, .. } = self.effort;
        stop.is_raised() || deadline.is_some_and(|deadline| self.started.elapsed() >= deadline)
    }

    /// Lays a pattern on the cloth at hand.
    pub(super) fn lay(&self, pattern: &Pattern, limit: Limit) -> Result<Laid, LayError> {
        self.lay_on(pattern, self.stock, limit)
    }

    /// Lays a pattern on other cloth.
    pub(super) fn lay_on(&self, pattern: &Pattern, stock: &Stock, limit: Limit) -> Result<Laid, LayError> {
        let budget = Budget { seed: self.effort.seed, searchers: self.effort.searchers, limit };
        LayTask::of(pattern, stock, self.wish())?.search(&budget, &mut |_| self.effort.stop.goes_on())
    }
}

/// How many layouts are searched at once.
pub(super) fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, NonZero::get)
}

/// Does something with each of some states, with as many at once as there are cores, and hands on what came of it in their
/// order. Once it is late, no more are begun.
///
/// On threads of its own, which give way to the hand where the one does that they are begun from.
pub(super) fn side_by_side<T: Send>(
    states: Vec<State>,
    laying: Laying<'_>,
    work: impl Fn(&State) -> T + Sync,
    take: &mut dyn FnMut(State, T),
) {
    let mut states = states.into_iter().peekable();
    while states.peek().is_some() && !laying.is_late() {
        let now: Vec<State> = states.by_ref().take(cores()).collect();
        let done: Vec<T> = std::thread::scope(|scope| {
            let work = &work;
            let others: Vec<_> = now.iter().skip(1).map(|state| scope.spawn(move || work(state))).collect();
            let first = now.first().map(work);
            let others =
                others.into_iter().map(|other| other.join().unwrap_or_else(|panic| resume_unwind(panic)));
            first.into_iter().chain(others).collect()
        });
        now.into_iter().zip(done).for_each(|(state, done)| take(state, done));
    }
}
