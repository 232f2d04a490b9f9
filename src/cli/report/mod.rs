//! What commands report as JSON: the results themselves, which say where they are defined how they are serialised, and what a
//! command adds to them, as the file and the sentences. Lengths are millimetres, areas mm², angles degrees, all rounded to a
//! millionth as they are printed.

mod adopt;
mod batch;
mod findings;
mod lay;
mod pattern;
mod plan;
mod recut;

use std::fmt::Display;
use std::io::Write;

use retrue::canvas::is_unseen;
use retrue::units::{Unit, rounded};
use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter};

use crate::cli::errors::Failure;
use crate::cli::io;
use crate::cli::options::JudgedPattern;

pub use adopt::{AdoptReport, AdoptedReport, FoundOutlineReport};
pub use batch::{BatchReport, BatchRow, BatchVerdict};
pub use findings::{CheckReport, FindingReport, ResewnReport, VerdictReport};
pub use lay::LayReport;
pub use pattern::{DartReport, EdgeReport, PieceReport, ShowReport, StepReport};
pub use plan::PlanReport;
pub use recut::{PieceFate, RecutReport};

/// Version of the form of all reports.
const SCHEMA: u32 = 1;

/// A report with the version of its form and its kind.
#[derive(Serialize)]
struct Enveloped<'a, T> {
    schema: u32,
    kind: &'a str,
    #[serde(flatten)]
    report: &'a T,
}

/// What was found of a pattern, with its file and whether it is true.
#[derive(Serialize)]
pub struct JudgedReport<'a, T> {
    file: &'a str,
    #[serde(flatten)]
    truth: VerdictReport,
    #[serde(flatten)]
    found: &'a T,
}

impl<'a, T: Serialize> JudgedReport<'a, T> {
    /// The report of what was found, its sentences in a unit.
    pub fn of(read: &'a JudgedPattern, found: &'a T, unit: Unit) -> JudgedReport<'a, T> {
        JudgedReport { file: &read.name, truth: VerdictReport::of(&read.verdict, unit), found }
    }
}

/// Prints a report as JSON.
///
/// # Errors
///
/// Standard output cannot be written to.
pub fn print_json(kind: &str, report: &impl Serialize) -> Result<(), Failure> {
    let fault = |error: &dyn Display| Failure::fault(format!("the report cannot be put together: {error}"));
    let mut json = Vec::new();
    let enveloped = Enveloped { schema: SCHEMA, kind, report };
    let mut serializer = serde_json::Serializer::with_formatter(&mut json, RoundedJson::default());
    enveloped.serialize(&mut serializer).map_err(|error| fault(&error))?;
    json.push(b'\n');
    io::print(&String::from_utf8(json).map_err(|error| fault(&error))?)
}

/// Laid out for people: numbers [`rounded`], and of the signs that are not seen what JSON writes for them, so that it is
/// safe to look at.
#[derive(Default)]
struct RoundedJson<'a>(PrettyFormatter<'a>);

/// What is laid out as [`PrettyFormatter`] does it.
macro_rules! as_pretty {
    ($($name:ident($($argument:ident: $type:ty)?)),+) => {$(
        fn $name<W: ?Sized + Write>(&mut self, to: &mut W $(, $argument: $type)?) -> std::io::Result<()> {
            self.0.$name(to $(, $argument)?)
        }
    )+};
}

impl Formatter for RoundedJson<'_> {
    as_pretty!(
        begin_array(),
        end_array(),
        begin_array_value(first: bool),
        end_array_value(),
        begin_object(),
        end_object(),
        begin_object_key(first: bool),
        begin_object_value(),
        end_object_value()
    );

    fn write_f64<W: ?Sized + Write>(&mut self, to: &mut W, number: f64) -> std::io::Result<()> {
        self.0.write_f64(to, rounded(number))
    }

    fn write_string_fragment<W: ?Sized + Write>(&mut self, to: &mut W, text: &str) -> std::io::Result<()> {
        let mut seen = 0;
        for (at, sign) in text.char_indices().filter(|(_, sign)| is_unseen(*sign)) {
            write!(to, "{}\\u{:04x}", &text[seen..at], u32::from(sign))?;
            seen = at + sign.len_utf8();
        }
        to.write_all(&text.as_bytes()[seen..])
    }
}
