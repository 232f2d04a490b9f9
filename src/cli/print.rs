//! `print`: a pattern on paper at true size.

use std::io::IsTerminal;

use clap::{Args, ValueHint};
use retrue::show::print::{Print, PrintChoices, PrintError, PrintOptions};

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{ExistingOutput, Source, Target, refuse_stream_twice};
use crate::cli::messages::{CAUTION, Messages};
use crate::cli::next::NextCommand;
use crate::cli::options::{PatternArgument, ReadingOptions, ReplaceOption, UnitOptions, source, target};
use crate::cli::report_page::layout;

/// Print the pieces at true size, as PDF.
///
/// Pages of home paper are put together: a map comes first, every page bears its place and its neighbours. Measure the
/// bars on every page before you cut: 100 mm both ways.
#[derive(Clone, Debug, Args)]
pub struct PrintCommand {
    #[command(flatten)]
    input: PatternArgument,
    /// Write the PDF to this file, whole or not at all; - for standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(),
        help_heading = "Writing")]
    output: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    /// Tell the pages and write nothing.
    #[arg(long, help_heading = "Writing")]
    dry_run: bool,
    #[command(flatten)]
    choices: PrintChoices,
    /// A cutting layout as `lay` draws it, shown small behind the map of the pages; may be given several times.
    #[arg(long = "layout", value_name = "LAYOUT", value_hint = ValueHint::FilePath, value_parser = source(),
        conflicts_with_all = ["roll", "projector"], help_heading = "Pieces")]
    layouts: Vec<Source>,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
}

impl PrintCommand {
    /// Prints the pattern.
    ///
    /// # Errors
    ///
    /// The pattern cannot be read, does not fit the paper, or the file cannot be written.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let outlet = self.outlet()?;
        refuse_stream_twice(self.layouts.iter().chain([&self.input.pattern]))?;
        let read = self.reading.read(&self.input.pattern, messages)?;
        outlet.as_ref().map_or(Ok(()), |(target, existing)| target.refuse_unwritable(*existing))?;
        let unit = self.unit.unit();
        let layouts = self.layouts.iter().map(layout).collect::<Result<Vec<_>, _>>()?;
        let chosen = self.choices.options(&read.pattern, self.input.pattern.stem().as_deref(), unit);
        let options = PrintOptions { layouts, ..chosen };
        let print = Print::of(&read.pattern, &options).map_err(|error| failure(&read.name, &error))?;
        let bytes = match &outlet {
            None => None,
            Some(outlet) => Some((outlet, print.pdf().map_err(|error| failure(&read.name, &error))?)),
        };
        if let Some(((target, existing), bytes)) = bytes {
            target.write(bytes, *existing)?;
        }
        messages.verdict(&print.verdict, &self.input.pattern, unit);
        tell(&print, &options, messages);
        messages.next(self.next(&print));
        Ok(Exit::True)
    }

    /// What is not true first; the print after a dry run, and after the print a page of what was done.
    fn next(&self, print: &Print) -> Option<NextCommand> {
        let pattern = &self.input.pattern;
        let stem = pattern.stem()?;
        let next = if !print.verdict.is_true() {
            NextCommand::on("check", [pattern])?
        } else if self.dry_run {
            return Some(NextCommand::again([pattern], &["--dry-run"])?.into_new(&format!("{stem}.pdf")));
        } else {
            let shown = self.layouts.iter().map(Source::name);
            let report = NextCommand::on("report", [pattern])?;
            shown.fold(report, |next, layout| next.option("layout", layout)).into_new(&format!("{stem}.html"))
        };
        Some(self.reading.carried(next))
    }

    /// Where the PDF goes; none on a dry run.
    fn outlet(&self) -> Result<Option<(Target, ExistingOutput)>, Failure> {
        if self.dry_run {
            return Ok(None);
        }
        let target = match &self.output {
            Some(target) => target.clone(),
            None if std::io::stdout().is_terminal() => {
                return Err(Failure::new(
                    "a PDF cannot be shown in a terminal",
                    "name a file with -o, or pipe it to another program",
                ));
            }
            None => Target::Stream,
        };
        let existing = self.replace.existing();
        target.refuse_ending_of_another_sort("a PDF", &["pdf"])?;
        target.refuse_unwritable(existing)?;
        Ok(Some((target, existing)))
    }
}

fn failure(file: &str, error: &PrintError) -> Failure {
    let failure = Failure::in_file(file, error);
    match error {
        PrintError::Allowance(error) => Failure::uncut(file, error),
        PrintError::Unknown(refusal) => Failure::refused(file, refusal),
        PrintError::LayoutWithoutMap => {
            failure.way_out("take --tiled, or print the layout's own file beside it")
        }
        PrintError::Nothing => failure.way_out("name a pattern with pieces on it"),
        PrintError::Face(_) => Failure::fault(error),
        PrintError::PaperTooSmall { .. } => {
            failure.way_out("take a larger --paper, or a smaller --margin or --overlap")
        }
        PrintError::PieceTooLarge { .. } => failure
            .way_out("take a larger --paper, a wider --roll, or let it run over several sheets with --tiled"),
    }
}

/// Says how many pages there are, how large they are put together, and what to do before cutting.
fn tell(print: &Print, options: &PrintOptions, messages: &Messages) {
    print.pages_told(options).into_iter().for_each(|sentence| messages.note(sentence));
    print.letters_missing().into_iter().for_each(|sentence| messages.warning(sentence));
    print.correction_told(options).into_iter().for_each(|sentence| messages.note(sentence));
    messages.note(print.how_to_measure());
    messages.note(CAUTION);
}
