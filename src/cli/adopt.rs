//! `adopt`: bringing in a drawing that nobody drew as a pattern sheet.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

use clap::{Args, ValueHint};
use retrue::adopt::{
    self, AdoptError, AdoptNote, Asked, CornerAngle, Correction, Found, Map, OneFile, Rendered, ScaleSource,
    SizeChoice, Untrue,
};
use retrue::drawing::Password;
use retrue::drawing::pages::PageChoice;
use retrue::sheet;
use retrue::toml_file::TextFault;
use retrue::truing::Verdict;

use crate::cli::adopt_text;
use crate::cli::advice::{as_argument, on_command_line};
use crate::cli::color::ColorChoice;
use crate::cli::errors::{Failure, UserText};
use crate::cli::exit::Exit;
use crate::cli::file_sort::FileSort;
use crate::cli::io::{self, ExistingOutput, Source, Target};
use crate::cli::messages::Messages;
use crate::cli::next::{NextCommand, free};
use crate::cli::options::{
    FormOptions, ReadingOptions, ReplaceOption, ReportForm, UnitOptions, source, target,
};
use crate::cli::report::{self, AdoptReport, AdoptedReport, VerdictReport};

/// Bring in a drawing that is not yet a pattern sheet: find its outlines, and make pieces of them by a map.
///
/// Without a map it lists what was found, by letters and numbers; --picture draws them with these. Write a
/// map to fill in with --map-template, then make the pattern sheet with --map.
#[derive(Clone, Debug, Args)]
pub struct AdoptCommand {
    /// The drawing, a PDF or SVG file, or - for standard input; several where its pages are several files.
    #[arg(value_name = "DRAWING", value_hint = ValueHint::FilePath, value_parser = source(), required = true)]
    drawing: Vec<Source>,
    /// Draw what was found, each outline with its letter and each edge with its number and length.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), help_heading = "Writing")]
    picture: Option<Target>,
    /// What the outlines and lines are: a map, a TOML file, or - for standard input.
    #[arg(long, value_name = "MAP", value_hint = ValueHint::FilePath, value_parser = source(), help_heading = "Input")]
    map: Option<Source>,
    /// Write a map to fill in, with all in it that can be guessed.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), conflicts_with = "map",
          help_heading = "Writing")]
    map_template: Option<Target>,
    /// With a map: write the pattern sheet to this file; otherwise, or with -, to standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), requires = "map",
          help_heading = "Writing")]
    output: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    /// Of several nested sizes take this one: "style 3", "colour #c00000", "layer NAME" or "text 38".
    #[arg(long, value_name = "SIZE", help_heading = "Input")]
    size: Option<SizeChoice>,
    /// Correct the scale by the test square or bar in the drawing.
    #[arg(long, help_heading = "Input")]
    correct_scale: bool,
    /// The least turn that is a corner, in degrees (20 unless said otherwise).
    #[arg(long, value_name = "DEGREES", value_parser = corner_angle, help_heading = "Input")]
    corner_angle: Option<CornerAngle>,
    /// How its pages are put together: "auto", or columns x rows, "5 x 6", row by row. After it may stand "by columns";
    /// "from 2", its first page; and "blank 7,12", places for which no page was printed.
    #[arg(long, value_name = "GRID", help_heading = "Input")]
    pages: Option<PageChoice>,
    /// A file with the password of an encrypted PDF in its first line.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = source(), help_heading = "Input")]
    password_file: Option<Source>,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

fn corner_angle(text: &str) -> Result<CornerAngle, String> {
    let degrees = text.trim().trim_end_matches('°').parse().ok().and_then(CornerAngle::degrees);
    degrees.ok_or_else(|| "an angle over 0 and under 180 degrees was expected, as in 20".to_owned())
}

