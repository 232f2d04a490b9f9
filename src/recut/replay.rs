//! Does again what a record says was done, so that every state between can be looked at.

use crate::pattern::{Pattern, RecordedStep};
use crate::recut::{Step, Told};

/// Steps done again.
#[derive(Clone, Debug)]
pub struct Replay {
    /// The steps, in order, up to the one that could not be done again.
    pub steps: Vec<Replayed>,
    /// Why the next could not be done again; none where all were.
    pub stopped: Option<String>,
}

/// A step done again.
#[derive(Clone, Debug)]
pub struct Replayed {
    /// The step.
    pub step: Step,
    /// What it told.
    pub told: Vec<Told>,
    /// The pattern after it.
    pub pattern: Pattern,
}

/// Does recorded steps on a pattern as it was before the first of them.
#[must_use]
pub fn replay(before: &Pattern, steps: &[RecordedStep]) -> Replay {
    let mut replay = Replay { steps: Vec::new(), stopped: None };
    for recorded in steps {
        let pattern = replay.steps.last().map_or(before, |last| &last.pattern);
        match again(pattern, recorded) {
            Ok(step) => replay.steps.push(step),
            Err(why) => {
                replay.stopped = Some(why);
                break;
            }
        }
    }
    replay
}

fn again(pattern: &Pattern, recorded: &RecordedStep) -> Result<Replayed, String> {
    let step = Step::from_value(&recorded.step).map_err(|error| error.to_string())?;
    let recut = step.apply(pattern).map_err(|refusal| refusal.what)?;
    Ok(Replayed { step, told: recut.told, pattern: recut.pattern })
}
