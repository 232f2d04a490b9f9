//! Recipes: steps in a file, and the pattern that they are for.
//!
//! [`Recipe::read`] reads the text of one, with what is wrong told at its place in the text; [`step_written`] writes a step
//! as it stands in one; [`fitted`] works out a width that a cloth is to give. May use `recut`, `cloth`, `pattern`, `units`;
//! knows nothing of files.
//!
//! # Examples
//!
//! ```
//! use retrue::recipe::{OnOrOff, Recipe, step_written};
//!
//! let text = "[[step]]\ndo = \"unfold\"\npiece = \"back\"\noff = true\n";
//! let recipe = Recipe::read(text, &[]).expect("a recipe");
//! assert_eq!(recipe.steps[0].turn, OnOrOff::Off);
//! assert_eq!(step_written(&recipe.steps[0].step), "[[step]]\ndo = \"unfold\"\npiece = \"back\"\n");
//! ```

mod fault;
mod fields;
pub mod fitted;
mod read;
mod values;
mod write;

pub use fault::RecipeFault;
pub use read::{FieldPlace, OnOrOff, Recipe, RecipeStep, StepForm, StepPlace};
pub use values::Given;
pub use write::{field_written, step_written, string_written, value_as_step, value_in_braces};
