//! `picture`: a pattern to look at.

use clap::{Args, ValueEnum, ValueHint};
use retrue::pattern::{EdgeRef, PieceName};
use retrue::show::picture::{Picture, PictureError, PictureOptions, Pixels, Viewing};

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{Source, Target};
use crate::cli::messages::Messages;
use crate::cli::options::{PatternArgument, ReadingOptions, ReplaceOption, UnitOptions, source, target};

/// Draw a picture of a pattern, every edge named and measured.
///
/// With --before the new pieces lie over the old: what moved is hatched, new seams are drawn strong.
#[derive(Clone, Debug, Args)]
pub struct PictureCommand {
    #[command(flatten)]
    input: PatternArgument,
    /// The pattern as it was before, to lie under the new one.
    #[arg(long, value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    before: Option<Source>,
    /// Only this piece; may be given several times.
    #[arg(long = "piece", value_name = "PIECE")]
    pieces: Vec<PieceName>,
    /// Only this edge, close: front.side.
    #[arg(long, value_name = "PIECE.EDGE", conflicts_with = "pieces")]
    edge: Option<EdgeRef>,
    /// Write the picture to this file, whole or not at all; otherwise, or with -, to standard output.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath, value_parser = target(),
        help_heading = "Writing")]
    output: Option<Target>,
    #[command(flatten)]
    replace: ReplaceOption,
    /// What it is written as; otherwise what the ending of the file's name says, SVG where it has none.
    #[arg(long, value_name = "FORMAT", ignore_case = true, help_heading = "Writing")]
    format: Option<Format>,
    /// The longer side of a PNG, in pixels.
    #[arg(long, value_name = "PIXELS", default_value_t = 2000, value_parser = clap::value_parser!(u32).range(16..=20_000),
        help_heading = "Writing")]
    pixels: u32,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
}

/// What a picture is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Lines, to be looked at in any size.
    Svg,
    /// Pixels.
    Png,
}

impl Format {
    /// The format that is asked for, else the one that the file's name ends with.
    ///
    /// # Errors
    ///
    /// Refuses a name that ends as neither.
    pub fn of(asked: Option<Format>, target: &Target) -> Result<Format, Failure> {
        let path = match (asked, target) {
            (Some(format), _) => return Ok(format),
            (None, Target::Stream) => return Ok(Format::Svg),
            (None, Target::File(path)) => path,
        };
        let Some(ending) = path.extension() else { return Ok(Format::Svg) };
        let ending = ending.to_string_lossy();
        Format::from_str(&ending, true).map_err(|_| {
            let named = |ending: &str| path.with_extension(ending).display().to_string();
            Failure::in_file(path.display(), format!("a picture is SVG or PNG, not `.{ending}`"))
                .way_out(format!("name it {} or {}, or say which with --format", named("svg"), named("png")))
        })
    }
}

impl PictureCommand {
    /// Draws the picture.
    ///
    /// # Errors
    ///
    /// A pattern cannot be read or drawn, or the file cannot be written.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let target = self.output.clone().unwrap_or(Target::Stream);
        let format = Format::of(self.format, &target)?;
        let existing = self.replace.existing();
        target.refuse_unwritable(existing)?;
        let read = self.reading.read_judged(&self.input.pattern, messages, self.unit.unit())?;
        let before = self.before.as_ref().map(|before| self.reading.read(before, messages)).transpose()?;
        target.refuse_unwritable(existing)?;
        let options = PictureOptions {
            pieces: self.pieces.clone(),
            edge: self.edge.clone(),
            unit: self.unit.unit(),
            seen: Viewing::Alone,
        };
        let failed = |error: PictureError| unpictured(&read.name, &error);
        let before = before.as_ref().map(|before| &before.pattern);
        let picture = Picture::of(&read.name, &read.pattern, before, &options).map_err(failed)?;
        match format {
            Format::Svg => target.write(picture.svg(), existing)?,
            Format::Png => target.write(picture.png(Pixels(self.pixels)).map_err(failed)?, existing)?,
        }
        Ok(Exit::True)
    }
}

/// Why there is no picture, as a failure.
pub fn unpictured(file: &str, error: &PictureError) -> Failure {
    let failure = Failure::in_file(file, error);
    match error {
        PictureError::Unknown(refusal) => Failure::refused(file, refusal),
        PictureError::Allowance(error) => Failure::uncut(file, error),
        PictureError::Nothing => failure.way_out("name a pattern with pieces on it"),
        PictureError::Pixels(_) => failure.way_out("ask for fewer --pixels, or for SVG"),
    }
}
