//! `plan`: where to add, move or turn which seam so that all of the pattern fits the cloth.

use std::path::{Path, PathBuf};

use clap::{Args, ValueHint};
use retrue::canvas::clean;
use retrue::cloth::Stock;
use retrue::cloth::layout::{LayError, used_told};
use retrue::cloth::picture;
use retrue::pattern::Pattern;
use retrue::plan::{
    Alternative, Closest, LengthUsed, News, PlanChoices, PlanError, PlanTask, Planned, Taste, file, plan,
};
use retrue::recut::Step;
use retrue::show::plans::{self, PlanFiles};
use retrue::units::{Length, Unit, counted_as};

use crate::cli::advice::as_argument;
use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::file_sort::FileSort;
use crate::cli::fit::{ClothOptions, unfitted};
use crate::cli::io::{self, Source};
use crate::cli::lay::unlaid;
use crate::cli::messages::{CAUTION, Loudness, Messages};
use crate::cli::next::NextCommand;
use crate::cli::options::{
    FormOptions, PatternArgument, ReadingOptions, ReplaceOption, ReportForm, UnitOptions,
};
use crate::cli::plan_folder::PlanFolder;
use crate::cli::progress::ProgressLine;
use crate::cli::report::{self, JudgedReport, PlanReport, StepReport};
use crate::cli::rows::{Align, Rows};

/// How many things that are missing are told of.
const MOST_MISSING: usize = 4;

