//! One command for each operation: the fields of the step, a pattern, and where the new one goes.

use std::path::PathBuf;

use clap::builder::StyledStr;
use clap::{Args, Command, Subcommand};
use retrue::for_each_operation;
use retrue::recut::{self, Step};

use crate::cli::chain::{ChainOutcome, PlannedStep};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::fit_cloth::{FitCloth, StepFields};
use crate::cli::messages::Messages;
use crate::cli::options::{FormOptions, PatternArgument, ReadingOptions, UnitOptions, WritingOptions};
use crate::cli::outlet::Outlet;

/// An operation on one pattern.
#[derive(Clone, Debug, Args)]
pub struct OperationArguments<T: Args> {
    #[command(flatten)]
    input: PatternArgument,
    #[command(flatten, next_help_heading = "Fields")]
    fields: StepFields<T>,
    #[command(flatten)]
    writing: WritingOptions,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl<T: Args + Clone + Into<Step>> OperationArguments<T> {
    fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let form = self.form.form();
        let writing = self.writing.writing(form)?;
        let before = self.reading.read(&self.input.pattern, messages)?;
        let StepFields { step, cloth } = self.fields.clone();
        let fit = cloth.map(|source| FitCloth { source, folder: PathBuf::new() });
        let planned = PlannedStep { step: step.into(), fit, place: None };
        let outlet = Outlet { unit: self.unit.unit(), form, writing };
        ChainOutcome::run(before, &[planned])?.finish(&outlet, messages)
    }
}

/// What an operation says of itself in a list; the help of the groups of options around its fields would stand there
/// otherwise.
fn summary<T: Args>() -> StyledStr {
    T::augment_args(Command::new("")).get_about().cloned().unwrap_or_default()
}

/// All that an operation says of itself.
fn whole_summary<T: Args>() -> StyledStr {
    let command = T::augment_args(Command::new(""));
    command.get_long_about().or(command.get_about()).cloned().unwrap_or_default()
}

macro_rules! define_commands {
    ($($module:ident $operation:ident $name:literal,)+) => {
        /// The operations.
        #[derive(Clone, Debug, Subcommand)]
        pub enum OperationCommand {
            $(
                #[command(
                    name = $name,
                    about = summary::<recut::$operation>(),
                    long_about = whole_summary::<recut::$operation>()
                )]
                $operation(OperationArguments<recut::$operation>),
            )+
        }

        impl OperationCommand {
            /// Does the operation.
            ///
            /// # Errors
            ///
            /// The pattern cannot be read, the operation is refused, or the outcome cannot be written.
            pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
                match self { $(OperationCommand::$operation(operation) => operation.run(messages),)+ }
            }
        }
    };
}

for_each_operation!(define_commands);
