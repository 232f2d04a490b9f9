//! `lay`: the pieces on the cloth.

use std::path::Path;

use clap::{Args, ValueHint};
use indexmap::IndexMap;
use retrue::cloth::fit::lying_nowhere;
use retrue::cloth::layout::{
    GroundSource, Laid, LaidVerdict, LayChoices, LayError, LayTask, MOST_SECONDS, USUAL_SECONDS,
};
use retrue::cloth::picture;
use retrue::cloth::search::Stop;
use retrue::pattern::ClothName;
use retrue::show::{self, picture::Pixels};
use retrue::units::{Unit, counted_as};

use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit::ClothOptions;
use crate::cli::io::{self, ExistingOutput, Target};
use crate::cli::messages::{CAUTION, Loudness, Messages};
use crate::cli::next::NextCommand;
use crate::cli::options::{
    FormOptions, PatternArgument, ReadingOptions, ReplaceOption, ReportForm, UnitOptions, target,
};
use crate::cli::picture::Format;
use crate::cli::progress::ProgressLine;
use crate::cli::report::{self, LayReport};
use crate::cli::rows::{Align, Rows};

/// How many times as long is searched where a first search found nothing.
const LONGER: u64 = 3;

/// The longer side of the garment as it is sewn, where it is drawn in pixels.
const SEWN_PIXELS: Pixels = Pixels(2400);

