//! Options that several commands share.

use std::path::PathBuf;

use clap::builder::{PathBufValueParser, TypedValueParser};
use clap::{Args, ValueEnum, ValueHint};
use retrue::drawing;
use retrue::pattern::{Pattern, Snapped};
use retrue::resew::DrawnPattern;
use retrue::sheet::{self, ReadOptions};
use retrue::truing::Verdict;
use retrue::units::{Length, Unit};

use crate::cli::errors::Failure;
use crate::cli::file_sort::FileSort;
use crate::cli::io::{ExistingOutput, Source, Target};
use crate::cli::messages::Messages;
use crate::cli::next::NextCommand;

/// In which unit lengths are told.
#[derive(Clone, Copy, Debug, Args)]
#[command(next_help_heading = "Output")]
pub struct UnitOptions {
    /// Tell lengths in inches, to the nearest sixteenth.
    #[arg(long = "in", group = "told-unit")]
    inches: bool,
    /// Tell lengths in centimetres.
    #[arg(long = "cm", group = "told-unit")]
    centimetres: bool,
    /// Tell lengths in millimetres (default).
    #[arg(long = "mm", group = "told-unit")]
    millimetres: bool,
}

impl UnitOptions {
    /// The unit asked for.
    pub fn unit(self) -> Unit {
        match (self.inches, self.centimetres) {
            (true, _) => Unit::Inch,
            (_, true) => Unit::Centimetre,
            _ => Unit::Millimetre,
        }
    }
}

/// In which form a report is given.
#[derive(Clone, Copy, Debug, Args)]
#[command(next_help_heading = "Output")]
pub struct FormOptions {
    /// Give the report as JSON, lengths in millimetres.
    #[arg(long)]
    json: bool,
}

/// The form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReportForm {
    /// Text for people.
    Text,
    /// JSON for programs.
    Json,
}

impl FormOptions {
    /// The form asked for.
    pub fn form(self) -> ReportForm {
        if self.json { ReportForm::Json } else { ReportForm::Text }
    }
}

/// How a drawing is read that does not say its own size.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Input")]
pub struct ReadingOptions {
    /// What a user unit of the drawing is, where it does not say so itself.
    #[arg(long, value_name = "UNIT")]
    unit: Option<DrawingUnit>,
    /// Something of known size in the drawing, a line or a square: "scale=100mm".
    #[arg(long, value_name = "ELEMENT-ID=LENGTH", value_parser = known)]
    known: Option<drawing::Known>,
}

/// A unit that a drawing may be in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DrawingUnit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Inches.
    In,
    /// Pixels, 96 to the inch.
    Px,
    /// Points, 72 to the inch.
    Pt,
}

impl From<DrawingUnit> for drawing::UserUnit {
    fn from(unit: DrawingUnit) -> drawing::UserUnit {
        match unit {
            DrawingUnit::Mm => drawing::UserUnit::Mm,
            DrawingUnit::Cm => drawing::UserUnit::Cm,
            DrawingUnit::In => drawing::UserUnit::In,
            DrawingUnit::Px => drawing::UserUnit::Px,
            DrawingUnit::Pt => drawing::UserUnit::Pt,
        }
    }
}

fn known(text: &str) -> Result<drawing::Known, String> {
    let (element, length) = text
        .rsplit_once('=')
        .filter(|(element, _)| !element.is_empty())
        .ok_or_else(|| "write the element's id and its length: scale=100mm".to_owned())?;
    let length: Length = length.parse().map_err(|error: retrue::units::UnitError| error.to_string())?;
    if length.mm() <= 0.0 {
        return Err("the length must be over zero".to_owned());
    }
    Ok(drawing::Known { element: element.to_owned(), length_mm: length.mm() })
}

/// A pattern as it was read, and what it is called in messages.
#[derive(Clone, Debug)]
pub struct NamedPattern {
    /// The pattern.
    pub pattern: Pattern,
    /// What of it lies elsewhere than it is drawn.
    pub snapped: Vec<Snapped>,
    /// The name of its file.
    pub name: String,
    /// Where it was read from.
    pub source: Source,
}

impl NamedPattern {
    /// The pattern as it is drawn.
    pub fn drawn(&self) -> DrawnPattern<'_> {
        DrawnPattern { pattern: &self.pattern, snapped: &self.snapped }
    }
}

/// A pattern as it was read, and whether it is true.
#[derive(Clone, Debug)]
pub struct JudgedPattern {
    /// The pattern.
    pub pattern: Pattern,
    /// The name of its file.
    pub name: String,
    /// What is not true of it.
    pub verdict: Verdict,
}

impl ReadingOptions {
    /// As where nothing is said.
    pub fn plain() -> ReadingOptions {
        ReadingOptions { unit: None, known: None }
    }

    /// The next command on the same drawing, read in the same way.
    pub fn carried(&self, next: NextCommand) -> NextCommand {
        let unit = self.unit.and_then(|unit| Some(unit.to_possible_value()?.get_name().to_owned()));
        let known = self.known.as_ref().map(|known| format!("{}={}mm", known.element, known.length_mm));
        next.maybe("unit", unit).maybe("known", known)
    }