/// Find where to add, move or turn which seam so that all of the pattern fits the cloth.
///
/// It moves side seams, adds centre and princess seams, runs darts out, cuts yokes, waist seams, panels and bands, and
/// sleeves in two. Pieces may be put together where it is not seen, lie across the grain, or come from other cloth. Each
/// way that fits is true, laid, and written as a recipe for `apply` with its layout: 1.toml and 1.svg are the best.
/// index.html shows all of them side by side.
///
/// Exit code: 0 something fits, 1 nothing does, and what would come closest, 2 refused.
#[derive(Clone, Debug, Args)]
#[command(name = "plan")]
pub struct PlanCommand {
    #[command(flatten)]
    input: PatternArgument,
    #[command(flatten)]
    cloth: ClothOptions,
    /// A plan file: what is not wanted, and what may be done.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, help_heading = "Taste")]
    taste: Option<PathBuf>,
    #[command(flatten)]
    choices: PlanChoices,
    /// Write the recipes and layouts to this folder, whole or not at all.
    #[arg(short, long, value_name = "FOLDER", value_hint = ValueHint::DirPath, help_heading = "Writing")]
    output: Option<PathBuf>,
    #[command(flatten)]
    replace: ReplaceOption,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl PlanCommand {
    /// Plans, tells of it and writes it.
    ///
    /// # Errors
    ///
    /// The pattern, the cloth or the plan file cannot be read, or the plans cannot be written.
    pub fn run(&self, messages: &Messages, color: ColorChoice, loudness: Loudness) -> Result<Exit, Failure> {
        let (form, unit) = (self.form.form(), self.unit.unit());
        let existing = self.replace.existing();
        let folder = self.output.clone().map(|path| PlanFolder::new(path, existing)).transpose()?;
        let read = self.reading.read_judged(&self.input.pattern, messages, unit)?;
        let (pattern, name) = (&read.pattern, &read.name);
        let stock = self.cloth.cloth.read(Path::new(""))?;
        let taste = self.taste.as_deref().map(|path| read_taste(path, pattern)).transpose()?;
        folder.as_ref().map_or(Ok(()), PlanFolder::refuse_unwritable)?;
        let mut line = ProgressLine::new(loudness);
        let task = PlanTask {
            pattern,
            stock: &stock,
            taste: &taste.unwrap_or_default(),
            grain_tolerance: self.cloth.grain.grain_tolerance,
        };
        let mut is_first = form == ReportForm::Text;
        let planned = plan(task, &self.choices.effort(), &mut |news| {
            if let News::Fits(alternative) = news
                && is_first
            {
                is_first = false;
                line.clear();
                let look = plans::headline(alternative);
                messages.note(format!("better ones are looked for, but this fits: {}", clean(&look)));
            }
            if let Some(told) = news.sentence() {
                line.show(|| told);
            }
        });
        line.clear();
        let planned = planned.map_err(|error| unplanned(name, &error))?;
        let written = match &folder {
            Some(folder) if planned.fits() => {
                let plans = plans(&planned, &stock, unit).map_err(|error| unlaid(name, &error))?;
                folder.write(&plans, &page(&planned, folder, name, unit)?)?
            }
            _ => Vec::new(),
        };
        match form {
            ReportForm::Json => {
                let found = PlanReport::of(&planned, &written, unit);
                report::print_json("plan", &JudgedReport::of(&read, &found, unit))?;
            }
            ReportForm::Text => {
                let paint = color.paint_on(&std::io::stdout());
                tell(&planned, pattern, &stock, (paint, unit), messages)?;
                if planned.fits() {
                    messages.next(self.next(&written));
                }
            }
        }
        Ok(if planned.fits() { Exit::True } else { Exit::Untrue })
    }

    /// The best of the recipes; where none was written, the same search with a folder for them.
    fn next(&self, written: &[[String; 2]]) -> Option<NextCommand> {
        let pattern = &self.input.pattern;
        let [[best, _], ..] = written else {
            return Some(NextCommand::again([pattern], &[])?.into_new("plans"));
        };
        let recipe = Source::File(PathBuf::from(best));
        let next = NextCommand::on("apply", [&recipe, pattern])?;
        Some(self.reading.carried(next).into_new("recut.svg"))
    }
}

fn read_taste(path: &Path, pattern: &Pattern) -> Result<Taste, Failure> {
    let source = Source::File(path.to_owned());
    let text = source.read_text(FileSort::Taste)?;
    file::read(&text.source, pattern).map_err(|fault| Failure::in_fault(&text, &fault))
}

/// The recipes and layouts of what was planned.
fn plans(planned: &Planned, stock: &Stock, unit: Unit) -> Result<Vec<(String, String)>, LayError> {
    let one = |alternative: &Alternative| {
        let layout = alternative.lay_task(stock)?;
        Ok((alternative.recipe(), picture::layout(&layout, &alternative.laid, unit)))
    };
    planned.alternatives.iter().map(one).collect()
}

/// The page that shows the alternatives side by side.
fn page(planned: &Planned, folder: &PlanFolder, name: &str, unit: Unit) -> Result<String, Failure> {
    let files = |number: usize| {
        let [recipe, layout] = PlanFolder::names_of(number);
        let command = format!(
            "retrue apply {} {} -o recut.svg",
            as_argument(&folder.path_of(&recipe)),
            as_argument(name)
        );
        PlanFiles { recipe, layout, command }
    };
    let alternatives: Vec<_> = planned.alternatives.iter().zip((1..).map(files)).collect();
    let called = Path::new(name).file_name().map_or(name.into(), |file| file.to_string_lossy());
    let title = format!("{called}: {}", counted_as(alternatives.len(), "way that fits", "ways that fit"));
    plans::plans(&title, &alternatives, unit).map_err(|error| {
        Failure::in_file(name, error.to_string()).way_out("mend what `retrue check` finds first")
    })
}

fn unplanned(file: &str, error: &PlanError) -> Failure {
    match error {
        PlanError::Fit(error) => unfitted(file, error),
        PlanError::Lay(error) => unlaid(file, error),
    }
}

fn tell(
    planned: &Planned,
    pattern: &Pattern,
    stock: &Stock,
    (paint, unit): (TextPaint, Unit),
    messages: &Messages,
) -> Result<(), Failure> {
    messages.cloth(pattern, stock, unit);
    tell_trued(planned, unit, messages);
    if let Some(closest) = &planned.closest {
        messages.untrue("nothing was found that fits");
        messages.note(format!("what would come closest: {}", closest.sentence()));
        missing(closest, unit).into_iter().for_each(|sentence| messages.note(sentence));
        closest.besides().into_iter().for_each(|sentence| messages.note(format!("or: {sentence}")));
        return Ok(());
    }
    io::print_to_read(&text(planned, paint, unit))?;
    messages.note(CAUTION);
    Ok(())
}

/// A step as it is written on a command line, its pattern aside.
fn as_line(step: &Step) -> String {
    StepReport::of(&step.to_value()).line()
}

/// Says what is done first about what was not true before, and what stays so.
fn tell_trued(planned: &Planned, unit: Unit, messages: &Messages) {
    if planned.trued.is_empty() {
        return;
    }
    let steps: Vec<String> = planned.trued.iter().map(as_line).collect();
    messages.note(format!("each recipe first trues what can be trued: {}", steps.join("; ")));
    if let Some(sentence) = planned.verdict.sentence(unit) {
        messages.note(format!("not true even then: {sentence}"));
    }
}

fn missing(closest: &Closest, unit: Unit) -> Vec<String> {
    let mut sentences: Vec<String> =
        closest.missing.iter().take(MOST_MISSING).map(|missing| missing.sentence(unit)).collect();
    let more = closest.missing.len().saturating_sub(MOST_MISSING);
    if more > 0 {
        sentences.push(format!(
            "{} missing; --json lists all",
            counted_as(more, "more thing is", "more things are")
        ));
    }
    sentences
}

/// A figure of an alternative.
type FigureOf = fn(&Alternative) -> u32;

/// Figures that are told where any alternative has something of it.
const COUNTS: [(&str, FigureOf); 3] = [
    ("off grain", |one| one.figures.edges_off_grain),
    ("crosswise", |one| one.figures.crosswise),
    ("unmatched", |one| one.figures.stripes_lost),
];

/// The verdict; the alternatives, a line of figures for each and a sentence below; how far the search went.
fn text(planned: &Planned, paint: TextPaint, unit: Unit) -> String {
    let mut rows = Rows::new([Align::Right; 7]);
    // What none of them has is not told.
    let told =
        COUNTS.map(|(head, count)| (head, count, planned.alternatives.iter().any(|one| count(one) > 0)));
    let [off_grain, crosswise, stripes] =
        told.map(|(head, _, is_told)| if is_told { head.to_owned() } else { String::new() });
    let [number, drawbacks, seams, used] = ["", "drawbacks", "seams added", "used"].map(str::to_owned);
    rows.row([number, drawbacks, seams, off_grain, crosswise, stripes, used]);
    let used = |used: &LengthUsed| format!("{} {}", used.name, used_told(Length::from_mm(used.used), unit));
    for (number, one) in (1..).zip(&planned.alternatives) {
        let used: Vec<String> = one.figures.used.iter().map(used).collect();
        let [off_grain, crosswise, stripes] =
            told.map(|(_, count, is_told)| if is_told { count(one).to_string() } else { String::new() });
        rows.row([
            number.to_string(),
            format!("{:.2}", one.cost.total()),
            format!("{:+}", one.figures.seams_added),
            off_grain,
            crosswise,
            stripes,
            used.join(", "),
        ]);
    }
    let ways = counted_as(planned.alternatives.len(), "way to recut", "ways to recut, the best first");
    let mut text = format!("{} {ways}\n{rows}\n", paint.paint(TextTone::Right, "fits:"));
    for (number, one) in (1..).zip(&planned.alternatives) {
        let lines = [one.look(), one.sentence()].into_iter().filter(|line| !line.is_empty());
        let lines: Vec<String> = lines.map(|line| clean(&line).into_owned()).collect();
        text.push_str(&format!("{number}: {}\n", lines.join("\n   ")));
        for line in one.figures.looked_at_twice(unit) {
            text.push_str(&format!("   {}\n", clean(&line)));
        }
        if let Some(untrue) = one.untrue(unit) {
            text.push_str(&format!("   not true {untrue}\n"));
        }
    }
    text.push_str(&format!(
        "{} ways tried, {} fit by width and area, {} laid\n",
        planned.recuts, planned.fitting, planned.trials
    ));
    text
}
