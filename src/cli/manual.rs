//! `completions` and `man`: what the command line tells of itself.

use std::path::{Path, PathBuf};

use clap::builder::PossibleValuesParser;
use clap::{Args, Command, ValueHint};
use clap_complete::Shell;

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::help::unknown;
use crate::cli::io::{self, ExistingOutput, Target};
use crate::cli::topics::Topic;

/// Write completions for a shell to standard output.
#[derive(Clone, Debug, Args)]
pub struct Completions {
    /// The shell.
    shell: Shell,
}

impl Completions {
    /// Writes the completions.
    ///
    /// # Errors
    ///
    /// Standard output cannot be written to.
    pub fn run(&self, command: Command) -> Result<Exit, Failure> {
        let commands = command.get_subcommands().map(|command| command.get_name().to_owned());
        let topics = Topic::all().map(|topic| topic.name().to_owned());
        let subjects = PossibleValuesParser::new(commands.chain(topics).collect::<Vec<_>>());
        let mut command = command
            .mut_subcommand("help", |help| help.mut_arg("subject", |subject| subject.value_parser(subjects)));
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut command, "retrue", &mut text);
        io::print(&String::from_utf8_lossy(&text))?;
        Ok(Exit::True)
    }
}

/// Write the manual page of the program, of a command or of a topic.
#[derive(Clone, Debug, Args)]
pub struct Manual {
    /// A command, or a topic of help, as in help-plan where a command has its name; otherwise the program itself.
    #[arg(value_name = "COMMAND|TOPIC")]
    of: Option<String>,
    /// Write a page for the program, and one for each command and topic, into this folder.
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath, conflicts_with = "of")]
    all: Option<PathBuf>,
    /// Replace pages that exist.
    #[arg(long, requires = "all")]
    force: bool,
}

impl Manual {
    /// Writes the page, or all pages.
    ///
    /// # Errors
    ///
    /// There is no such command, or a page cannot be written.
    pub fn run(&self, mut command: Command) -> Result<Exit, Failure> {
        command.build();
        match (&self.all, &self.of) {
            (Some(folder), _) => self.write_all(&command, folder)?,
            (None, None) => io::print(&page(&command)?)?,
            (None, Some(name)) => {
                let topic = || Topic::find(name.strip_prefix("help-").unwrap_or(name)).map(Topic::page);
                let found = match command.find_subcommand(name) {
                    Some(found) => page(found)?,
                    None => topic().ok_or_else(|| unknown(&command, name))?,
                };
                io::print(&found)?;
            }
        }
        Ok(Exit::True)
    }

    fn write_all(&self, command: &Command, folder: &Path) -> Result<(), Failure> {
        let existing = if self.force { ExistingOutput::Replace } else { ExistingOutput::Keep };
        let commands = std::iter::once(command).chain(command.get_subcommands()).map(|of| {
            let name = clap_mangen::Man::new(of.clone()).get_filename();
            Ok((name, page(of)?))
        });
        let topics = Topic::all().map(|topic| Ok((format!("{}.1", topic.page_name()), topic.page())));
        let pages = commands.chain(topics).collect::<Result<Vec<(String, String)>, Failure>>()?;
        let target = |name: &str| Target::File(folder.join(name));
        pages.iter().try_for_each(|(name, _)| target(name).refuse_unwritable(existing))?;
        pages.iter().try_for_each(|(name, page)| target(name).write(page, existing))
    }
}

fn page(command: &Command) -> Result<String, Failure> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone())
        .render(&mut text)
        .map_err(|error| Failure::fault(format!("the manual page could not be made: {error}")))?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}
