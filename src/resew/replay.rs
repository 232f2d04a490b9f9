//! Doing the recorded steps again, to get the patterns between the old one and the new.

use crate::pattern::{Ledger, Pattern, RecordedStep};
use crate::recut::Step;
use crate::resew::ResewError;
use crate::tolerance::SAME_LEDGER;
use crate::truing;

/// A step with the pattern before it and the one after it.
pub(super) struct Link {
    /// Its number in the record, from 1.
    pub number: usize,
    pub operation: String,
    pub before: Pattern,
    pub after: Pattern,
    /// The step as the new pattern records it.
    pub recorded: RecordedStep,
}

/// The steps from an old pattern to a new one.
pub(super) struct ReplayedSteps {
    pub links: Vec<Link>,
    /// What the last step gives.
    pub last: Pattern,
}

/// Does on the old pattern the steps that the new one records beyond those of the old.
///
/// # Errors
///
/// Refuses an old pattern that the new one does not come from.
pub(super) fn replay(old: &Pattern, new: &Pattern) -> Result<ReplayedSteps, ResewError> {
    let (done, all) = (&old.record.steps, &new.record.steps);
    let differs = |i: &usize| all.get(*i).is_none_or(|step| step.step != done[*i].step);
    if let Some(i) = (0..done.len()).find(differs) {
        return Err(ResewError::OtherSteps { step: i + 1 });
    }
    if let Some(then) = &new.record.ledger {
        let measured = old.record.ledger.clone().unwrap_or_else(|| truing::ledger(old));
        refuse_other(then, &measured)?;
    }
    let mut links = Vec::new();
    let mut last = old.clone();
    for (i, recorded) in all.iter().enumerate().skip(done.len()) {
        let number = i + 1;
        let step = Step::from_value(&recorded.step)
            .map_err(|error| ResewError::Unread { step: number, what: error.to_string() })?;
        let operation = step.name().to_owned();
        let recut = step.apply(&last).map_err(|refusal| ResewError::Refused {
            step: number,
            operation: operation.clone(),
            refusal: Box::new(refusal),
        })?;
        let before = std::mem::replace(&mut last, recut.pattern);
        links.push(Link { number, operation, before, after: last.clone(), recorded: recorded.clone() });
    }
    Ok(ReplayedSteps { links, last })
}

/// Refuses a pattern that measures other than the new one did before its first step.
fn refuse_other(then: &Ledger, measured: &Ledger) -> Result<(), ResewError> {
    let other = |what: String| Err(ResewError::OtherLedger { what });
    for (edge, length) in &then.edges {
        match measured.edges.iter().find(|(other, _)| other == edge) {
            None => return other(format!("it has no edge `{edge}`")),
            Some((_, found)) if (found - length).abs() > SAME_LEDGER => {
                return other(format!("`{edge}` was {length:.1} mm long, and is {found:.1} mm on it"));
            }
            Some(_) => {}
        }
    }
    if let Some((edge, _)) =
        measured.edges.iter().find(|(edge, _)| then.edges.iter().all(|(other, _)| other != edge))
    {
        return other(format!("it has an edge `{edge}` that the other had not"));
    }
    Ok(())
}
