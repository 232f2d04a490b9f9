//! `check`: the gate before cutting.

use clap::Args;
use retrue::truing::{self, Limits};
use retrue::units::Length;

use crate::cli::check_text;
use crate::cli::color::ColorChoice;
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io;
use crate::cli::messages::Messages;
use crate::cli::options::{Form, FormOptions, PatternArgument, ReadingOptions, UnitOptions};
use crate::cli::report::CheckReport;

/// Check that a pattern is true: seam lengths, notches, corners, allowances, grain and girth.
///
/// Exit code: 0 true, 1 something is not, 2 the pattern cannot be read.
#[derive(Clone, Debug, Args)]
pub struct Check {
    #[command(flatten)]
    input: PatternArgument,
    #[command(flatten)]
    limits: LimitOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

/// How far something may be off before it is not true.
#[derive(Clone, Copy, Debug, Args)]
#[command(next_help_heading = "Limits")]
struct LimitOptions {
    /// Most that two sewn lengths may differ; otherwise 0.5mm.
    #[arg(long, value_name = "LENGTH", value_parser = limit)]
    length: Option<Length>,
    /// Most that two notches may miss one another by; otherwise 0.5mm.
    #[arg(long, value_name = "LENGTH", value_parser = limit)]
    notch: Option<Length>,
    /// Most that an edge may turn where it runs on across a seam, in degrees; otherwise 3.
    #[arg(long, value_name = "DEGREES", value_parser = angle)]
    kink: Option<f64>,
    /// Most that an edge may stand off the grain, in degrees; otherwise 3.
    #[arg(long, value_name = "DEGREES", value_parser = angle)]
    off_grain: Option<f64>,
}

impl LimitOptions {
    fn limits(self) -> Limits {
        let usual = Limits::default();
        Limits {
            length: self.length.unwrap_or(usual.length),
            notch: self.notch.unwrap_or(usual.notch),
            kink: self.kink.unwrap_or(usual.kink),
            off_grain: self.off_grain.unwrap_or(usual.off_grain),
            ..usual
        }
    }
}

fn limit(text: &str) -> Result<Length, String> {
    let length: Length = text.parse().map_err(|error: retrue::units::UnitError| error.to_string())?;
    if length.mm() < 0.0 { Err("a limit cannot be negative".to_owned()) } else { Ok(length) }
}

fn angle(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('°');
    match number.parse::<f64>() {
        Ok(degrees) if (0.0..=180.0).contains(&degrees) => Ok(degrees),
        _ => Err("write degrees from 0 to 180, like 3 or 2.5".to_owned()),
    }
}

impl Check {
    /// Checks the pattern.
    ///
    /// # Errors
    ///
    /// The pattern cannot be read, or the report cannot be written.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let named = self.reading.read(&self.input.pattern, messages)?;
        let findings = truing::check(&named.pattern, &self.limits.limits());
        let report = CheckReport::of(&named, &findings, self.unit.unit());
        io::print(&match self.form.form() {
            Form::Json => report.to_json(),
            Form::Text => check_text::text(&report, color.paint_on(&std::io::stdout())),
        })?;
        Ok(if report.is_true() { Exit::True } else { Exit::Untrue })
    }
}
