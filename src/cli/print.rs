//! `print`: a pattern on paper at true size.

use std::io::IsTerminal;
use std::path::Path;

use clap::{Args, ValueHint};
use retrue::pattern::{Pattern, PieceName};
use retrue::show::print::{
    Copies, Grouping, Measured, Orientation, Paper, Print, PrintError, PrintOptions, SheetSize, Throw, Use,
};
use retrue::units::{Length, Unit, counted};

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{Existing, Source, Target};
use crate::cli::messages::{CAUTION, Messages};
use crate::cli::next::NextCommand;
use crate::cli::options::{PatternArgument, ReadingOptions, ReplaceOption, UnitOptions, target};

/// Narrowest and widest roll that is printed on, mm.
const ROLLS: std::ops::RangeInclusive<f64> = 200.0..=3000.0;

/// Widest margin, and widest overlap of pages, mm.
const WIDEST_MARGIN: f64 = 60.0;
const WIDEST_OVERLAP: f64 = 60.0;

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
    /// The paper.
    #[arg(long, value_name = "PAPER", default_value = "a4", ignore_case = true, help_heading = "Paper")]
    paper: SheetSize,
    /// Turn the paper: its long side is below.
    #[arg(long, help_heading = "Paper", conflicts_with = "roll")]
    landscape: bool,
    /// A roll of this width, as short as the pieces allow.
    #[arg(long, value_name = "WIDTH", conflicts_with = "paper", value_parser = roll, help_heading = "Paper")]
    roll: Option<Length>,
    /// One page for each cloth, to be thrown by a projector at true size: strong lines, and a grid to set it up by.
    #[arg(long, value_name = "THROW", num_args = 0..=1, default_missing_value = "light-on-dark", require_equals = true,
        conflicts_with_all = ["paper", "roll", "landscape", "tiled", "by_cloth"], help_heading = "Paper")]
    projector: Option<Throw>,
    /// Let pieces run over several sheets to be put together, also on large paper.
    #[arg(long, conflicts_with = "roll", help_heading = "Paper")]
    tiled: bool,
    /// What the printer leaves blank on every side.
    #[arg(long, value_name = "LENGTH", default_value = "12mm", value_parser = margin, help_heading = "Paper")]
    margin: Length,
    /// What a page shares with the next.
    #[arg(long, value_name = "LENGTH", default_value = "10mm", value_parser = overlap, help_heading = "Paper")]
    overlap: Length,
    /// What the bars measured on an earlier print, across and down; made good for: "100mm=99.2mm x 100.3mm".
    #[arg(long, value_name = "BAR=ACROSS x DOWN", help_heading = "Paper")]
    measured: Option<Measured>,
    /// Only this piece; may be given several times.
    #[arg(long = "piece", value_name = "PIECE", help_heading = "Pieces")]
    pieces: Vec<PieceName>,
    /// Each cloth on pages of its own.
    #[arg(long, help_heading = "Pieces")]
    by_cloth: bool,
    /// Which copies: each piece once as drawn, once with half pieces opened out, or every copy that is cut.
    #[arg(long, value_name = "COPIES", default_value = "as-drawn", help_heading = "Pieces")]
    copies: Copies,
    /// The title of the document; otherwise that of the pattern, or its file name.
    #[arg(long, value_name = "TITLE", help_heading = "Pieces")]
    title: Option<String>,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
}

fn within(text: &str, range: std::ops::RangeInclusive<f64>) -> Result<Length, String> {
    let length: Length = text.parse().map_err(|error: retrue::units::UnitError| error.to_string())?;
    if range.contains(&length.mm()) {
        return Ok(length);
    }
    let [least, most] = [range.start(), range.end()].map(|mm| Length::from_mm(*mm));
    Err(format!("it must be from {least} to {most}"))
}

fn roll(text: &str) -> Result<Length, String> {
    within(text, ROLLS)
}

fn margin(text: &str) -> Result<Length, String> {
    within(text, 0.0..=WIDEST_MARGIN)
}

fn overlap(text: &str) -> Result<Length, String> {
    within(text, 0.0..=WIDEST_OVERLAP)
}

