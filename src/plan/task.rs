//! What is to be planned.

use crate::cloth::Stock;
use crate::pattern::Pattern;
use crate::plan::Taste;
use crate::units::Angle;

/// What is to be planned: which pattern is to fit which cloth, within which limits.
#[derive(Clone, Copy, Debug)]
pub struct PlanTask<'a> {
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The cloth at hand.
    pub stock: &'a Stock,
    /// Limits of taste.
    pub taste: &'a Taste,
    /// How far off the grain pieces may lie.
    pub grain_tolerance: Angle,
}
