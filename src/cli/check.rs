//! `check`: the gate before cutting.

use clap::{Args, ValueHint};
use retrue::canvas::clean;
use retrue::resew::{ResewError, ResewLimits, Resewn, resew};
use retrue::truing::{Limits, SeamLimit, Verdict, Weight};
use retrue::units::{Length, counted};

use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{self, Source};
use crate::cli::messages::{CAUTION, Messages};
use crate::cli::next::NextCommand;
use crate::cli::options::{
    FormOptions, NamedPattern, PatternArgument, ReadingOptions, ReportForm, UnitOptions, source,
};
use crate::cli::report::{self, CheckReport, ResewnReport};
use crate::cli::resewn_text;

/// Check that a pattern is true: seams walk, notches meet, edges run on across seams, girths are kept.
///
/// With --against the pieces are laid back onto those they were cut from, step by step, by the motions that were recorded:
/// how far edges lie off, what cloth overlaps or is missing. The recorded steps are done again, and whatever of the sheet
/// they do not give is told as changed since, with what and where.
///
/// Exit code: 0 true, 1 something is not, 2 the pattern cannot be read.
#[derive(Clone, Debug, Args)]
pub struct CheckCommand {
    #[command(flatten)]
    input: PatternArgument,
    /// The pattern that this one was cut from, to do the recorded steps on it again.
    #[arg(long, value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    against: Option<Source>,
    #[command(flatten, next_help_heading = "Limits")]
    limits: LimitOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

/// How far off things may be.
#[derive(Clone, Debug, Args)]
struct LimitOptions {
    /// How far two seamlines may differ beyond the ease declared, and the allowances and cut ends along a seam. Over it is
    /// not true. Where it is not given, 0.5 mm, and up to 1/16 in only warns: paper patterns are drawn to a sixteenth.
    #[arg(long, value_name = "LENGTH", value_parser = positive)]
    length: Option<Length>,
    /// How far a notch may lie from its partner. Where it is not given, 0.5 mm, and up to 1/16 in only warns.
    #[arg(long, value_name = "LENGTH", value_parser = positive)]
    notch: Option<Length>,
    /// By how many degrees an edge may turn where it runs on across a seam.
    #[arg(long, value_name = "DEGREES", default_value_t = Limits::default().kink_degrees, value_parser = degrees)]
    kink: f64,
    /// By how many degrees a straight new seam may stand off the grain.
    #[arg(long, value_name = "DEGREES", default_value_t = Limits::default().off_grain_degrees,
        value_parser = degrees)]
    off_grain: f64,
}

fn positive(text: &str) -> Result<Length, String> {
    let length: Length = text.parse().map_err(|error: retrue::units::UnitError| error.to_string())?;
    if length.mm() > 0.0 { Ok(length) } else { Err("a limit must be over zero".to_owned()) }
}

fn degrees(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('°').parse::<f64>();
    number
        .ok()
        .filter(|degrees| *degrees > 0.0 && *degrees <= 180.0)
        .ok_or_else(|| "write degrees over 0, up to 180: 3".to_owned())
}

fn limit(given: Option<Length>) -> SeamLimit {
    given.map_or(SeamLimit::Usual, SeamLimit::Given)
}

impl LimitOptions {
    fn limits(&self) -> Limits {
        Limits {
            length: limit(self.length),
            notch: limit(self.notch),
            cut_ends: limit(self.length),
            kink_degrees: self.kink,
            off_grain_degrees: self.off_grain,
            ..Limits::default()
        }
    }
}

impl CheckCommand {
    /// Checks the pattern.
    ///
    /// # Errors
    ///
    /// The pattern cannot be read.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let read = self.reading.read(&self.input.pattern, messages)?;
        let limits = self.limits.limits();
        let mut verdict = Verdict::within(&read.pattern, &limits);
        let resewn =
            self.against.as_ref().map(|against| self.laid_back(against, &read, messages)).transpose()?;
        if let Some((_, resewn)) = &resewn {
            verdict = verdict.with(resewn.findings(&ResewLimits::default()));
        }
        let resewn = resewn.map(|(against, resewn)| ResewnReport { against, steps: resewn.steps });
        let report = CheckReport {
            resewn,
            ..CheckReport::of(&read.name, &read.pattern, &verdict, &limits, self.unit.unit())
        };
        match self.form.form() {
            ReportForm::Json => report::print_json("check", &report)?,
            ReportForm::Text => io::print_to_read(&text(&report, color))?,
        }
        messages.note(CAUTION);
        if verdict.is_true() && self.form.form() == ReportForm::Text {
            messages.next(self.next());
        }
        Ok(Exit::of(&verdict))
    }

    fn next(&self) -> Option<NextCommand> {
        let output = format!("{}.pdf", self.input.pattern.stem()?);
        let next = NextCommand::on("print", [&self.input.pattern])?;
        Some(self.reading.carried(next).into_new(&output))
    }

    /// The pieces laid back onto those of another file, whose name comes with them.
    fn laid_back(
        &self,
        against: &Source,
        new: &NamedPattern,
        messages: &Messages,
    ) -> Result<(String, Resewn), Failure> {
        let old = self.reading.read(against, messages)?;
        let resewn = resew(old.drawn(), new.drawn()).map_err(|error| {
            let way_out = match &error {
                ResewError::OldIsLater { .. } => {
                    format!(
                        "name the two the other way round: retrue check {} --against {}",
                        old.name, new.name
                    )
                }
                _ => format!("name the pattern that {} was cut from", new.name),
            };
            Failure::in_file(&old.name, error).way_out(way_out)
        })?;
        Ok((old.name, resewn))
    }
}

fn text(report: &CheckReport, color: ColorChoice) -> String {
    let paint = color.paint_on(&std::io::stdout());
    let mut text = verdict(report, paint);
    for finding in &report.truth.findings {
        let label = match finding.finding.weight {
            Weight::Untrue => paint.paint(TextTone::Wrong, "not true:"),
            Weight::Warning => paint.paint(TextTone::Warning, "warning:"),
        };
        let way_out = finding.way_out.as_ref().map_or_else(String::new, |way_out| format!("; {way_out}"));
        text.push_str(&format!("{label} {}\n", clean(&format!("{}{way_out}", finding.sentence))));
    }
    for declared in &report.declared {
        text.push_str(&format!("as declared: {}\n", clean(&declared.sentence)));
    }
    if let Some(resewn) = &report.resewn {
        text.push_str(&resewn_text::text(resewn));
    }
    text
}

/// The verdict in a line, before what it rests on.
fn verdict(report: &CheckReport, paint: TextPaint) -> String {
    let seams = counted(report.seams, "seam");
    let (darts, levels) = (counted(report.darts, "dart"), counted(report.levels, "level"));
    let of = |weight| report.truth.findings.iter().filter(|finding| finding.finding.weight == weight).count();
    if report.truth.is_true {
        let twice = match of(Weight::Warning) {
            0 => String::new(),
            count => format!("; {} to look at twice", count),
        };
        let word = paint.paint(TextTone::Right, "true:");
        return format!("{word} {seams} walked, {darts}, {levels}{twice}\n");
    }
    let word = paint.paint(TextTone::Wrong, "not true:");
    format!("{word} {} to mend; {seams} walked, {darts}, {levels}\n", counted(of(Weight::Untrue), "finding"))
}
