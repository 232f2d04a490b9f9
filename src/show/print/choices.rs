//! What may be chosen of a print: the one definition that the command line and the table share.

use clap::Args;

use crate::pattern::{Pattern, PieceName};
use crate::show::print::{
    Copies, Grouping, Measured, Orientation, Paper, PrintOptions, SheetSize, Throw, Use,
};
use crate::units::{Length, Unit};

/// Narrowest and widest roll that is printed on, mm.
const ROLLS: std::ops::RangeInclusive<f64> = 200.0..=3000.0;

/// Widest margin, and widest overlap of pages, mm.
const WIDEST_MARGIN: f64 = 60.0;
const WIDEST_OVERLAP: f64 = 60.0;

/// What may be chosen of a print.
#[derive(Clone, Debug, Args)]
pub struct PrintChoices {
    /// The paper.
    #[arg(long, value_name = "PAPER", default_value = "a4", ignore_case = true, help_heading = "Paper")]
    pub paper: SheetSize,
    /// Turn the paper: its long side is below.
    #[arg(long, help_heading = "Paper", conflicts_with = "roll")]
    pub landscape: bool,
    /// A roll of this width, as short as the pieces allow.
    #[arg(long, value_name = "WIDTH", conflicts_with = "paper", value_parser = roll, help_heading = "Paper")]
    pub roll: Option<Length>,
    /// One page for each cloth, for a projector at true size: strong lines, and a grid to set it up by.
    #[arg(long, value_name = "THROW", num_args = 0..=1, default_missing_value = "light-on-dark", require_equals = true,
        conflicts_with_all = ["paper", "roll", "landscape", "tiled", "by_cloth"], help_heading = "Paper")]
    pub projector: Option<Throw>,
    /// Let pieces run over several sheets to be put together, also on large paper.
    #[arg(long, conflicts_with = "roll", help_heading = "Paper")]
    pub tiled: bool,
    /// What the printer leaves blank on every side.
    #[arg(long, value_name = "LENGTH", default_value = "12mm", value_parser = margin, help_heading = "Paper")]
    pub margin: Length,
    /// What a page shares with the next.
    #[arg(long, value_name = "LENGTH", default_value = "10mm", value_parser = overlap, help_heading = "Paper")]
    pub overlap: Length,
    /// What the bars measured on an earlier print, across and down; made good for: "100mm=99.2mm x 100.3mm".
    #[arg(long, value_name = "BAR=ACROSS x DOWN", help_heading = "Paper")]
    pub measured: Option<Measured>,
    /// Only this piece; may be given several times.
    #[arg(long = "piece", value_name = "PIECE", help_heading = "Pieces")]
    pub pieces: Vec<PieceName>,
    /// Each cloth on pages of its own.
    #[arg(long, help_heading = "Pieces")]
    pub by_cloth: bool,
    /// Which copies: each piece once as drawn, once with half pieces opened out, or every copy that is cut.
    #[arg(long, value_name = "COPIES", default_value = "as-drawn", help_heading = "Pieces")]
    pub copies: Copies,
    /// The title of the document; otherwise that of the pattern, or its file name.
    #[arg(long, value_name = "TITLE", help_heading = "Pieces")]
    pub title: Option<String>,
}

fn within(text: &str, range: std::ops::RangeInclusive<f64>) -> Result<Length, String> {
    let length: Length = text.parse().map_err(|error: crate::units::UnitError| error.to_string())?;
    if range.contains(&length.mm()) {
        return Ok(length);
    }
    let [least, most] = [range.start(), range.end()].map(|mm| Length::from_mm(*mm));
    Err(format!("it must be from {least} to {most}"))
}

fn roll(text: &str) -> Result<Length, String> {
    within(text, ROLLS)
}

fn margin(text: &str) -> Result<Length, String> {
    within(text, 0.0..=WIDEST_MARGIN)
}

fn overlap(text: &str) -> Result<Length, String> {
    within(text, 0.0..=WIDEST_OVERLAP)
}

impl PrintChoices {
    /// What is printed of a pattern that stands in a file of a name, without its ending; none where it is read from a stream.
    #[must_use]
    pub fn options(&self, pattern: &Pattern, file: Option<&str>, unit: Unit) -> PrintOptions {
        let orientation = if self.landscape { Orientation::Landscape } else { Orientation::Portrait };
        let paper = match (self.projector, self.roll) {
            (Some(throw), _) => Paper::Light(throw),
            (None, Some(width)) => Paper::Roll { width },
            (None, None) => Paper::Sheets(self.paper, orientation),
        };
        let usual = PrintOptions::usual(self.title(pattern, file), paper);
        PrintOptions {
            on: self.tiled.then_some(Use::Together),
            margin: self.margin,
            overlap: self.overlap,
            measured: self.measured,
            copies: self.copies,
            grouping: if self.by_cloth { Grouping::ByCloth } else { usual.grouping },
            pieces: self.pieces.clone(),
            unit,
            ..usual
        }
    }

    fn title(&self, pattern: &Pattern, file: Option<&str>) -> String {
        let told = self.title.clone().or_else(|| pattern.about.title.clone());
        told.or_else(|| file.map(str::to_owned)).unwrap_or_else(|| "pattern".to_owned())
    }
}
