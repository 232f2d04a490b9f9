//! `fit`: which pieces the cloth is wide enough for.

use std::cmp::Ordering;
use std::path::Path;

use clap::Args;
use retrue::cloth::GrainChoice;
use retrue::cloth::fit::{Fit, FitError, PieceFit, fit, lying_nowhere};
use retrue::units::{Length, Unit, area, counted};

use crate::cli::cloth_source::ClothSource;
use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io;
use crate::cli::messages::Messages;
use crate::cli::next::NextCommand;
use crate::cli::options::{FormOptions, PatternArgument, ReadingOptions, ReportForm, UnitOptions};
use crate::cli::report::{self, JudgedReport};
use crate::cli::rows::{Align, Rows};

/// Tell which pieces the cloth is wide enough for, and by how much the others miss.
///
/// Each piece by itself, as it is cut: allowances included, half pieces opened out. An edge that is to lie on a selvedge must
/// have one. Whether all of them lie on the cloth together is found by `lay`. Exit code: 0 all fit, 1 something does not, 2 refused.
#[derive(Clone, Debug, Args)]
pub struct FitCommand {
    #[command(flatten)]
    input: PatternArgument,
    #[command(flatten)]
    cloth: ClothOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

/// The cloth, and how the grain is held to it.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Cloth")]
pub struct ClothOptions {
    /// The cloth: a cloth file, or width and length for a quick try, "37cm x 11.4m".
    #[arg(long, value_name = "FILE-OR-SIZE")]
    pub cloth: ClothSource,
    #[command(flatten)]
    pub grain: GrainChoice,
}

impl ClothOptions {
    /// The next command with the same cloth.
    pub fn carried(&self, next: NextCommand) -> NextCommand {
        let degrees = Some(self.grain.grain_tolerance.degrees()).filter(|degrees| *degrees > 0.0);
        next.option("cloth", &self.cloth).maybe("grain-tolerance", degrees)
    }
}

/// What cannot be told of a pattern's widths, as a failure.
pub fn unfitted(file: &str, error: &FitError) -> Failure {
    match error {
        FitError::Piece(refusal) => Failure::refused(file, refusal),
        FitError::Allowance(error) => Failure::uncut(file, error),
    }
}

impl FitCommand {
    /// Tells of the widths.
    ///
    /// # Errors
    ///
    /// The pattern or the cloth cannot be read, or a piece has no cutting line.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let unit = self.unit.unit();
        let read = self.reading.read_judged(&self.input.pattern, messages, unit)?;
        let stock = self.cloth.cloth.read(Path::new(""))?;
        let found: Fit = fit(&read.pattern, &stock, self.cloth.grain.grain_tolerance)
            .map_err(|error| unfitted(&read.name, &error))?;
        match self.form.form() {
            ReportForm::Json => report::print_json("fit", &JudgedReport::of(&read, &found, unit))?,
            ReportForm::Text => {
                io::print_to_read(&text(&found, color.paint_on(&std::io::stdout()), unit))?;
                messages.cloth(&read.pattern, &stock, unit);
                if !found.pieces.is_empty() {
                    messages.next(self.next(&found));
                }
            }
        }
        if found.pieces.is_empty() {
            return Err(Failure::in_file(&read.name, "no piece is cut from a cloth that is at hand")
                .way_out("name the cloths in the cloth file as the pieces do (data-cloth)"));
        }
        Ok(if found.fits { Exit::True } else { Exit::Untrue })
    }
}