impl AdoptCommand {
    /// Finds what stands in the drawing, and does with it what is asked for.
    ///
    /// # Errors
    ///
    /// The drawing cannot be read, or a file cannot be written.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let existing = self.replace.existing();
        self.refuse_targets(existing)?;
        let names: Vec<String> = self.drawing.iter().map(Source::name).collect();
        let name = names.join(", ");
        let map = self.map.as_ref().map(ReadMap::read).transpose()?;
        let asked = self.asked(map.as_ref())?;
        let bytes = self.drawing.iter().map(|file| file.read(FileSort::Drawing));
        let bytes = bytes.collect::<Result<Vec<_>, _>>()?;
        self.refuse_targets(existing)?;
        let files = names.iter().zip(&bytes).map(|(name, bytes)| OneFile { name, bytes });
        let files: Vec<OneFile<'_>> = files.collect();
        let found = with_progress(messages, &name, || adopt::find_in_several(&files, &asked))
            .map_err(|error| failure(&name, map.as_ref(), &error))?;
        self.tell_notes(&name, &found, messages);
        if let Some(target) = &self.picture {
            let rendered = match bytes.as_slice() {
                [only] => Rendered::of(only),
                _ => None,
            };
            let drawn = adopt::picture_over(&found, rendered.as_ref(), self.unit.unit())
                .map_err(|error| Failure::in_file(&name, format!("the picture cannot be drawn: {error}")))?;
            target.write(&drawn, existing)?;
        }
        if let Some(target) = &self.map_template {
            target.write(adopt::template(&found, &asked), existing)?;
        }
        let is_true = found.untrue(self.unit.unit()).is_empty();
        let mut exit = if is_true { Exit::True } else { Exit::Untrue };
        match &map {
            Some(map) => {
                let (verdict, all_known) = self.make(&name, &found, map, existing, messages)?;
                if all_known == PatternTold::InPart || !verdict.is_true() {
                    exit = Exit::Untrue;
                }
                if self.form.form() == ReportForm::Json {
                    let truth = VerdictReport::of(&verdict, self.unit.unit());
                    let found = AdoptReport::of(&name, &found);
                    report::print_json("adopt", &AdoptedReport { found, truth })?;
                }
            }
            None => self.list(&name, &found, color)?,
        }
        if self.form.form() == ReportForm::Text {
            messages.next(self.next(&found));
        }
        Ok(exit)
    }

    /// A map to fill in, then the pattern sheet by it, then its check; none where there is no outline, or no scale to go by.
    fn next(&self, found: &Found) -> Option<NextCommand> {
        if found.outlines.is_empty() || found.scale.source == ScaleSource::Unknown {
            return None;
        }
        let stem = self.drawing.first()?.stem()?;
        match (&self.map, &self.map_template, &self.output) {
            (Some(_), _, Some(made)) => NextCommand::on("check", [&Source::from(made)]),
            (None, Some(template), _) => {
                let next = NextCommand::again(&self.drawing, &["--map-template=", "--picture=", "--force"])?;
                let Target::File(map) = template else { return None };
                Some(next.option("map", map.display()).into_new(&format!("{stem}.svg")))
            }
            (None, None, _) => {
                let next = NextCommand::again(&self.drawing, &["--picture=", "--force"])?;
                let next = next.option("picture", free(&format!("{stem}-found.svg")));
                Some(next.option("map-template", free(&format!("{stem}.map.toml"))))
            }
            (Some(_), _, None) => None,
        }
    }

    fn refuse_targets(&self, existing: ExistingOutput) -> Result<(), Failure> {
        let output = self.map.as_ref().map(|_| self.output.clone().unwrap_or(Target::Stream));
        let targets = [self.picture.as_ref(), self.map_template.as_ref(), output.as_ref()];
        let mut streams = targets.iter().filter(|target| **target == Some(&Target::Stream)).count();
        streams += usize::from(self.form.form() == ReportForm::Json);
        if streams > 1 {
            let what = "two things would go to standard output";
            return Err(Failure::new(what, "name files for the pattern (-o), the picture and the map"));
        }
        let targets: Vec<&Target> = targets.into_iter().flatten().collect();
        if let Some((i, twice)) =
            targets.iter().enumerate().find(|(i, target)| targets[..*i].contains(target))
            && let Target::File(path) = twice
        {
            let what =
                format!("the pattern, the picture and the map: {} of them would go to this file", i + 1);
            return Err(Failure::in_file(path.display(), what).way_out("give each a file of its own"));
        }
        targets.into_iter().try_for_each(|target| target.refuse_unwritable(existing))
    }

    /// Lists what was found, unless something else has standard output.
    fn list(&self, name: &str, found: &Found, color: ColorChoice) -> Result<(), Failure> {
        let taken = [&self.picture, &self.map_template].iter().any(|target| **target == Some(Target::Stream));
        let report = AdoptReport::of(name, found);
        match self.form.form() {
            _ if taken => Ok(()),
            ReportForm::Json => report::print_json("adopt", &report),
            ReportForm::Text => {
                let paint = color.paint_on(&std::io::stdout());
                io::print_to_read(&adopt_text::text(&report, paint, self.unit.unit()))
            }
        }
    }

    /// Makes the pattern sheet, and tells whether the pattern is true.
    fn make(
        &self,
        name: &str,
        found: &Found,
        map: &ReadMap,
        existing: ExistingOutput,
        messages: &Messages,
    ) -> Result<(Verdict, PatternTold), Failure> {
        refuse_scale(name, found)?;
        let adopted = adopt::make(found, &map.map).map_err(|error| failure(name, Some(map), &error))?;
        for note in &adopted.notes {
            if note.is_untrue() { messages.untrue(note) } else { messages.warning(note) }
        }
        let sheet = sheet::write(&adopted.pattern).map_err(|error| Failure::unwritten(name, &error))?;
        let target = self.output.clone().unwrap_or(Target::Stream);
        target.write(&sheet, existing)?;
        let verdict = Verdict::of(&adopted.pattern);
        messages.verdict(&verdict, &Source::from(&target), self.unit.unit());
        let in_part = adopted.notes.iter().any(AdoptNote::is_untrue);
        Ok((verdict, if in_part { PatternTold::InPart } else { PatternTold::All }))
    }

    /// What is asked of the drawing: as the map says, the command line before it.
    fn asked(&self, map: Option<&ReadMap>) -> Result<Asked, Failure> {
        let mapped = match map {
            Some(map) => map.map.asked().map_err(|error| map.failure(&error))?,
            None => Asked::default(),
        };
        let options = self.reading.options();
        let correction = if self.correct_scale { Correction::Correct } else { mapped.correction };
        Ok(Asked {
            unit: options.unit.or(mapped.unit),
            known: options.known.or(mapped.known),
            correction,
            size: self.size.clone().or(mapped.size),
            corner: self.corner_angle.unwrap_or(mapped.corner),
            pages: self.pages.clone().unwrap_or(mapped.pages),
            password: self.password_file.as_ref().map(password).transpose()?,
        })
    }

    fn tell_notes(&self, name: &str, found: &Found, messages: &Messages) {
        for line in found.pages.iter().flat_map(|pages| pages.lines()) {
            messages.note(format!("{name}: {line}"));
        }
        for note in &found.notes {
            let way_out = note.way_out().map(|advice| format!(": {}", on_command_line(&advice)));
            messages.note(format!("{name}: {note}{}", way_out.unwrap_or_default()));
        }
        let sizes: Vec<String> =
            adopt::offered_sizes(found).iter().map(|size| as_argument(&size.choice.to_string())).collect();
        if !sizes.is_empty() {
            let one_of = sizes.join(", ");
            messages.note(format!("{name}: sizes lie one in another: take one with --size {one_of}"));
        }
        for untrue in found.untrue(self.unit.unit()) {
            messages.untrue(format!("{name}: {}", said(&untrue)));
        }
    }
}

