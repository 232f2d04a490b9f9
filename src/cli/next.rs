//! The command that is usually next, ready to be run as it stands.

use std::fmt::Display;
use std::path::Path;

use retrue::canvas::clean;

use crate::cli::advice::as_argument;
use crate::cli::io::Source;

/// What joins two lines of one command.
const GOES_ON: &str = " \\";

/// How far in the second line of a command begins.
const INDENT: &str = "    ";

/// A command line, made of the names at hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NextCommand {
    /// What stays together on a line: the command and its files, then each option with its value.
    parts: Vec<String>,
}

impl NextCommand {
    /// A command on files; none where one of them came from standard input, which cannot be read again.
    pub fn on<'a>(command: &str, files: impl IntoIterator<Item = &'a Source>) -> Option<NextCommand> {
        let files: Option<Vec<String>> = files.into_iter().map(Source::as_argument).collect();
        let words = ["retrue".to_owned(), command.to_owned()].into_iter().chain(files?);
        Some(NextCommand { parts: vec![words.collect::<Vec<_>>().join(" ")] })
    }

    /// The command that is running, once more without some of its options: a name that ends in `=` has a value, which goes
    /// with it. None where one of the files came from standard input.
    pub fn again<'a>(files: impl IntoIterator<Item = &'a Source>, without: &[&str]) -> Option<NextCommand> {
        files.into_iter().map(Source::as_argument).collect::<Option<Vec<_>>>()?;
        let words = std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned());
        Some(NextCommand::of_words(words, without))
    }

    fn of_words(words: impl Iterator<Item = String>, without: &[&str]) -> NextCommand {
        let mut parts = vec!["retrue".to_owned()];
        let mut words = words.peekable();
        while let Some(word) = words.next() {
            let is_dropped = |dropped: &&&str| match dropped.strip_suffix('=') {
                Some(name) => word == name || word.starts_with(**dropped),
                None => word == ***dropped,
            };
            match without.iter().find(is_dropped) {
                Some(dropped) if dropped.trim_end_matches('=') == word && dropped.ends_with('=') => {
                    words.next();
                }
                Some(_) => {}
                None => match parts.last_mut().filter(|_| !is_option(&word)) {
                    Some(last) => {
                        last.push(' ');
                        last.push_str(&as_argument(&word));
                    }
                    None => parts.push(as_argument(&word)),
                },
            }
        }
        NextCommand { parts }
    }

    /// The same with an option and its value.
    pub fn option(mut self, option: &str, value: impl Display) -> NextCommand {
        self.parts.push(format!("--{option} {}", as_argument(&value.to_string())));
        self
    }

    /// The same with an option where there is a value for it.
    pub fn maybe(self, option: &str, value: Option<impl Display>) -> NextCommand {
        match value {
            Some(value) => self.option(option, value),
            None => self,
        }
    }

    /// The same, which writes to a file of a name; another where there is one already.
    pub fn into_new(mut self, name: &str) -> NextCommand {
        self.parts.push(format!("-o {}", as_argument(&free(name))));
        self
    }

    /// The command on as many lines as it needs that are no wider than this, each but the last with what a shell needs to
    /// go on, after so many signs that stand before it.
    pub fn lines(&self, before: usize, columns: usize) -> String {
        let mut text = String::new();
        let mut at = before;
        for part in &self.parts {
            let part = clean(part);
            let width = part.chars().count();
            if text.is_empty() {
                text.push_str(&part);
                at += width;
            } else if at + 1 + width + GOES_ON.len() <= columns {
                text.push(' ');
                text.push_str(&part);
                at += 1 + width;
            } else {
                text.push_str(GOES_ON);
                text.push('\n');
                text.push_str(INDENT);
                text.push_str(&part);
                at = INDENT.len() + width;
            }
        }
        text
    }
}

/// Whether a word of a command line names an option; `-` alone is standard input or output.
fn is_option(word: &str) -> bool {
    word.len() > 1 && word.starts_with('-')
}

/// A name of a file or folder that is not there yet: the one given, else with the first number that leads to none.
pub fn free(name: &str) -> String {
    let path = Path::new(name);
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let ending = path.extension().map_or_else(String::new, |ending| format!(".{}", ending.to_string_lossy()));
    let numbered = (2_u32..).map(|number| format!("{stem}-{number}{ending}"));
    let mut names = std::iter::once(name.to_owned()).chain(numbered);
    names.find(|name| std::fs::symlink_metadata(name).is_err()).unwrap_or_else(|| name.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_command_goes_on_where_a_shell_reads_on() {
        let pattern = Source::File("a long name.svg".into());
        let next = NextCommand::on("plan", [&pattern]).expect("a file").option("cloth", "cloth.toml");
        let next = next.option("attempt", 2);
        assert_eq!(next.lines(6, 80), "retrue plan \"a long name.svg\" --cloth cloth.toml --attempt 2");
        assert_eq!(
            next.lines(6, 40),
            "retrue plan \"a long name.svg\" \\\n    --cloth cloth.toml --attempt 2"
        );
    }

    #[test]
    fn a_command_is_named_again_without_what_is_left_out() {
        let words =
            ["lay", "coat.svg", "--cloth", "37cm x 11m", "--seconds", "20", "--folded", "--attempt=3"];
        let next = NextCommand::of_words(words.map(str::to_owned).into_iter(), &["--seconds=", "--folded"]);
        assert_eq!(next.lines(0, 80), "retrue lay coat.svg --cloth \"37cm x 11m\" --attempt=3");
        let next = NextCommand::of_words(words.map(str::to_owned).into_iter(), &["--attempt="]);
        assert_eq!(next.lines(0, 80), "retrue lay coat.svg --cloth \"37cm x 11m\" --seconds 20 --folded");
    }

    #[test]
    fn what_came_from_standard_input_cannot_be_read_again() {
        assert_eq!(NextCommand::on("check", [&Source::Stream]), None);
    }
}