    /// How the drawing is to be read.
    pub fn options(&self) -> ReadOptions {
        ReadOptions { unit: self.unit.map(Into::into), known: self.known.clone() }
    }

    /// Reads a pattern and says what was tolerated in it.
    ///
    /// # Errors
    ///
    /// What cannot be read, and what is no sound pattern.
    pub fn read(&self, source: &Source, messages: &Messages) -> Result<NamedPattern, Failure> {
        let name = source.name();
        let bytes = source.read(FileSort::Pattern)?;
        let sheet = sheet::read(&bytes, &self.options()).map_err(|error| Failure::unread(&name, &error))?;
        for note in &sheet.notes {
            let sentence = format!("{name}: {note}");
            if note.is_warning() { messages.warning(sentence) } else { messages.note(sentence) }
        }
        Ok(NamedPattern { pattern: sheet.pattern, snapped: sheet.snapped, name, source: source.clone() })
    }

    /// Reads a pattern that the command works on, says what was tolerated in it, and in one line whether it is not true.
    ///
    /// # Errors
    ///
    /// As [`ReadingOptions::read`].
    pub fn read_judged(
        &self,
        source: &Source,
        messages: &Messages,
        unit: Unit,
    ) -> Result<JudgedPattern, Failure> {
        let NamedPattern { pattern, name, .. } = self.read(source, messages)?;
        let verdict = Verdict::of(&pattern);
        messages.verdict(&verdict, source, unit);
        Ok(JudgedPattern { pattern, name, verdict })
    }
}

/// A pattern to be read.
#[derive(Clone, Debug, Args)]
pub struct PatternArgument {
    /// The pattern sheet, an SVG file, or - for standard input.
    #[arg(value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    pub pattern: Source,
}

/// Reads an argument that names a file, or `-` for standard input.
pub fn source() -> impl TypedValueParser<Value = Source> {
    PathBufValueParser::new().map(|path: PathBuf| Source::from(path))
}

/// Reads an argument that names a file to write, or `-` for standard output.
pub fn target() -> impl TypedValueParser<Value = Target> {
    PathBufValueParser::new().map(|path: PathBuf| Target::from(path))
}

/// Whether what is there already is replaced.
#[derive(Clone, Copy, Debug, Args)]
pub struct ReplaceOption {
    /// Replace what is there already.
    #[arg(long, help_heading = "Writing")]
    force: bool,
}

impl ReplaceOption {
    /// What is done about a file that is there already.
    pub fn existing(self) -> ExistingOutput {
        if self.force { ExistingOutput::Replace } else { ExistingOutput::Keep }
    }

    /// The same where an operation writes a pattern sheet anew.
    fn existing_pattern(self) -> ExistingOutput {
        if self.force { ExistingOutput::ReplacePattern } else { ExistingOutput::Keep }
    }
}

/// Where the new pattern goes.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Writing")]
pub struct WritingOptions {
    /// Write the new pattern to this file, whole or not at all; otherwise, or with -, to standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target())]
    output: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    /// Tell widths, girths and warnings, and write nothing.
    #[arg(long)]
    dry_run: bool,
}

/// What becomes of the new pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PatternOutput {
    /// It is written.
    To(Target, ExistingOutput),
    /// It is told about, and dropped.
    DryRun,
}

impl WritingOptions {
    /// What was asked for. With a JSON report on standard output the pattern needs a file of its own.
    ///
    /// # Errors
    ///
    /// Both would go to standard output; the file exists and may not be replaced.
    pub fn writing(&self, form: ReportForm) -> Result<PatternOutput, Failure> {
        if self.dry_run {
            return Ok(PatternOutput::DryRun);
        }
        let target = self.output.clone().unwrap_or(Target::Stream);
        if form == ReportForm::Json && target == Target::Stream {
            return Err(Failure::new(
                "--json puts the report on standard output, where the new pattern would go",
                "name a file for the pattern with -o, or say --dry-run",
            ));
        }
        let existing = self.replace.existing_pattern();
        target.refuse_ending_of_another_sort("a pattern sheet, an SVG drawing,", &["svg"])?;
        target.refuse_unwritable(existing)?;
        Ok(PatternOutput::To(target, existing))
    }
}

impl WritingOptions {
    /// Where each of many new patterns goes: the path whose `{name}` stands for that of its file; none where they
    /// are only told about.
    ///
    /// # Errors
    ///
    /// No file is named.
    pub fn each(&self) -> Result<Option<(PathBuf, ExistingOutput)>, Failure> {
        if self.dry_run {
            return Ok(None);
        }
        let Some(Target::File(path)) = &self.output else {
            return Err(Failure::new(
                "--each makes many patterns, and each needs a file of its own",
                "name them with -o \"out/{name}.svg\", or say --dry-run",
            ));
        };
        Ok(Some((path.clone(), self.replace.existing_pattern())))
    }
}