impl PrintCommand {
    /// Prints the pattern.
    ///
    /// # Errors
    ///
    /// The pattern cannot be read, does not fit the paper, or the file cannot be written.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let outlet = self.outlet()?;
        let read = self.reading.read(&self.input.pattern, messages)?;
        outlet.as_ref().map_or(Ok(()), |(target, existing)| target.refuse_unwritable(*existing))?;
        let unit = self.unit.unit();
        let options = self.options(&read.pattern, unit);
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
            NextCommand::on("report", [pattern])?.into_new(&format!("{stem}.html"))
        };
        Some(self.reading.carried(next))
    }

    /// Where the PDF goes; none on a dry run.
    fn outlet(&self) -> Result<Option<(Target, Existing)>, Failure> {
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

    fn options(&self, pattern: &Pattern, unit: Unit) -> PrintOptions {
        let orientation = if self.landscape { Orientation::Landscape } else { Orientation::Portrait };
        let paper = match (self.projector, self.roll) {
            (Some(throw), _) => Paper::Light(throw),
            (None, Some(width)) => Paper::Roll { width },
            (None, None) => Paper::Sheets(self.paper, orientation),
        };
        let usual = PrintOptions::usual(self.title(pattern), paper);
        PrintOptions {
            on: self.tiled.then_some(Use::Together),
            margin: self.margin,
            overlap: self.overlap,
            measured: self.measured,
            copies: self.copies,
            grouping: if self.by_cloth { Grouping::ByCloth } else { usual.grouping },
            pieces: self.pieces.clone(),
            unit,
            ..usual
        }
    }

    fn title(&self, pattern: &Pattern) -> String {
        let file = match &self.input.pattern {
            Source::File(path) => Path::new(path).file_stem().map(|stem| stem.to_string_lossy().into_owned()),
            Source::Stream => None,
        };
        self.title
            .clone()
            .or_else(|| pattern.about.title.clone())
            .or(file)
            .unwrap_or_else(|| "pattern".to_owned())
    }
}

fn failure(file: &str, error: &PrintError) -> Failure {
    let failure = Failure::in_file(file, error);
    match error {
        PrintError::Allowance(error) => Failure::uncut(file, error),
        PrintError::Unknown(refusal) => Failure::refused(file, refusal),
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
    let show = |mm: f64| Length::from_mm(mm.round()).show(options.unit);
    match options.on.unwrap_or(options.paper.usual()) {
        Use::Together => {
            for area in &print.areas {
                let blank = match area.blank {
                    0 => String::new(),
                    count => format!(", {} left out", counted(count, "blank one")),
                };
                let together = match area.pages {
                    1 => String::new(),
                    _ => format!(", put together {} by {}", show(area.size.width), show(area.size.height)),
                };
                messages.note(format!(
                    "{} on {} of {}{blank}{together}",
                    counted(area.pieces.len(), "piece"),
                    counted(area.pages, "page"),
                    options.paper.title()
                ));
            }
        }
        Use::Single => {
            let pieces = print.areas.iter().map(|area| area.pieces.len()).sum();
            let lengths: Vec<String> = print.areas.iter().map(|area| show(area.size.height)).collect();
            let long = match options.paper {
                Paper::Roll { .. } => format!(", {} long", lengths.join(" and ")),
                Paper::Sheets(..) | Paper::Light(_) => String::new(),
            };
            let sheets = counted(print.areas.len(), if print.throw.is_some() { "page" } else { "sheet" });
            messages.note(format!(
                "{} on {sheets} of {}{long}",
                counted(pieces, "piece"),
                options.paper.title()
            ));
        }
    }
    if !print.missing.is_empty() {
        let letters: String = print.missing.iter().collect();
        messages.warning(format!("these letters cannot be printed, `?` stands for each: {letters}"));
    }
    tell_measured(print, options, messages);
    messages.note(match print.throw {
        Some(_) => "throw it at 100 %, and measure squares of the grid both ways, at the corners too: 100 mm",
        None => "print at 100 % (\"actual size\") and measure both bars on every page: 100 mm",
    });
    messages.note(CAUTION);
}

fn tell_measured(print: &Print, options: &PrintOptions, messages: &Messages) {
    let (Some(measured), Some((piece, size))) = (options.measured, print.largest_piece()) else { return };
    let (across, down) = measured.error_of(size.width, size.height);
    let tell = |error: Length, way: &str| {
        let more = if error.mm() < 0.0 { "too short" } else { "too long" };
        let error = Length::from_mm((error.mm().abs() * 10.0).round() / 10.0);
        format!("{} {more} {way}", error.show(options.unit))
    };
    messages.note(format!(
        "corrected for bars that measured {measured}; `{}` would have come out {} and {}",
        piece.title,
        tell(across, "across the paper"),
        tell(down, "down it")
    ));
}
