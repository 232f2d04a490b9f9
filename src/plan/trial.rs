//! Laying a recut.

use std::time::Instant;

use crate::cloth::Stock;
use crate::cloth::layout::{Laid, LayError, LayTask, Wish};
use crate::cloth::search::{Budget, Limit};
use crate::pattern::Pattern;
use crate::plan::Effort;
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
    pub(super) fn wish(&self) -> Wish {
        Wish { grain_tolerance: self.tolerance, ..Wish::default() }
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
