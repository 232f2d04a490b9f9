//! One step laid back.

use crate::pattern::{Pattern, RecordedStep};
use crate::recut::{Step, Told};
use crate::resew::error::MeasureError;
use crate::resew::group::groups;
use crate::resew::measure::{ResewnGroup, measured};

/// A step done again.
#[derive(Clone, Debug)]
pub struct Replayed {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The step.
    pub step: Step,
    /// What it told.
    pub told: Vec<Told>,
    /// The pattern after it.
    pub pattern: Pattern,
    /// The step as the new pattern records it.
    pub recorded: RecordedStep,
}

/// One step laid back.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct ResewnStep {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The operation.
    pub operation: String,
    /// The pieces that it cut, joined or drew anew, those that exchanged cloth together. Empty where it moved none.
    pub groups: Vec<ResewnGroup>,
}

/// Lays the pieces after a step back onto those before it, by what its record says.
///
/// # Errors
///
/// What the step records cannot be measured.
pub(super) fn laid_back(done: &Replayed, before: &Pattern) -> Result<ResewnStep, String> {
    let failed = |error: MeasureError| format!("what it records cannot be measured: {error}");
    let groups = groups(before, &done.pattern, &done.recorded).map_err(failed)?;
    let measured: Result<Vec<ResewnGroup>, _> =
        groups.iter().map(|group| measured(group, &done.recorded)).collect();
    Ok(ResewnStep {
        number: done.number,
        operation: done.step.name().to_owned(),
        groups: measured.map_err(failed)?,
    })
}
