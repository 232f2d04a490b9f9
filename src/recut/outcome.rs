//! A pattern under change, and what comes of it.

use crate::pattern::{Pattern, RecordedStep, Refusal};
use crate::recut::{Step, Told};

/// What a step made: the new pattern, and what the user should know.
#[derive(Clone, Debug)]
pub struct Recut {
    /// The new pattern; the step stands in its record.
    pub pattern: Pattern,
    /// What the step tells.
    pub told: Vec<Told>,
}

/// A pattern under change by one step.
#[derive(Clone, Debug)]
pub struct Work {
    /// The pattern as it is now.
    pub(super) pattern: Pattern,
    /// What will stand in the record.
    pub(super) entry: RecordedStep,
    /// What will be told.
    pub(super) told: Vec<Told>,
}

impl Work {
    pub(super) fn begin(pattern: &Pattern) -> Result<Work, Refusal> {
        Ok(Work { pattern: pattern.clone(), entry: RecordedStep::default(), told: Vec::new() })
    }

    pub(super) fn tell(&mut self, told: Told) {
        self.told.push(told);
    }

    pub(super) fn finish(mut self, _before: &Pattern, step: &Step) -> Result<Recut, Refusal> {
        self.entry.step = step.to_value();
        self.pattern.record.steps.push(self.entry);
        if cfg!(debug_assertions) {
            self.pattern.assert_sound();
        }
        Ok(Recut { pattern: self.pattern, told: self.told })
    }
}
