//! Doing the recorded steps again: the one place where that is done.

use crate::pattern::{Pattern, RecordedStep};
use crate::recut::Step;
use crate::resew::record::{self, BrokenRecord, Replayed};
use crate::resew::step;
use crate::resew::verdict::Resewn;
use crate::resew::{DrawnPattern, ResewError, changes};

/// The steps from an old pattern to a new one, done again on the old one.
#[derive(Clone, Debug)]
pub struct Replay<'a> {
    old: DrawnPattern<'a>,
    new: DrawnPattern<'a>,
    /// The steps, in order, up to the one that could not be done again.
    pub steps: Vec<Replayed>,
    /// Why the next could not be done again; none where all were.
    pub stopped: Option<BrokenRecord>,
    /// Where the record is not that of the old pattern.
    other_record: Vec<BrokenRecord>,
}

impl<'a> Replay<'a> {
    /// Does on the old pattern the steps that the new one records beyond those of the old.
    ///
    /// # Errors
    ///
    /// Refuses an old pattern that is the later one of the two, or is another.
    pub fn of(
        old: impl Into<DrawnPattern<'a>>,
        new: impl Into<DrawnPattern<'a>>,
    ) -> Result<Replay<'a>, ResewError> {
        let (old, new) = (old.into(), new.into());
        let (done, all) = (old.pattern.record.steps.len(), new.pattern.record.steps.len());
        let mut replay = Replay { old, new, steps: Vec::new(), stopped: None, other_record: Vec::new() };
        if let Some(stopped) = record::parted(old.pattern, new.pattern)? {
            replay.stopped = Some(stopped);
            return Ok(replay);
        }
        replay.other_record = record::of_old(old.pattern, new.pattern)?;
        for number in done + 1..=all {
            match again(replay.last(), number, &new.pattern.record.steps[number - 1]) {
                Ok(step) => replay.steps.push(step),
                Err(stopped) => {
                    replay.stopped = Some(stopped);
                    break;
                }
            }
        }
        let given = replay.last().record.steps[..done].to_vec();
        record::of_earlier(&given, new.pattern, &mut replay.other_record);
        Ok(replay)
    }

    /// The pattern that the steps give.
    fn last(&self) -> &Pattern {
        self.steps.last().map_or(self.old.pattern, |step| &step.pattern)
    }

    /// Lays the pieces after each step back onto those before it, holds the record against what the steps did, and what
    /// they give against the new pattern.
    #[must_use]
    pub fn resewn(&self) -> Resewn {
        let mut resewn = Resewn { steps: Vec::new(), broken: self.other_record.clone(), changes: Vec::new() };
        let given = &self.last().record.steps;
        let mut before = self.old.pattern;
        for done in &self.steps {
            if let Some(given) = given.get(done.number - 1) {
                record::of_step(done, given, before, &mut resewn.broken);
            }
            match step::laid_back(done, before) {
                Ok(step) => resewn.steps.push(step),
                Err(what) => resewn.broken.push(BrokenRecord::of_step(done.number, done.step.name(), what)),
            }
            before = &done.pattern;
        }
        match &self.stopped {
            Some(stopped) => resewn.broken.push(stopped.clone()),
            None => resewn.changes = changes::since(self.last(), self.new.pattern),
        }
        resewn.changes.extend(changes::drawn_elsewhere(self.old.snapped, self.new.snapped));
        resewn
    }
}

fn again(pattern: &Pattern, number: usize, recorded: &RecordedStep) -> Result<Replayed, BrokenRecord> {
    let operation = recorded.step.get("do").and_then(serde_json::Value::as_str).unwrap_or_default();
    let cannot = |why: String| {
        BrokenRecord::of_step(number, operation, format!("this step cannot be done again: {why}"))
    };
    let step = Step::from_value(&recorded.step).map_err(|error| cannot(error.to_string()))?;
    let recut = step.apply(pattern).map_err(|refusal| cannot(format!("{}: {}", refusal.at, refusal.what)))?;
    Ok(Replayed { number, step, notices: recut.notices, pattern: recut.pattern, recorded: recorded.clone() })
}