/// Lay the pieces on the cloth: a cutting layout to scale, as SVG.
///
/// Every copy lies with its grain along the cloth, left and right apart, half pieces opened out. Flaws are avoided, edges
/// lie on the selvedge where the pattern says so, and stripes meet at the stitching line of the seams named. What is found
/// is held against the true cutting lines before it is written. Ctrl-C ends the search and takes the best so far.
///
/// Exit code: 0 it fits, 1 no layout was found or there is none, and why, 2 refused.
#[derive(Clone, Debug, Args)]
pub struct LayCommand {
    #[command(flatten)]
    input: PatternArgument,
    #[command(flatten)]
    cloth: ClothOptions,
    #[command(flatten)]
    choices: LayChoices,
    /// Write the layout to this file, whole or not at all; otherwise, or with -, to standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), help_heading = "Writing")]
    output: Option<Target>,
    /// Draw besides what the garment will look like, to this file: front, back and sleeves, pieces joined at their seams with the
    /// cloth on them; SVG, or PNG where the name ends so.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), help_heading = "Writing")]
    sewn: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl LayCommand {
    /// Searches for a layout, tells of it and writes it.
    ///
    /// # Errors
    ///
    /// The pattern or the cloth cannot be read, what is asked for is not in them, or the layout cannot be written.
    pub fn run(&self, messages: &Messages, color: ColorChoice, loudness: Loudness) -> Result<Exit, Failure> {
        let (form, unit) = (self.form.form(), self.unit.unit());
        let (target, existing) = self.target(form)?;
        let read = self.reading.read_judged(&self.input.pattern, messages, unit)?;
        let stock = self.cloth.cloth.read(Path::new(""))?;
        let wish = self.choices.wish(self.cloth.grain.grain_tolerance);
        let task = LayTask::of(&read.pattern, &stock, wish).map_err(|error| unlaid(&read.name, &error))?;
        target.refuse_unwritable(existing)?;
        let laid = self.search(&task, unit, loudness).map_err(|error| unlaid(&read.name, &error))?;
        let fits = laid.verdict == LaidVerdict::Fits;
        if let Some(sewn) = self.sewn.as_ref().filter(|_| fits) {
            self.write_sewn(sewn, &task, &laid)?;
        }
        let written = if fits {
            target.write(picture::layout(&task, &laid, unit), existing)?;
            match &target {
                Target::File(path) => Some(path.display().to_string()),
                Target::Stream => None,
            }
        } else {
            None
        };
        match form {
            ReportForm::Json => {
                report::print_json("lay", &LayReport::of(&read, &task, &laid, written, unit))?;
            }
            ReportForm::Text => {
                let paint = color.paint_on(&std::io::stdout());
                tell((&task, &laid), &target, (paint, unit), messages)?;
                messages.next(self.next(&laid.verdict));
            }
        }
        Ok(if fits { Exit::True } else { Exit::Untrue })
    }

    /// The print of what lies, a longer search where nothing was found, and where to recut where nothing can be.
    fn next(&self, verdict: &LaidVerdict) -> Option<NextCommand> {
        let pattern = &self.input.pattern;
        let next = match verdict {
            LaidVerdict::Fits => {
                let print = NextCommand::on("print", [pattern])?;
                let shown = match &self.output {
                    Some(Target::File(path)) => print.option("layout", path.display()),
                    Some(Target::Stream) | None => print,
                };
                shown.into_new(&format!("{}.pdf", pattern.stem()?))
            }
            LaidVerdict::NotFound { .. } => return self.searched_longer(),
            LaidVerdict::Impossible(_) => {
                self.cloth.carried(NextCommand::on("plan", [pattern])?).into_new("plans")
            }
        };
        Some(self.reading.carried(next))
    }

    fn searched_longer(&self) -> Option<NextCommand> {
        let next = NextCommand::again([&self.input.pattern], &["--seconds=", "--iterations="])?;
        let next = match self.choices.iterations {
            Some(passes) => next.option("iterations", passes.saturating_mul(LONGER)),
            None => {
                let seconds = self.choices.seconds.unwrap_or(USUAL_SECONDS) * LONGER as f64;
                next.option("seconds", seconds.min(MOST_SECONDS))
            }
        };
        Some(if self.output.is_some() { next } else { next.into_new("layout.svg") })
    }

    fn target(&self, form: ReportForm) -> Result<(Target, ExistingOutput), Failure> {
        let target = self.output.clone().unwrap_or(Target::Stream);
        if form == ReportForm::Json && target == Target::Stream {
            return Err(Failure::new(
                "--json puts the report on standard output, where the layout would go",
                "name a file for the layout with -o",
            ));
        }
        let existing = self.replace.existing();
        target.refuse_ending_of_another_sort("a layout, drawn in SVG,", &["svg"])?;
        target.refuse_unwritable(existing)?;
        self.sewn_target(&target)?;
        Ok((target, existing))
    }

    /// Where the garment as it is sewn goes to.
    fn sewn_target(&self, layout: &Target) -> Result<(), Failure> {
        let Some(sewn) = &self.sewn else { return Ok(()) };
        if sewn == layout {
            return Err(Failure::new(
                "the layout and the garment as it is sewn would go to the same place",
                "name another file with --sewn",
            ));
        }
        sewn.refuse_ending_of_another_sort("a picture, drawn in SVG or PNG,", &["svg", "png"])?;
        sewn.refuse_unwritable(self.replace.existing())
    }

    fn write_sewn(&self, sewn: &Target, task: &LayTask<'_>, laid: &Laid) -> Result<(), Failure> {
        let svg = picture::sewn(task, laid, self.unit.unit());
        match Format::of(None, sewn)? {
            Format::Svg => sewn.write(svg, self.replace.existing()),
            Format::Png => {
                let png = show::picture::png(&svg, SEWN_PIXELS).map_err(Failure::fault)?;
                sewn.write(png, self.replace.existing())
            }
        }
    }

    fn search(&self, task: &LayTask<'_>, unit: Unit, loudness: Loudness) -> Result<Laid, LayError> {
        let budget = self.choices.budget();
        let stopped = interrupted();
        let mut line = ProgressLine::new(loudness);
        let laid = task.search(&budget, &mut |progress| {
            line.show(|| format!("{} (Ctrl-C takes the best so far)", progress.sentence(unit)));
            stopped.goes_on()
        });
        line.clear();
        laid
    }
}

/// Raised when the user asks to stop.
fn interrupted() -> Stop {
    let stop = Stop::default();
    let raised = stop.clone();
    // Where no handler can be set, Ctrl-C ends the program as it would any other.
    let _ = ctrlc::set_handler(move || raised.raise());
    stop
}

/// Why a layout cannot be looked for, as a failure.
pub fn unlaid(file: &str, error: &LayError) -> Failure {
    match error {
        LayError::Pattern(refusal) => Failure::refused(file, refusal),
        LayError::Unsound(what) => Failure::fault(format!("the layout does not hold: {what}")),
        LayError::Search(error) => Failure::fault(error),
        LayError::NoStripes { .. } => Failure::in_file(file, error)
            .way_out("add its stripes or colours to the cloth file: stripes = { repeat = \"64mm\" }"),
        LayError::NoLevel { nearest, .. } => Failure::in_file(file, error).way_out(match nearest {
            Some(nearest) => format!("did you mean `{nearest}`?"),
            None => "draw it on the pieces: a path of kind `level`".to_owned(),
        }),
        LayError::LevelOnPlainCloth(_) => Failure::in_file(file, error)
            .way_out("add its stripes or colours to the cloth file: stripes = { repeat = \"64mm\" }"),
        LayError::TooMany { .. } => Failure::in_file(file, error)
            .way_out("lay fewer at a time: set-piece --cut says how often a piece is cut"),
        LayError::TwoCloths { .. } => Failure::in_file(file, error).way_out("leave this seam out"),
        LayError::Allowance(error) => Failure::uncut(file, error),
        LayError::Gap { .. } | LayError::NoCloth(_) | LayError::NothingToLay => Failure::in_file(file, error),
    }
}

fn tell(
    (task, laid): (&LayTask<'_>, &Laid),
    target: &Target,
    (paint, unit): (TextPaint, Unit),
    messages: &Messages,
) -> Result<(), Failure> {
    messages.cloth(task.pattern, task.stock, unit);
    for found in &laid.matches {
        for told in found.told(unit) {
            let say =
                |sentence| if told.is_met { messages.note(sentence) } else { messages.warning(sentence) };
            told.sentences.into_iter().for_each(say);
        }
    }
    for level in &laid.levels {
        for sentence in level.sentences(unit) {
            if level.is_met() { messages.note(sentence) } else { messages.warning(sentence) }
        }
    }
    match &laid.verdict {
        LaidVerdict::Fits => {
            match target {
                Target::File(_) => io::print_to_read(&text(task, laid, paint, unit))?,
                Target::Stream => text(task, laid, TextPaint::Plain, unit)
                    .lines()
                    .for_each(|line| messages.note(line.trim())),
            }
            unused_panels(task, laid).into_iter().for_each(|sentence| messages.note(sentence));
            messages.note(CAUTION);
        }
        LaidVerdict::NotFound { .. } => {
            let missed = laid.missed(unit).unwrap_or_default();
            messages.untrue(format!("{missed}. There may be one: search longer, or with another --seed"));
        }
        LaidVerdict::Impossible(reasons) => {
            for reason in reasons {
                messages.untrue(format!("it cannot be laid: {}", reason.sentence(unit)));
            }
        }
    }
    Ok(())
}

/// The panels of the pieces' cloths on which nothing lies, or not on all of their copies.
fn unused_panels(task: &LayTask<'_>, laid: &Laid) -> Vec<String> {
    let mut counts: IndexMap<(&ClothName, &str), [usize; 2]> = IndexMap::new();
    for (ground, usage) in task.grounds.iter().zip(&laid.uses) {
        if let GroundSource::Panel { name, .. } = &ground.source
            && task.copies.iter().any(|copy| copy.cloth == ground.cloth)
        {
            let [unused, all] = counts.entry((&ground.cloth, name.as_str())).or_default();
            *unused += usize::from(usage.copies == 0);
            *all += 1;
        }
    }
    let unused = counts.into_iter().filter(|(_, [unused, _])| *unused > 0);
    unused
        .map(|((_, name), counts)| match counts {
            [unused, all] if unused == all => format!("the panel `{name}` is not used"),
            [unused, all] => format!("{unused} of the {all} copies of the panel `{name}` are not used"),
        })
        .collect()
}

/// What is used of each cloth, and what is left.
fn text(task: &LayTask<'_>, laid: &Laid, paint: TextPaint, unit: Unit) -> String {
    let mut rows = Rows::new([Align::Left, Align::Left, Align::Right, Align::Left]);
    for (ground, usage) in task.grounds.iter().zip(&laid.uses) {
        if usage.copies == 0 && matches!(ground.source, GroundSource::Panel { .. }) {
            continue;
        }
        let (_, length) = ground.size();
        let (used, left) = (usage.used_of(length, unit), usage.left_over(unit).unwrap_or_default());
        rows.row([ground.name(), counted_as(usage.copies, "copy", "copies"), used, left]);
    }
    let (word, nowhere) = match lying_nowhere(&task.without_cloth) {
        None => ("fits:", String::new()),
        Some(nowhere) => ("fits in part:", format!("; {nowhere}")),
    };
    let word = paint.paint(TextTone::Right, word);
    format!("{word} every copy lies on the cloth, checked along its cutting line{nowhere}\n{rows}")
}
