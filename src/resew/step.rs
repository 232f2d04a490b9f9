//! One step laid back.

use crate::pattern::Pattern;
use crate::resew::error::MeasureError;
use crate::resew::group::groups;
use crate::resew::made::{self, ResewnMade};
use crate::resew::measure::{ResewnGroup, measured};
use crate::resew::record::{self, Replayed};

/// One step laid back.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct ResewnStep {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The operation.
    pub operation: String,
    /// The pieces that it cut, joined or drew anew, those that exchanged cloth together. Empty where it moved none.
    pub groups: Vec<ResewnGroup>,
    /// The pieces that it made of others, which keep their cloth.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub made: Vec<ResewnMade>,
}

/// Lays the pieces after a step back onto those before it, by what its record says.
///
/// # Errors
///
/// What the step records cannot be measured.
pub(super) fn laid_back(done: &Replayed, before: &Pattern) -> Result<ResewnStep, String> {
    let failed = |error: MeasureError| format!("what it records cannot be measured: {error}");
    let recorded = record::where_it_lay(done);
    let groups = groups(before, &done.pattern, &recorded).map_err(failed)?;
    let again = done.pattern.record.steps.last().and_then(|step| step.redrawn.as_ref());
    let redrawn = recorded.redrawn.as_ref().or(again).cloned().unwrap_or_default();
    let measured: Result<Vec<ResewnGroup>, _> =
        groups.iter().map(|group| measured(group, &recorded.declared, &redrawn)).collect();
    let made: Result<Vec<ResewnMade>, _> =
        recorded.made.iter().map(|made| made::laid_back(made, &done.pattern)).collect();
    Ok(ResewnStep {
        number: done.number,
        operation: done.step.name().to_owned(),
        groups: measured.map_err(failed)?,
        made: made.map_err(failed)?,
    })
}
