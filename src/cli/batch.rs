//! `apply --each`: the steps of one recipe over many patterns, several at a time.
//!
//! Each pattern is read, recut and written by itself and then let go, so that memory does not grow with their number;
//! what one of them does not allow stops none of the others.

use std::num::NonZero;
use std::thread;

use rayon::iter::{IntoParallelIterator, ParallelIterator};
use retrue::drawing::reading_threads;
use retrue::truing::Comparison;
use retrue::units::{Unit, counted};

use crate::cli::batch_files::FilePair;
use crate::cli::chain::{ChainOutcome, PlannedStep};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit_cloth::warning;
use crate::cli::io::{self, ExistingOutput, Source, Target};
use crate::cli::messages::{Loudness, Messages};
use crate::cli::options::{PatternOutput, ReadingOptions, ReportForm};
use crate::cli::panic;
use crate::cli::report::{self, BatchReport, BatchRow, BatchVerdict};
use crate::cli::rows::{Align, Rows};

/// One recipe over many patterns.
pub struct Batch<'a> {
    /// The steps.
    pub planned: &'a [PlannedStep],
    /// The patterns, and where the new ones go.
    pub pairs: Vec<FilePair>,
    /// What is done about files that are there already.
    pub existing: ExistingOutput,
    /// How drawings are read.
    pub reading: &'a ReadingOptions,
    /// The unit of lengths.
    pub unit: Unit,
}

/// How many patterns are at work for each core: while one waits until its file is safe on the disk, another is reckoned.
const AT_WORK_PER_CORE: usize = 2;

impl Batch<'_> {
    /// Does the steps on every pattern, and tells what came of each, in the order of the patterns.
    ///
    /// # Errors
    ///
    /// No threads can be started; the report cannot be written.
    pub fn run(self, messages: &Messages, form: ReportForm, loudness: Loudness) -> Result<Exit, Failure> {
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        let threads = reading_threads(cores * AT_WORK_PER_CORE).map_err(Failure::without_threads)?;
        let silent = messages.silent();
        let (batch, pairs) = (&self, &self.pairs);
        let files: Vec<BatchRow> =
            threads.install(|| pairs.into_par_iter().map(|pair| batch.row(pair, &silent)).collect());
        let is_true = files.iter().all(|row| row.verdict == BatchVerdict::True);
        let report = BatchReport { is_true, files };
        match form {
            ReportForm::Json => report::print_json("batch", &report)?,
            ReportForm::Text => io::print_to_read(&text(&report, loudness))?,
        }
        Ok(if is_true { Exit::True } else { Exit::Untrue })
    }

    fn row(&self, pair: &FilePair, messages: &Messages) -> BatchRow {
        let file = pair.input.display().to_string();
        panic::caught(|| self.recut(pair, messages)).unwrap_or_else(|failure| {
            let line = failure.line();
            let reason = line.strip_prefix(&format!("{file}: ")).unwrap_or(&line).to_owned();
            BatchRow {
                file,
                written: None,
                verdict: BatchVerdict::Refused,
                reasons: vec![reason],
                warnings: vec![],
            }
        })
    }

    fn recut(&self, pair: &FilePair, messages: &Messages) -> Result<BatchRow, Failure> {
        let writing = match &pair.output {
            Some(path) => PatternOutput::To(Target::File(path.clone()), self.existing),
            None => PatternOutput::DryRun,
        };
        if let PatternOutput::To(target, existing) = &writing {
            target.refuse_unwritable(*existing)?;
        }
        let before = self.reading.read(&Source::File(pair.input.clone()), messages)?;
        let chain = ChainOutcome::run(before, self.planned)?;
        let written = chain.write(&writing)?;
        let notices = chain.steps.iter().flat_map(|step| &step.notices);
        let fitted = chain.steps.iter().filter_map(|done| Some((&done.step, done.fitted.as_ref()?)));
        let warnings = notices.filter(|notice| notice.is_warning()).map(|notice| notice.sentence(self.unit));
        let warnings = warnings
            .chain(fitted.filter_map(|(step, (fitted, after))| warning(step, fitted, after, self.unit)));
        Ok(BatchRow {
            file: pair.input.display().to_string(),
            written,
            verdict: if chain.verdict.is_true() { BatchVerdict::True } else { BatchVerdict::NotTrue },
            reasons: reasons(&chain.since, self.unit),
            warnings: warnings.collect(),
        })
    }
}

/// What is not true: what is new, then what was there before.
fn reasons(since: &Comparison, unit: Unit) -> Vec<String> {
    let added = since.added.iter().map(|finding| finding.sentence(unit));
    let as_before = since.as_before.iter().map(|finding| format!("as before, {}", finding.sentence(unit)));
    added.chain(as_before).collect()
}

/// A row for each pattern and a line for all; where only what is wrong is to be said, rows for that alone.
fn text(report: &BatchReport, loudness: Loudness) -> String {
    let mut table = Rows::new([Align::Left, Align::Left, Align::Left]);
    for row in &report.files {
        if loudness == Loudness::Usual || row.verdict != BatchVerdict::True {
            table.row([row.file.clone(), word(row.verdict).to_owned(), reason(row)]);
        }
    }
    let mut text = table.to_string();
    if loudness == Loudness::Usual {
        let count = |verdict| report.files.iter().filter(|row| row.verdict == verdict).count();
        let all = counted(report.files.len(), "pattern");
        let [done, untrue, refused] =
            [BatchVerdict::True, BatchVerdict::NotTrue, BatchVerdict::Refused].map(count);
        text.push_str(&format!("{all}: {done} true, {untrue} not true, {refused} refused\n"));
    }
    text
}

fn word(verdict: BatchVerdict) -> &'static str {
    match verdict {
        BatchVerdict::True => "true",
        BatchVerdict::NotTrue => "not true",
        BatchVerdict::Refused => "refused",
    }
}

/// The first of what is wrong, and how much more there is.
fn reason(row: &BatchRow) -> String {
    match row.reasons.as_slice() {
        [] if row.warnings.is_empty() => String::new(),
        [] => counted(row.warnings.len(), "warning"),
        [one] => one.clone(),
        [one, more @ ..] => format!("{one}; and {} more", more.len()),
    }
}
