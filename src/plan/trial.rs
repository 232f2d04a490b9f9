//! Laying a recut.

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
}

impl Laying<'_> {
    pub(super) fn wish(&self) -> Wish {
        Wish { grain_tolerance: self.tolerance, ..Wish::default() }
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
