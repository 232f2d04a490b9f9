//! The command line: parses, reads, has the floors below do the work, tells, and writes.
//!
//! One file for each family of commands. May use everything below; computes no geometry of its own. Data go to
//! standard output, everything said to the user to standard error.

mod adopt;
mod adopt_text;
mod advice;
mod apply;
mod batch;
mod batch_files;
mod chain;
mod check;
mod cloth_source;
mod color;
mod errors;
mod exit;
mod file_sort;
mod fit;
mod fit_cloth;
mod folders;
mod help;
mod inputs;
mod io;
mod lay;
mod ledger_text;
mod manual;
mod messages;
mod next;
mod operation;
mod options;
mod outlet;
mod panic;
mod part;
mod picture;
mod plan;
mod plan_folder;
mod print;
mod progress;
mod recipe;
mod recut_text;
mod report;
mod report_page;
mod resewn_text;
mod rows;
mod show;
mod table;
mod terminal;
mod topics;

use std::ffi::OsString;
use std::io::Write;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

use color::ColorChoice;
use errors::Failure;
use exit::Exit;
use messages::{Loudness, Messages};
use retrue::drawing::on_reading_thread;

/// Re-cut sewing-pattern pieces to fit the cloth at hand, and prove that they still true up.
///
/// A pattern is one plain SVG file. Every operation reads one from a file or from standard input (-) and writes a new
/// one to standard output or to -o FILE, so that commands can be piped. A recipe does several at once: see apply.
///
/// Lengths carry their unit: 15mm, 1.5cm, 5/8in, "1 3/8in". Exit code: 0 done and true, 1 done but something is not
/// true or does not fit, 2 refused and nothing written.
#[derive(Clone, Debug, Parser)]
#[command(name = "retrue", version, arg_required_else_help = true, disable_help_subcommand = true,
    after_help = topics::listed())]
struct Cli {
    #[command(subcommand)]
    command: Command,
    /// Colour the output.
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", help_heading = "Output")]
    color: ColorChoice,
    /// Say only what is refused or not true.
    #[arg(short, long, global = true, help_heading = "Output")]
    quiet: bool,
}

/// The commands.
#[derive(Clone, Debug, Subcommand)]
enum Command {
    Adopt(adopt::AdoptCommand),
    Show(show::ShowCommand),
    Check(check::CheckCommand),
    Fit(fit::FitCommand),
    Lay(lay::LayCommand),
    Plan(plan::PlanCommand),
    Table(table::TableCommand),
    Apply(apply::ApplyCommand),
    #[command(flatten)]
    Operation(operation::OperationCommand),
    Picture(picture::PictureCommand),
    Print(print::PrintCommand),
    Report(report_page::ReportCommand),
    Completions(manual::Completions),
    #[command(name = "man")]
    Manual(manual::Manual),
    Help(help::HelpCommand),
}

/// Runs the command that the arguments ask for.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Exit {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let cli = match parse(&arguments) {
        Ok(cli) => cli,
        Err(said) => return unparsed(&said, ColorChoice::among(&arguments)),
    };
    let loudness = if cli.quiet { Loudness::Quiet } else { Loudness::Usual };
    let messages = Messages::new(cli.color, loudness);
    let messages = &messages;
    let run = || panic::caught(|| cli.command.run(messages, cli.color, loudness));
    // What a command reads and writes stands in the memory of one thread: one for each reading had a fifth of the time of
    // a short command.
    let done = on_reading_thread(run).unwrap_or_else(|error| Err(Failure::without_threads(error)));
    done.unwrap_or_else(|failure| {
        messages.failure(&failure);
        Exit::Refused
    })
}

/// What the parser says in place of a command: help that was asked for, or what is wrong with the arguments.
fn unparsed(said: &clap::Error, color: ColorChoice) -> Exit {
    let text = said.render();
    if said.use_stderr() {
        let paint = color.paint_on(&std::io::stderr());
        let text = help::shown(&text, paint, terminal::columns(terminal::Stream::Error));
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
        return Exit::Refused;
    }
    let paint = color.paint_on(&std::io::stdout());
    let text = help::shown(&text, paint, terminal::columns(terminal::Stream::Output));
    let _ = io::print(&text);
    Exit::True
}

fn parse(arguments: &[OsString]) -> Result<Cli, clap::Error> {
    let command = program().color(ColorChoice::among(arguments).of_parser());
    Cli::from_arg_matches(&command.try_get_matches_from(arguments)?)
}

/// The command line as it is parsed and told, its help as wide as lines may be.
fn program() -> clap::Command {
    Cli::command().term_width(terminal::columns(terminal::Stream::Output))
}

impl Command {
    fn run(&self, messages: &Messages, color: ColorChoice, loudness: Loudness) -> Result<Exit, Failure> {
        match self {
            Command::Adopt(adopt) => adopt.run(messages, color),
            Command::Show(show) => show.run(messages, color),
            Command::Check(check) => check.run(messages, color),
            Command::Fit(fit) => fit.run(messages, color),
            Command::Lay(lay) => lay.run(messages, color, loudness),
            Command::Table(table) => table.run(messages),
            Command::Apply(apply) => apply.run(messages, loudness),
            Command::Plan(plan) => plan.run(messages, color, loudness),
            Command::Operation(operation) => operation.run(messages),
            Command::Picture(picture) => picture.run(messages),
            Command::Print(print) => print.run(messages),
            Command::Report(report) => report.run(messages),
            Command::Completions(completions) => completions.run(program()),
            Command::Manual(manual) => manual.run(program()),
            Command::Help(help) => help.run(program(), color),
        }
    }
}
