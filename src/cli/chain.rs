//! Does steps one after another, holds the outcome against what was true before, and writes it.

use retrue::pattern::Pattern;
use retrue::recipe::fitted::FittedWidth;
use retrue::recut::{Notice, Step};
use retrue::sheet;
use retrue::truing::{Comparison, Verdict};

use crate::cli::errors::Failure;
use crate::cli::fit_cloth::FitCloth;
use crate::cli::io::Target;
use crate::cli::options::{NamedPattern, PatternOutput};
use crate::cli::recipe::WrittenStep;

/// A step to be done.
#[derive(Clone, Debug)]
pub struct PlannedStep {
    /// The step.
    pub step: Step,
    /// The cloth that its width is to come from.
    pub fit: Option<FitCloth>,
    /// Where it is written, if it stands in a recipe.
    pub place: Option<WrittenStep>,
}

/// A step that was done.
#[derive(Clone, Debug)]
pub struct DoneStep {
    /// Its number in its recipe, from 1; the place in the chain where it stands in none.
    pub number: usize,
    /// The step.
    pub step: Step,
    /// What it told.
    pub notices: Vec<Notice>,
    /// The width that came from a cloth, and the pattern that came of it.
    pub fitted: Option<(FittedWidth, Pattern)>,
}

/// What came of a chain of steps.
#[derive(Clone, Debug)]
pub struct ChainOutcome {
    /// The pattern before the first step.
    pub before: NamedPattern,
    /// The steps.
    pub steps: Vec<DoneStep>,
    /// The pattern after the last.
    pub after: Pattern,
    /// Whether it is true.
    pub verdict: Verdict,
    /// What of its faults is new, and what was there before the first step.
    pub since: Comparison,
}

impl ChainOutcome {
    /// Does steps.
    ///
    /// # Errors
    ///
    /// The first step that is refused, with its number and line where it stands in a recipe.
    pub fn run(before: NamedPattern, planned: &[PlannedStep]) -> Result<ChainOutcome, Failure> {
        let mut after = before.pattern.clone();
        let mut steps = Vec::new();
        for (i, PlannedStep { step, fit, place }) in planned.iter().enumerate() {
            let fitted = fit.as_ref().map(|fit| fit.resolve(step, &after, &before.name)).transpose()?;
            let (step, fitted) = fitted.map_or((step.clone(), None), |(step, fitted)| (step, Some(fitted)));
            let recut = step.apply(&after).map_err(|refusal| {
                let refusal = match fit {
                    Some(fit) => fit.or_narrower(refusal, &step, &after),
                    None => refusal,
                };
                match place {
                    None => Failure::refused(&before.name, &refusal),
                    Some(place) => place.refused(&step, &refusal),
                }
            })?;
            after = recut.pattern;
            let fitted = fitted.map(|fitted| (fitted, after.clone()));
            let number = place.as_ref().map_or(i + 1, WrittenStep::number);
            steps.push(DoneStep { number, step, notices: recut.notices, fitted });
        }
        let verdict = Verdict::of(&after);
        let since = match verdict.is_true() {
            true => Comparison::default(),
            false => verdict.since(&Verdict::of(&before.pattern)),
        };
        Ok(ChainOutcome { before, steps, after, verdict, since })
    }

    /// Writes the new pattern; the name of its file, if it went to one. A dry run is refused what a file would be.
    ///
    /// # Errors
    ///
    /// The pattern cannot be drawn, or its file not be written.
    pub fn write(&self, writing: &PatternOutput) -> Result<Option<String>, Failure> {
        let text =
            sheet::write(&self.after).map_err(|error| Failure::unwritten(&self.before.name, &error))?;
        let PatternOutput::To(target, existing) = writing else { return Ok(None) };
        target.write(&text, *existing)?;
        Ok(match target {
            Target::File(path) => Some(path.display().to_string()),
            Target::Stream => None,
        })
    }
}
