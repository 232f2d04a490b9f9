//! `completions` and `man`: what the command line tells of itself.

use std::path::PathBuf;

use clap::{Args, Command, ValueHint};
use clap_complete::Shell;

use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io::{self, Existing, Target};

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
    pub fn run(&self, mut command: Command) -> Result<Exit, Failure> {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut command, "retrue", &mut text);
        io::print(&String::from_utf8_lossy(&text))?;
        Ok(Exit::True)
    }
}

/// Write the manual page of the program or of one command.
#[derive(Clone, Debug, Args)]
pub struct Manual {
    /// The command; otherwise the program itself.
    #[arg(value_name = "COMMAND")]
    of: Option<String>,
    /// Write a page for the program and one for each command into this folder.
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
                let found = command.find_subcommand(name).ok_or_else(|| unknown(&command, name))?;
                io::print(&page(found)?)?;
            }
        }
        Ok(Exit::True)
    }

    fn write_all(&self, command: &Command, folder: &std::path::Path) -> Result<(), Failure> {
        let existing = if self.force { Existing::Replace } else { Existing::Keep };
        let pages: Vec<&Command> = std::iter::once(command).chain(command.get_subcommands()).collect();
        let target =
            |page: &Command| Target::File(folder.join(clap_mangen::Man::new(page.clone()).get_filename()));
        pages.iter().try_for_each(|page| target(page).refuse_unwritable(existing))?;
        pages.iter().try_for_each(|of| target(of).write(&page(of)?, existing))
    }
}

fn unknown(command: &Command, name: &str) -> Failure {
    let names = || command.get_subcommands().map(Command::get_name);
    let way_out = match retrue::pattern::nearest(name, names()) {
        Some(known) => format!("did you mean `{known}`?"),
        None => format!("there are: {}", names().collect::<Vec<_>>().join(", ")),
    };
    Failure::new(format!("there is no command `{name}`"), way_out)
}

fn page(command: &Command) -> Result<String, Failure> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone())
        .render(&mut text)
        .map_err(|error| Failure::fault(format!("the manual page could not be made: {error}")))?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}
