//! `apply`: the steps of a recipe, one after another.

use clap::{Args, ValueHint};

use crate::cli::chain::{Chain, Outlet, Planned};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::Source;
use crate::cli::messages::Messages;
use crate::cli::options::{FormOptions, ReadingOptions, UnitOptions, WritingOptions, source};
use crate::cli::recipe::Recipe;

/// Do the steps of a recipe, one after another.
#[derive(Clone, Debug, Args)]
pub struct Apply {
    /// The recipe, a TOML file, or - for standard input.
    #[arg(value_name = "RECIPE", value_hint = ValueHint::FilePath, value_parser = source())]
    recipe: Source,
    /// The pattern sheet, or - for standard input; otherwise the one that the recipe names.
    #[arg(value_name = "PATTERN", value_hint = ValueHint::FilePath, value_parser = source())]
    pattern: Option<Source>,
    #[command(flatten)]
    writing: WritingOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl Apply {
    /// Does the steps.
    ///
    /// # Errors
    ///
    /// The recipe or the pattern cannot be read, a step is refused, or the outcome cannot be written.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let form = self.form.form();
        let writing = self.writing.writing(form)?;
        if self.recipe == Source::Stream && self.pattern == Some(Source::Stream) {
            return Err(Failure::new(
                "the recipe and the pattern cannot both come from standard input",
                "name a file for one of them",
            ));
        }
        let recipe = Recipe::read(&self.recipe)?;
        let before = self.reading.read(&self.pattern_of(&recipe)?, messages)?;
        let planned: Vec<Planned> = recipe
            .steps
            .into_iter()
            .map(|step| Planned { step: step.step, fit: step.fit, place: Some(step.place) })
            .collect();
        let outlet = Outlet { unit: self.unit.unit(), form, writing };
        Chain::run(before, &planned)?.finish(&outlet, messages)
    }

    fn pattern_of(&self, recipe: &Recipe) -> Result<Source, Failure> {
        let named = recipe.pattern.clone().map(Source::File);
        self.pattern.clone().or(named).ok_or_else(|| {
            Failure::in_file(self.recipe.name(), "no pattern is named, neither here nor on the command line")
                .way_out(
                    "write pattern = \"coat.svg\" at the top, or name it behind the recipe (- for a pipe)",
                )
        })
    }
}
