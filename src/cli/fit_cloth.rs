//! `fit-cloth`: the width that a step keeps, worked out from the cloth before the step is made.
//!
//! The steps themselves know widths only. Those that have one take a cloth in its place, on the command line and in a
//! recipe; the record keeps the width that came of it.

use std::path::PathBuf;

use clap::builder::ArgPredicate;
use clap::{Arg, ArgMatches, Args, Command, ValueHint};
use retrue::cloth::fit::FitError;
use retrue::cloth::kept::{self, NewEdge};
use retrue::pattern::{Pattern, PieceName};
use retrue::recut::Step;
use retrue::units::{Length, Unit};

use crate::cli::cloth_source::ClothSource;
use crate::cli::errors::Failure;
use crate::cli::fit::unfitted;

/// The field.
pub const FIELD: &str = "fit-cloth";

/// The width that each operation has which can take a cloth in its place.
pub const WIDTH_FIELDS: [(&str, &str); 2] = [("move-seam", "to-width"), ("limit-width", "width")];

/// What stands for the width in a step until the cloth is looked at.
pub const UNTIL_FITTED: &str = "0mm";

/// The name of the width of an operation, if it can take a cloth in its place.
pub fn width_field(operation: &str) -> Option<&'static str> {
    WIDTH_FIELDS.iter().find(|(name, _)| *name == operation).map(|(_, field)| *field)
}

/// The cloth that a step's width is to come from.
#[derive(Clone, Debug)]
pub struct FitCloth {
    /// The cloth.
    pub source: ClothSource,
    /// The folder that a cloth file is looked for from.
    pub folder: PathBuf,
}

/// A width that came from a cloth.
#[derive(Clone, Debug)]
pub struct FittedWidth {
    piece: PieceName,
    gives: f64,
    keeps: f64,
}

impl FitCloth {
    /// The step with its width.
    ///
    /// # Errors
    ///
    /// The cloth cannot be read, or has no room for the piece.
    pub fn resolve(
        &self,
        step: &Step,
        pattern: &Pattern,
        file: &str,
    ) -> Result<(Step, FittedWidth), Failure> {
        let stock = self.source.read(&self.folder)?;
        let refused = |error: FitError| unfitted(file, &error);
        match step {
            Step::MoveSeam(step) => {
                let new = match step.is_lapped_on_selvedge() {
                    true => NewEdge::FreeOnSelvedge,
                    false => NewEdge::AsItWas,
                };
                let kept =
                    kept::kept_beside(pattern, &stock, &step.seam, &step.from, new).map_err(refused)?;
                let fitted = FittedWidth { piece: step.from.clone(), gives: kept.gives, keeps: kept.keeps };
                let mut step = step.clone();
                step.to_width = Some(Length::from_mm(kept.keeps));
                Ok((step.into(), fitted))
            }
            Step::LimitWidth(step) => {
                let gives = kept::widest_panel(pattern, &stock, &step.piece).map_err(refused)?;
                let fitted = FittedWidth { piece: step.piece.clone(), gives, keeps: gives };
                let mut step = step.clone();
                step.width = Length::from_mm(gives);
                Ok((step.into(), fitted))
            }
            other => Err(Failure::fault(format!("`{}` takes no cloth", other.name()))),
        }
    }
}

impl FittedWidth {
    /// What is to be known of it.
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        format!("the cloth gives `{}` {}: a width of {}", self.piece, show(self.gives), show(self.keeps))
    }

    /// What is to be looked at twice: that the piece as it is cut after the step is still wider than the cloth, since
    /// something of it reaches out beyond the seam.
    pub fn warning(&self, after: &Pattern, unit: Unit) -> Option<String> {
        let width = kept::wider_than(after, &self.piece, self.gives)?;
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        Some(format!(
            "`{}` is still {} wide as it is cut, {} more than the cloth: look at the allowances beside the seam",
            self.piece,
            show(width),
            show(width - self.gives)
        ))
    }
}

/// The fields of an operation on the command line, and with them `--fit-cloth` where it has a width.
#[derive(Clone, Debug)]
pub struct StepFields<T> {
    /// The operation's own.
    pub step: T,
    /// The cloth in place of the width.
    pub cloth: Option<ClothSource>,
}

impl<T: clap::FromArgMatches> clap::FromArgMatches for StepFields<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        Ok(StepFields { step: T::from_arg_matches(matches)?, cloth: cloth_of(matches) })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        self.step.update_from_arg_matches(matches)?;
        self.cloth = cloth_of(matches);
        Ok(())
    }
}

impl<T: Args> Args for StepFields<T> {
    fn augment_args(command: Command) -> Command {
        with_cloth(T::augment_args(command))
    }

    fn augment_args_for_update(command: Command) -> Command {
        with_cloth(T::augment_args_for_update(command))
    }
}

fn cloth_of(matches: &ArgMatches) -> Option<ClothSource> {
    matches.try_get_one::<ClothSource>(FIELD).ok().flatten().cloned()
}

/// Adds `--fit-cloth` beside the width of an operation that has one.
fn with_cloth(command: Command) -> Command {
    let is_width = |arg: &&Arg| WIDTH_FIELDS.iter().any(|(_, field)| arg.get_long() == Some(*field));
    let Some(width) = command.get_arguments().find(is_width) else { return command };
    let (id, required) = (width.get_id().clone(), width.is_required_set());
    let command = command.mut_arg(id, |width| {
        let width = width.required(false).conflicts_with(FIELD);
        let width = if required { width.required_unless_present(FIELD) } else { width };
        width.default_value_if(FIELD, ArgPredicate::IsPresent, UNTIL_FITTED)
    });
    command.arg(
        Arg::new(FIELD)
            .long(FIELD)
            .value_name("FILE-OR-SIZE")
            .value_hint(ValueHint::FilePath)
            .value_parser(clap::value_parser!(ClothSource))
            .help("The width that the cloth gives, less the allowances: a cloth file, or \"37cm x 11.4m\""),
    )
}
