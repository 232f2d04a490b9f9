//! `fit-cloth` on the command line: a cloth in place of a width, and where that cloth is read from.

use std::convert::Infallible;
use std::path::{Path, PathBuf};

use clap::builder::ArgPredicate;
use clap::{Arg, ArgMatches, Args, Command, ValueHint};
use retrue::advice;
use retrue::pattern::{Pattern, Refusal};
use retrue::plan::{narrower, on_selvedge, or_narrower};
use retrue::recipe::fitted::{FIELD, FittedWidth, WIDTH_FIELDS, fitted};
use retrue::recut::{Step, WidthToKeep};
use retrue::units::Unit;

use crate::cli::advice::on_command_line;
use crate::cli::cloth_source::ClothSource;
use crate::cli::errors::Failure;
use crate::cli::fit::unfitted;

/// The cloth that a step's width is to come from.
#[derive(Clone, Debug)]
pub struct FitCloth {
    /// The cloth.
    pub source: ClothSource,
    /// The folder that a cloth file is looked for from.
    pub folder: PathBuf,
}

impl FitCloth {
    /// The cloth that a recipe in a folder names.
    pub fn written(text: &str, folder: &Path) -> FitCloth {
        let source = text.parse().unwrap_or_else(|never: Infallible| match never {});
        FitCloth { source, folder: folder.to_owned() }
    }

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
        fitted(step, pattern, &stock)
            .map_err(|error| unfitted(file, &error))?
            .ok_or_else(|| Failure::fault(format!("`{}` takes no cloth", step.name())))
    }

    /// Why a step is refused whose width comes from the cloth, with the allowances that would do where there are such.
    pub fn or_narrower(&self, refusal: Refusal, step: &Step, pattern: &Pattern) -> Refusal {
        let stock = self.source.read(&self.folder).ok();
        or_narrower(refusal, stock.and_then(|stock| narrower(step, pattern, &stock)))
    }
}

/// What is to be looked at twice of a width that came from a cloth, with the way out where there is one.
pub fn warning(step: &Step, fitted: &FittedWidth, after: &Pattern, unit: Unit) -> Option<String> {
    let warning = fitted.warning(after, unit)?;
    Some(match on_selvedge(step, after, fitted.gives()) {
        Some(set) => format!(
            "{warning}; with its new edge on the selvedge it fits: {}",
            on_command_line(&advice!(set))
        ),
        None => warning,
    })
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
        width.default_value_if(FIELD, ArgPredicate::IsPresent, WidthToKeep::OfCloth.to_string())
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
