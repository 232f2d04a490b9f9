//! `help`: the help of a command, and topics to read.

use clap::builder::StyledStr;
use clap::{Args, Command};

use crate::cli::color::{ColorChoice, TextPaint};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io;
use crate::cli::terminal::{Stream, broken, columns};
use crate::cli::topics::Topic;

/// Show the help of a command, or read on a topic.
#[derive(Clone, Debug, Args)]
pub struct HelpCommand {
    /// A command or a topic; otherwise all of them are listed.
    #[arg(value_name = "COMMAND|TOPIC")]
    subject: Option<String>,
}

impl HelpCommand {
    /// Shows the help. Where a topic has the name of a command it stands below the command's options.
    ///
    /// # Errors
    ///
    /// There is neither such a command nor such a topic; standard output cannot be written to.
    pub fn run(&self, mut command: Command, color: ColorChoice) -> Result<Exit, Failure> {
        command.build();
        let paint = color.paint_on(&std::io::stdout());
        let text = match &self.subject {
            None => long_help(&mut command, paint),
            Some(name) => {
                let topic = Topic::find(name).map(|topic| topic.text(paint, columns(Stream::Output)));
                let help = command.find_subcommand_mut(name).map(|command| long_help(command, paint));
                let parts: Vec<String> = help.into_iter().chain(topic).collect();
                if parts.is_empty() {
                    return Err(unknown(&command, name));
                }
                parts.join("\n")
            }
        };
        io::print(&text)?;
        Ok(Exit::True)
    }
}

fn long_help(command: &mut Command, paint: TextPaint) -> String {
    shown(&command.render_long_help(), paint, columns(Stream::Output))
}

/// What the parser says, of which no line is longer than a width: it leaves the line of usage as it is.
pub fn shown(said: &StyledStr, paint: TextPaint, columns: usize) -> String {
    let text = match paint {
        TextPaint::Colored => said.ansi().to_string(),
        TextPaint::Plain => said.to_string(),
    };
    broken(&text, columns)
}

/// The refusal of a name that is none, which tells all that are.
pub fn unknown(command: &Command, name: &str) -> Failure {
    let commands: Vec<&str> = command.get_subcommands().map(Command::get_name).collect();
    let topics: Vec<&str> = Topic::all().map(Topic::name).collect();
    let near = retrue::pattern::nearest(name, commands.iter().chain(&topics).copied());
    let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    Failure::new(
        format!("there is no command and no topic `{name}`"),
        format!("{near}The topics are {}; the commands are {}", topics.join(", "), commands.join(", ")),
    )
}