/// The password that stands in the first line of a file.
fn password(file: &Source) -> Result<Password, Failure> {
    let text = file.read_text(FileSort::Password)?;
    match text.source.trim_start_matches('\u{feff}').lines().next().filter(|line| !line.is_empty()) {
        Some(line) => Ok(Password::new(line)),
        None => Err(Failure::in_file(file.name(), "there is no password in the first line")
            .way_out("write it there, and nothing else")),
    }
}

/// How much of the pattern the drawing tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PatternTold {
    /// All of it.
    All,
    /// There are stretches that it does not tell.
    InPart,
}

/// Does work, and says on a terminal each second that it is still being done.
fn with_progress<T>(messages: &Messages, name: &str, work: impl FnOnce() -> T) -> T {
    if !std::io::stderr().is_terminal() {
        return work();
    }
    std::thread::scope(|scope| {
        let (done, wait) = mpsc::channel::<()>();
        scope.spawn(move || {
            let mut seconds = 0;
            while wait.recv_timeout(Duration::from_secs(1)) == Err(RecvTimeoutError::Timeout) {
                seconds += 1;
                messages.note(format!("{name}: still looking for outlines, {seconds} s"));
            }
        });
        let made = work();
        drop(done);
        made
    })
}

/// A pattern is made only at a scale that is known, and the same across and down.
fn refuse_scale(name: &str, found: &Found) -> Result<(), Failure> {
    if found.scale.source == ScaleSource::Unknown {
        let what = "the drawing does not say how large it is";
        let way_out = "say --unit mm (or cm, in, px, pt), or how long something is: --known \"A=100mm\"; the map has `unit` \
                       and `known` as well";
        return Err(Failure::in_file(name, what).way_out(way_out));
    }
    match found.scale.check().filter(|check| check.is_stretched()) {
        Some(check) => Err(Failure::in_file(name, said(&check.untrue()))),
        None => Ok(()),
    }
}

fn said(untrue: &Untrue) -> String {
    format!("{}; {}", untrue.what, on_command_line(&untrue.way_out))
}

/// A map, and its text to show what is wrong with it.
struct ReadMap {
    map: Map,
    text: Arc<UserText>,
}

impl ReadMap {
    fn read(source: &Source) -> Result<ReadMap, Failure> {
        let text = source.read_text(FileSort::Map)?;
        match Map::read(&text.source) {
            Ok(map) => Ok(ReadMap { map, text }),
            Err(error) => Err(Failure::in_fault(&text, &error)),
        }
    }

    fn failure(&self, error: &TextFault) -> Failure {
        Failure::in_fault(&self.text, error)
    }
}

fn failure(name: &str, map: Option<&ReadMap>, error: &AdoptError) -> Failure {
    match (error, map) {
        (AdoptError::Drawing(error), _) => Failure::in_drawing(name, error),
        (AdoptError::OneOfSeveral { file, error }, _) => Failure::in_drawing(file, error),
        (AdoptError::Asked(refusal), _) => Failure::refused(name, refusal),
        (AdoptError::Map(error), Some(map)) => map.failure(error),
        (AdoptError::Pages { .. } | AdoptError::TooLarge, _) => {
            Failure::in_file(name, error).way_out(on_command_line(&error.way_out()))
        }
        (other, _) => Failure::in_file(name, other),
    }
}
