//! A recipe as a file: where it stands, and what is wrong with it, shown on its line.

use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use retrue::pattern::Refusal;
use retrue::recipe::{Given, Recipe, RecipeFault, RecipeStep};
use retrue::recut::Step;

use crate::cli::errors::{Failure, UserText};
use crate::cli::file_sort::FileSort;
use crate::cli::io::Source;

/// A recipe that was read from a file.
#[derive(Clone, Debug)]
pub struct RecipeFile {
    /// All of its text.
    pub text: Arc<UserText>,
    /// The folder that what it names is looked for from.
    pub folder: PathBuf,
    /// The recipe.
    pub recipe: Recipe,
}

impl RecipeFile {
    /// Reads a recipe, with values given in place of its own.
    ///
    /// # Errors
    ///
    /// What cannot be read, and what is no recipe, shown on its line.
    pub fn read(source: &Source, given: &[Given]) -> Result<RecipeFile, Failure> {
        let text = source.read_text(FileSort::Recipe)?;
        let folder = match source {
            Source::File(path) => path.parent().unwrap_or(Path::new("")),
            Source::Stream => Path::new(""),
        };
        let recipe = Recipe::read(&text.source, given).map_err(|fault| faulty(&text, fault))?;
        Ok(RecipeFile { folder: folder.to_owned(), text, recipe })
    }

    /// The pattern that it names.
    pub fn pattern(&self) -> Option<Source> {
        self.recipe.pattern.as_ref().map(|name| Source::File(self.folder.join(name)))
    }
}

fn faulty(text: &Arc<UserText>, fault: RecipeFault) -> Failure {
    match fault {
        RecipeFault::InText(fault) => Failure::in_fault(text, &fault),
        RecipeFault::InFile { what, way_out } => Failure::in_file(&text.file, what).way_out(way_out),
        RecipeFault::Given { what, way_out } => Failure::new(format!("{what} with --with"), way_out),
    }
}

/// A step of a recipe that was read from a file.
#[derive(Clone, Debug)]
pub struct WrittenStep {
    text: Arc<UserText>,
    step: RecipeStep,
    number: usize,
}

impl WrittenStep {
    /// A step of a recipe, by its number from 1.
    pub fn new(file: &RecipeFile, step: &RecipeStep, number: usize) -> WrittenStep {
        WrittenStep { text: Arc::clone(&file.text), step: step.clone(), number }
    }

    /// Its number in the recipe, from 1.
    pub fn number(&self) -> usize {
        self.number
    }

    /// A refusal of the step, shown on the line of the field that it is about, else where its operation is named.
    pub fn refused(&self, step: &Step, refusal: &Refusal) -> Failure {
        let span: &Range<usize> = self.step.place.of_refusal(step, refusal);
        let what = format!("step {}, line {}: {}", self.number, self.text.line_of(span.start), refusal.what);
        let label = format!("refused at {}", refusal.at);
        Failure::in_text(&self.text, span.clone(), what, label, &refusal.way_out)
    }
}
