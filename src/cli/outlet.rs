//! Tells what steps did to a pattern, and whether it is true now.

use retrue::units::Unit;

use crate::cli::chain::{ChainOutcome, DoneStep};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit_cloth::warning;
use crate::cli::io::{self, Source};
use crate::cli::messages::{Messages, see, with_way_out};
use crate::cli::next::NextCommand;
use crate::cli::options::{PatternOutput, ReportForm};
use crate::cli::recut_text;
use crate::cli::report::{self, RecutReport};

/// How the outcome is told and where it goes.
#[derive(Clone, Debug)]
pub struct Outlet {
    /// The unit of lengths.
    pub unit: Unit,
    /// The form of the report.
    pub form: ReportForm,
    /// What becomes of the new pattern.
    pub writing: PatternOutput,
}

impl ChainOutcome {
    /// Tells what was done, writes the new pattern, and says whether it is true: each fault that is new, and in one line
    /// those that were there before.
    ///
    /// # Errors
    ///
    /// The pattern or the report cannot be written.
    pub fn finish(&self, outlet: &Outlet, messages: &Messages) -> Result<Exit, Failure> {
        let written = self.write(&outlet.writing)?;
        let report = || RecutReport::of(self, written.clone(), outlet.unit);
        match (outlet.form, &outlet.writing) {
            (ReportForm::Json, _) => report::print_json("recut", &report())?,
            (ReportForm::Text, writing) => {
                self.tell(outlet.unit, messages);
                if *writing == PatternOutput::DryRun {
                    io::print_to_read(&recut_text::text(&report(), outlet.unit))?;
                }
            }
        }
        self.tell_untrue(outlet, messages);
        if outlet.form == ReportForm::Text {
            messages.next(self.next(&outlet.writing));
        }
        Ok(Exit::of(&self.verdict))
    }

    /// The check of a new file against the old one.
    fn next(&self, writing: &PatternOutput) -> Option<NextCommand> {
        let PatternOutput::To(target, _) = writing else { return None };
        let written = Source::from(target);
        let before = &self.before.source;
        let next = NextCommand::on("check", [&written])?;
        let is_there = *before != written && *before != Source::Stream;
        Some(next.maybe("against", is_there.then(|| before.name())))
    }

    fn tell_untrue(&self, outlet: &Outlet, messages: &Messages) {
        for finding in &self.since.added {
            messages.untrue(with_way_out(finding.sentence(outlet.unit), finding.way_out()));
        }
        if let Some(sentence) = self.since.sentence_as_before(outlet.unit) {
            let seen = match &outlet.writing {
                PatternOutput::To(target, _) => Source::from(target),
                PatternOutput::DryRun => self.before.source.clone(),
            };
            messages.untrue(format!("{sentence}; {}", see(&seen)));
        }
    }

    fn tell(&self, unit: Unit, messages: &Messages) {
        for DoneStep { number, step, notices, fitted } in &self.steps {
            if self.steps.len() > 1 {
                messages.title(format!("step {number}, {}:", step.name()));
            }
            if let Some((fitted, after)) = fitted {
                messages.note(fitted.sentence(unit));
                if let Some(warning) = warning(step, fitted, after, unit) {
                    messages.warning(warning);
                }
            }
            for notice in notices {
                messages.notice(notice, unit);
            }
        }
    }
}
