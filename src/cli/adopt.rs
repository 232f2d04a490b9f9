//! `adopt`: bringing in a drawing that nobody drew as a pattern sheet.

use clap::{Args, ValueHint};
use retrue::sheet::adopt::{self, AdoptError, Asked, CornerAngle, Correction, Found, SizeChoice};

use crate::cli::adopt_text;
use crate::cli::color::ColorChoice;
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{self, Existing, LARGEST_PATTERN, Source, Target};
use crate::cli::messages::Messages;
use crate::cli::options::{Form, FormOptions, ReadingOptions, UnitOptions, source, target};
use crate::cli::report::{self, AdoptReport};

/// Bring in a drawing that is not yet a pattern sheet: find its outlines, and make pieces of them by a map.
///
/// Without a map it lists what was found, by letters and numbers; --picture draws them so that you can point. Write a
/// map to fill in with --map-template, then make the pattern sheet with --map.
#[derive(Clone, Debug, Args)]
pub struct Adopt {
    /// The drawing, an SVG file, or - for standard input.
    #[arg(value_name = "DRAWING", value_hint = ValueHint::FilePath, value_parser = source())]
    drawing: Source,
    /// Draw what was found, each outline with its letter and each edge with its number and length.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(), help_heading = "Writing")]
    picture: Option<Target>,
    /// Replace files that exist.
    #[arg(long, help_heading = "Writing")]
    force: bool,
    /// Of several nested sizes take this one: "style 3", "colour #c00000", "layer NAME" or "text 38".
    #[arg(long, value_name = "SIZE", help_heading = "Reading")]
    size: Option<SizeChoice>,
    /// Correct the scale by the test square or bar in the drawing.
    #[arg(long, help_heading = "Reading")]
    correct_scale: bool,
    /// The least turn that is a corner, in degrees (20 unless said otherwise).
    #[arg(long, value_name = "DEGREES", value_parser = corner_angle, help_heading = "Reading")]
    corner_angle: Option<CornerAngle>,
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

impl Adopt {
    /// Finds what stands in the drawing, and does with it what is asked for.
    ///
    /// # Errors
    ///
    /// The drawing cannot be read, or a file cannot be written.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let existing = if self.force { Existing::Replace } else { Existing::Keep };
        if let Some(picture) = &self.picture {
            picture.refuse_unwritable(existing)?;
        }
        let name = self.drawing.name();
        let bytes = self.drawing.read(LARGEST_PATTERN)?;
        let found = adopt::find(&bytes, &self.asked()).map_err(|error| failure(&name, &error))?;
        self.tell_notes(&name, &found, messages);
        if let Some(picture) = &self.picture {
            let drawn = adopt::picture(&found, self.unit.unit())
                .map_err(|error| Failure::in_file(&name, format!("the picture cannot be drawn: {error}")))?;
            picture.write(&drawn, existing)?;
        }
        let told = self.picture == Some(Target::Stream);
        let report = AdoptReport::of(&name, &found);
        match self.form.form() {
            _ if told => {}
            Form::Json => report::print_json("adopt", &report)?,
            Form::Text => {
                let paint = color.paint_on(&std::io::stdout());
                io::print(&adopt_text::text(&report, paint, self.unit.unit()))?;
            }
        }
        Ok(if found.scale.is_true() && found.gaps.is_empty() { Exit::True } else { Exit::Untrue })
    }

    fn asked(&self) -> Asked {
        let options = self.reading.options();
        Asked {
            unit: options.unit,
            known: options.known,
            correction: if self.correct_scale { Correction::Correct } else { Correction::Tell },
            size: self.size.clone(),
            corner: self.corner_angle.unwrap_or_default(),
        }
    }

    fn tell_notes(&self, name: &str, found: &Found, messages: &Messages) {
        for note in &found.notes {
            messages.note(format!("{name}: {note}"));
        }
        for sentence in adopt_text::untrue(found, self.unit.unit()) {
            messages.untrue(format!("{name}: {sentence}"));
        }
    }
}

fn failure(name: &str, error: &AdoptError) -> Failure {
    match error {
        AdoptError::Drawing(error) => match error.line() {
            Some(line) => Failure::in_file(format!("{name}:{line}"), error),
            None => Failure::in_file(name, error),
        },
        AdoptError::Asked(refusal) => Failure::refused(name, refusal),
        other => Failure::in_file(name, other),
    }
}
