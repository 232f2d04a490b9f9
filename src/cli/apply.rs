//! `apply`: the steps of a recipe, one after another, on one pattern or on many.

use clap::{Args, ValueHint};
use retrue::recipe::{Given, OnOrOff};

use crate::cli::batch::Batch;
use crate::cli::batch_files::{self, BatchPart};
use crate::cli::chain::{ChainOutcome, PlannedStep};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit_cloth::FitCloth;
use crate::cli::io::{ExistingOutput, Source};
use crate::cli::messages::{Loudness, Messages};
use crate::cli::options::{FormOptions, ReadingOptions, UnitOptions, WritingOptions, source};
use crate::cli::outlet::Outlet;
use crate::cli::recipe::{RecipeFile, WrittenStep};

/// Do the steps of a recipe, one after another, on one pattern or on many.
#[derive(Clone, Debug, Args)]
pub struct ApplyCommand {
    /// The recipe, a TOML file, or - for standard input.
    #[arg(value_name = "RECIPE", value_hint = ValueHint::FilePath, value_parser = source())]
    recipe: Source,
    /// The pattern sheet, or - for standard input; otherwise the one that the recipe names.
    #[arg(value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    pattern: Option<Source>,
    /// Do them on each of these patterns, several at a time: names of files, or "sizes/*.svg". In -o, {name} stands
    /// for the name of each file without its ending; what came of each is told in a table.
    #[arg(long, value_name = "FILES", num_args = 1.., value_hint = ValueHint::FilePath, conflicts_with = "pattern")]
    each: Vec<String>,
    /// Of these patterns do only one of so many equal parts, in the order of their names: "3/10" is the third tenth. So
    /// the jobs of an array, or several machines, share them.
    #[arg(long, value_name = "PART/PARTS", requires = "each", conflicts_with = "pattern", value_parser = clap::value_parser!(BatchPart))]
    part: Option<BatchPart>,
    /// A value in place of the one in the recipe's [with] table; may be said once for each value.
    #[arg(long = "with", value_name = "NAME=VALUE", value_parser = clap::value_parser!(Given))]
    given: Vec<Given>,
    #[command(flatten)]
    writing: WritingOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl ApplyCommand {
    /// Does the steps.
    ///
    /// # Errors
    ///
    /// The recipe or the pattern cannot be read, a step is refused, or the outcome cannot be written. With many
    /// patterns: the recipe cannot be read, no file is there to begin with, or a folder cannot be made.
    pub fn run(&self, messages: &Messages, loudness: Loudness) -> Result<Exit, Failure> {
        if !self.each.is_empty() {
            return self.run_each(messages, loudness);
        }
        let form = self.form.form();
        let writing = self.writing.writing(form)?;
        if self.recipe == Source::Stream && self.pattern == Some(Source::Stream) {
            return Err(Failure::new(
                "the recipe and the pattern cannot both come from standard input",
                "name a file for one of them",
            ));
        }
        let recipe = RecipeFile::read(&self.recipe, &self.given)?;
        let before = self.reading.read(&self.pattern_of(&recipe)?, messages)?;
        let outlet = Outlet { unit: self.unit.unit(), form, writing };
        ChainOutcome::run(before, &planned(&recipe, messages))?.finish(&outlet, messages)
    }

    fn run_each(&self, messages: &Messages, loudness: Loudness) -> Result<Exit, Failure> {
        let output = self.writing.each()?;
        let recipe = RecipeFile::read(&self.recipe, &self.given)?;
        let (path, existing) = output.unzip();
        let pairs = batch_files::pair(batch_files::matching(&self.each)?, path.as_deref())?;
        let pairs = match self.part {
            Some(part) => part.of(pairs),
            None => pairs,
        };
        batch_files::make_folders(&pairs)?;
        let batch = Batch {
            planned: &planned(&recipe, messages),
            pairs,
            existing: existing.unwrap_or(ExistingOutput::Keep),
            reading: &self.reading,
            unit: self.unit.unit(),
        };
        batch.run(messages, self.form.form(), loudness)
    }

    fn pattern_of(&self, file: &RecipeFile) -> Result<Source, Failure> {
        self.pattern.clone().or_else(|| file.pattern()).ok_or_else(|| {
            Failure::in_file(self.recipe.name(), "no pattern is named, neither here nor on the command line")
                .way_out(
                    "write pattern = \"coat.svg\" at the top, or name it behind the recipe (- for a pipe)",
                )
        })
    }
}

/// The steps of a recipe that are to be done; says of each that is left out that it is.
fn planned(file: &RecipeFile, messages: &Messages) -> Vec<PlannedStep> {
    let mut planned = Vec::new();
    for (i, step) in file.recipe.steps.iter().enumerate() {
        let number = i + 1;
        match step.turn {
            OnOrOff::Off => {
                messages.note(format!("step {number}, {}: left out (off = true)", step.step.name()))
            }
            OnOrOff::On => planned.push(PlannedStep {
                step: step.step.clone(),
                fit: step.fit.as_ref().map(|cloth| FitCloth::written(cloth, &file.folder)),
                place: Some(WrittenStep::new(file, step, number)),
            }),
        }
    }
    planned
}
