//! `report`: what was done, on one page.

use std::path::Path;

use clap::{Args, ValueHint};
use retrue::pattern::Pattern;
use retrue::show::report::{Layout, Report, ReportError};

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::file_sort::FileSort;
use crate::cli::io::{Source, Target, refuse_stream_twice};
use crate::cli::messages::{CAUTION, Messages, see};
use crate::cli::options::{
    NamedPattern, PatternArgument, ReadingOptions, ReplaceOption, UnitOptions, source, target,
};
use crate::cli::picture::unpictured;

/// Write a page that tells what was done: before and after, every step, every seam walked, what to sew first.
///
/// One HTML file that needs no network and no script, to be read on a screen or a phone, or printed. Steps are shown as
/// they change the pattern that --before names. What is not true is told. Exit code: 0 written, 2 refused.
#[derive(Clone, Debug, Args)]
pub struct ReportCommand {
    #[command(flatten)]
    input: PatternArgument,
    /// The pattern that it was made from.
    #[arg(long, value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    before: Option<Source>,
    /// A cutting layout as `lay` draws it; may be given several times.
    #[arg(long = "layout", value_name = "LAYOUT", value_hint = ValueHint::FilePath, value_parser = source())]
    layouts: Vec<Source>,
    /// What the page is called; the name of the pattern's file otherwise.
    #[arg(long, value_name = "TITLE")]
    title: Option<String>,
    /// Write the page to this file, whole or not at all; otherwise, or with -, to standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(),
        help_heading = "Writing")]
    output: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
}

impl ReportCommand {
    /// Writes the page.
    ///
    /// # Errors
    ///
    /// A file cannot be read, the one pattern was not made from the other, a piece cannot be drawn, or the page cannot
    /// be written.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let target = self.output.clone().unwrap_or(Target::Stream);
        let existing = self.replace.existing();
        target.refuse_ending_of_another_sort("a page in HTML", &["html", "htm"])?;
        target.refuse_unwritable(existing)?;
        let sources = [Some(&self.input.pattern), self.before.as_ref()].into_iter().flatten();
        refuse_stream_twice(sources.chain(&self.layouts))?;
        let read = self.reading.read(&self.input.pattern, messages)?;
        let before = self.before.as_ref().map(|before| self.reading.read(before, messages)).transpose()?;
        let layouts = self.layouts.iter().map(layout).collect::<Result<Vec<_>, _>>()?;
        target.refuse_unwritable(existing)?;
        let failed = |error: ReportError| failure(&read.name, &error);
        let before = before.as_ref().map(NamedPattern::drawn);
        let report = Report::of(self.title(&read.pattern), read.drawn(), before, self.unit.unit())
            .map_err(failed)?
            .with_layouts(layouts);
        target.write(report.html().map_err(failed)?, existing)?;
        self.tell_untrue(&report, messages);
        messages.note(CAUTION);
        Ok(Exit::True)
    }

    fn tell_untrue(&self, report: &Report<'_>, messages: &Messages) {
        if let Some(sentence) = report.verdict().sentence(self.unit.unit()) {
            let against = self.before.as_ref().and_then(Source::as_argument);
            let against = against.map_or_else(String::new, |before| format!(" --against {before}"));
            messages.untrue(format!("{sentence}; {}{against}", see(&self.input.pattern)));
        }
        if !report.can_be_sewn() {
            messages.untrue("it cannot be sewn as it is declared: see the page, under Before you cut");
        }
    }

    fn title(&self, pattern: &Pattern) -> String {
        let of_file = || match &self.input.pattern {
            Source::File(path) => path.file_stem().unwrap_or_default().to_string_lossy().into_owned(),
            Source::Stream => "The pattern".to_owned(),
        };
        self.title.clone().or_else(|| pattern.about.title.clone()).unwrap_or_else(of_file)
    }
}

/// Reads a cutting layout.
pub(super) fn layout(source: &Source) -> Result<Layout, Failure> {
    let name = source.name();
    let bytes = source.read(FileSort::Layout)?;
    let failed = |what: String| Failure::in_file(&name, what).way_out("name a layout that retrue lay drew");
    let text = String::from_utf8(bytes).map_err(|_| failed("this is no text".to_owned()))?;
    if retrue::sheet::read(text.as_bytes(), &Default::default()).is_ok() {
        return Err(failed("this is a pattern sheet, and stands in the place of a layout".to_owned()));
    }
    let short = Path::new(&name).file_name().unwrap_or_default().to_string_lossy();
    Layout::read(short, &text).map_err(|error| failed(error.to_string()))
}

fn failure(file: &str, error: &ReportError) -> Failure {
    let failure = Failure::in_file(file, error);
    match error {
        ReportError::Unsound(refusal) => Failure::refused(file, refusal),
        ReportError::Picture(error) => unpictured(file, error),
        ReportError::OtherHistory(_) => {
            failure.way_out("name with --before the sheet that the steps began with, or leave it out")
        }
    }
}
