//! Does steps one after another, holds the outcome against what was true before, and writes it.

use retrue::pattern::Pattern;
use retrue::recut::{Step, Told};
use retrue::sheet;
use retrue::tolerance::FINDING_GROWN;
use retrue::truing::{self, Finding, Limits, Weight};
use retrue::units::Unit;

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit_cloth::{FitCloth, FittedWidth};
use crate::cli::io::{self, Target};
use crate::cli::messages::{Messages, with_way_out};
use crate::cli::options::{NamedPattern, ReportForm, Writing};
use crate::cli::recipe::StepPlace;
use crate::cli::recut_text;
use crate::cli::report::{self, RecutReport};

/// A step to be done.
#[derive(Clone, Debug)]
pub struct PlannedStep {
    /// The step.
    pub step: Step,
    /// The cloth that its width is to come from.
    pub fit: Option<FitCloth>,
    /// Where it is written, if it stands in a recipe.
    pub place: Option<StepPlace>,
}

/// A step that was done.
#[derive(Clone, Debug)]
pub struct DoneStep {
    /// The step.
    pub step: Step,
    /// What it told.
    pub told: Vec<Told>,
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
    /// What is not true and was true before, or is further off than it was.
    pub findings: Vec<Finding>,
}

/// How the outcome is told and where it goes.
#[derive(Clone, Debug)]
pub struct Outlet {
    /// The unit of lengths.
    pub unit: Unit,
    /// The form of the report.
    pub form: ReportForm,
    /// What becomes of the new pattern.
    pub writing: Writing,
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
            let recut = step.apply(&after).map_err(|refusal| match place {
                None => Failure::refused(&before.name, &refusal),
                Some(place) => place.refused(i + 1, &step, &refusal),
            })?;
            after = recut.pattern;
            let fitted = fitted.map(|fitted| (fitted, after.clone()));
            steps.push(DoneStep { step, told: recut.told, fitted });
        }
        let findings = new_findings(&before.pattern, &after);
        Ok(ChainOutcome { before, steps, after, findings })
    }

    /// Tells what was done, writes the new pattern, and says whether it is as true as it was.
    ///
    /// # Errors
    ///
    /// The pattern or the report cannot be written.
    pub fn finish(&self, outlet: &Outlet, messages: &Messages) -> Result<Exit, Failure> {
        let written = self.write(&outlet.writing)?;
        let report = RecutReport::of(self, written, outlet.unit);
        match (outlet.form, &outlet.writing) {
            (ReportForm::Json, _) => report::print_json("recut", &report)?,
            (ReportForm::Text, writing) => {
                self.tell(outlet.unit, messages);
                if *writing == Writing::DryRun {
                    io::print(&recut_text::text(&report, outlet.unit))?;
                }
            }
        }
        for finding in &self.findings {
            messages.untrue(with_way_out(finding.sentence(outlet.unit), finding.way_out()));
        }
        Ok(if self.findings.is_empty() { Exit::True } else { Exit::Untrue })
    }

    /// Writes the new pattern; the name of its file, if it went to one.
    ///
    /// # Errors
    ///
    /// The pattern cannot be drawn, or its file not be written.
    pub fn write(&self, writing: &Writing) -> Result<Option<String>, Failure> {
        let Writing::To(target, existing) = writing else { return Ok(None) };
        let text =
            sheet::write(&self.after).map_err(|error| Failure::unwritten(&self.before.name, &error))?;
        target.write(&text, *existing)?;
        Ok(match target {
            Target::File(path) => Some(path.display().to_string()),
            Target::Stream => None,
        })
    }

    fn tell(&self, unit: Unit, messages: &Messages) {
        for (i, DoneStep { step, told, fitted }) in self.steps.iter().enumerate() {
            if self.steps.len() > 1 {
                messages.title(format!("step {}, {}:", i + 1, step.name()));
            }
            if let Some((fitted, after)) = fitted {
                messages.note(fitted.sentence(unit));
                if let Some(warning) = fitted.warning(after, unit) {
                    messages.warning(warning);
                }
            }
            for told in told {
                messages.told(told, unit);
            }
        }
    }
}

/// What is not true after and was before.
fn new_findings(before: &Pattern, after: &Pattern) -> Vec<Finding> {
    let limits = Limits::default();
    let untrue = |pattern| {
        let found = truing::check(pattern, &limits).into_iter();
        found.filter(|finding| finding.weight == Weight::Untrue).collect::<Vec<_>>()
    };
    without_known(untrue(before), untrue(after))
}

/// The findings that were not there before. One that was there is told again where it has grown by more than can be
/// measured. One of the same kind and number that is gone from its place has gone along with its cloth to a piece or
/// edge of another name.
fn without_known(mut old: Vec<Finding>, found: Vec<Finding>) -> Vec<Finding> {
    let mut take =
        |is_it: &dyn Fn(&Finding) -> bool| old.iter().position(is_it).map(|at| old.swap_remove(at)).is_some();
    let mut remaining = found;
    remaining.retain(|new| {
        let has_grown = |old: &Finding| new.number.abs() > old.number.abs() + FINDING_GROWN;
        !take(&|old| old.kind == new.kind && old.at == new.at && !has_grown(old))
    });
    remaining.retain(|new| {
        let is_as_large = |old: &Finding| (new.number.abs() - old.number.abs()).abs() <= FINDING_GROWN;
        !take(&|old| old.kind == new.kind && is_as_large(old))
    });
    remaining
}

#[cfg(test)]
mod tests {
    use super::*;
    use retrue::truing::{FindingKind, Measure};

    fn length(at: &str, number: f64) -> Finding {
        Finding {
            kind: FindingKind::SeamLength,
            at: at.to_owned(),
            number,
            limit: 0.5,
            measure: Measure::Length,
            weight: Weight::Untrue,
        }
    }

    #[test]
    fn only_what_is_new_or_has_grown_is_told() {
        let old = vec![length("a + b", 4.0), length("c + d", -2.0), length("e + f", 3.0)];
        let found = vec![length("a + b", 4.0), length("c + d", -2.5), length("x + f", 3.0), length("g", 3.0)];
        let told = without_known(old, found);
        assert_eq!(told, [length("c + d", -2.5), length("g", 3.0)]);
    }

    #[test]
    fn a_finding_that_stays_does_not_excuse_another_of_its_size() {
        let told =
            without_known(vec![length("a + b", 4.0)], vec![length("c + d", 4.0), length("a + b", 4.0)]);
        assert_eq!(told, [length("c + d", 4.0)]);
    }
}