impl FitCommand {
    /// A layout where every piece fits, else where to recut; where all that is missing is a selvedge, what does without it.
    fn next(&self, found: &Fit) -> Option<NextCommand> {
        let mut missing = found.pieces.iter().filter(|piece| !piece.fits);
        if let Some(first) = missing.next()
            && let Some(why) = first.off_selvedge.as_ref().filter(|_| first.is_within())
            && missing.all(PieceFit::is_within)
        {
            let edge = format!("{}.{}", first.piece, why.edge());
            let next = NextCommand::on("set-edge", [&self.input.pattern])?.option("edge", edge);
            return Some(self.reading.carried(next.option("selvedge", "no")).into_new("cut.svg"));
        }
        let (command, output) = if found.fits { ("lay", "layout.svg") } else { ("plan", "plans") };
        let next = self.cloth.carried(NextCommand::on(command, [&self.input.pattern])?);
        Some(self.reading.carried(next).into_new(output))
    }
}

/// The verdict, then each piece, what misses most first, then the areas.
fn text(found: &Fit, paint: TextPaint, unit: Unit) -> String {
    let mut rows =
        Rows::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left, Align::Left]);
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let mut pieces: Vec<&PieceFit> = found.pieces.iter().collect();
    pieces.sort_by(|a, b| (a.fits, misses(b)).partial_cmp(&(b.fits, misses(a))).unwrap_or(Ordering::Equal));
    for piece in pieces {
        let gives = piece.lengthwise.gives.map_or_else(|| "-".to_owned(), show);
        rows.row([
            piece.piece.to_string(),
            show(piece.lengthwise.width),
            "of".to_owned(),
            gives,
            piece.cloth.to_string(),
            verdict(piece, unit),
        ]);
    }
    let title = "widths as cut, along the grain, allowances included, half pieces opened out";
    let mut text = format!("{}{}\n{rows}", summary(found, paint), paint.paint(TextTone::Title, title));
    let mut areas = Rows::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left]);
    for cloth in &found.cloths {
        let share = format!("{:.0} %", cloth.needed / cloth.given * 100.0);
        let enough = if cloth.fits { share } else { format!("{share}: not enough, however it is laid") };
        areas.row([
            cloth.cloth.to_string(),
            area(cloth.needed, unit),
            "of".to_owned(),
            area(cloth.given, unit),
            enough,
        ]);
    }
    text.push_str(&format!("{}\n{areas}", paint.paint(TextTone::Title, "areas, all copies")));
    text
}

/// Whether a piece fits, and all that hinders it.
fn verdict(piece: &PieceFit, unit: Unit) -> String {
    match (piece.fits, piece.is_within()) {
        (true, _) => piece.words(unit),
        (false, true) => piece.missing(unit),
        (false, false) => format!("{}{}", piece.words(unit), across(piece, unit)),
    }
}

/// By how much a piece misses along the grain, mm.
fn misses(piece: &PieceFit) -> f64 {
    piece.lengthwise.too_long.max(piece.lengthwise.too_wide)
}

/// Whether all of it fits, in a line.
fn summary(found: &Fit, paint: TextPaint) -> String {
    let missing = found.pieces.iter().filter(|piece| !piece.fits).count();
    match (missing, found.fits) {
        (_, true) => match lying_nowhere(&found.without_cloth) {
            None => format!("{} every piece fits by itself\n", paint.paint(TextTone::Right, "fits:")),
            Some(nowhere) => {
                let word = paint.paint(TextTone::Right, "fits in part:");
                format!("{word} every piece whose cloth is at hand fits by itself; {nowhere}\n")
            }
        },
        (0, false) => {
            format!("{} there is too little cloth\n", paint.paint(TextTone::Wrong, "does not fit:"))
        }
        (count, false) => {
            let all = counted(found.pieces.len(), "piece");
            format!("{} {count} of {all}\n", paint.paint(TextTone::Wrong, "does not fit:"))
        }
    }
}

/// What is to be said across the cloth of a piece that is too wide or too long for it.
fn across(piece: &PieceFit, unit: Unit) -> String {
    let wide = Length::from_mm(piece.crosswise.width).show(unit);
    match piece.crosswise.fits {
        true => format!("; would fit crosswise, {wide} wide: the cloth file does not allow it"),
        false => "; nor does it fit crosswise".to_owned(),
    }
}
