//! Runs the real command in a folder of its own. A test reads as a sentence:
//! `room.retrue(["check", "skirt.svg"]).is_true().prints("true:")`.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::fmt;
use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// A skirt of two pieces, true in itself: a front cut twice with a waist dart, and a back on the fold.
pub const SKIRT: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="700mm" height="500mm" viewBox="0 0 700 500">
  <g id="front" data-kind="piece" data-cut="2" data-cloth="main">
    <path id="front.waist" data-kind="edge" data-finish="free" data-allowance="10mm" d="M 50 50 H 250"/>
    <path id="front.side" data-kind="edge" data-finish="seam" data-allowance="15mm" data-sewn-to="back.side" d="M 250 50 V 450"/>
    <path id="front.hem" data-kind="edge" data-finish="hem" data-allowance="40mm" d="M 250 450 H 50"/>
    <path id="front.centre" data-kind="edge" data-finish="free" data-allowance="15mm" d="M 50 450 V 50"/>
    <path id="front.waist-dart" data-kind="dart" d="M 140 50 L 150 150 L 160 50"/>
    <path id="front.grain" data-kind="grainline" data-arrows="both" d="M 100 200 V 400"/>
    <path id="front.hip" data-kind="level" d="M 50 250 H 250"/>
    <path id="front.n1" data-kind="notch" d="M 250 250 h 6"/>
    <path id="front.yoke" data-kind="style-line" d="M 50 180 H 250"/>
    <circle id="front.dot" data-kind="point" cx="150" cy="320" r="2"/>
  </g>
  <g id="back" data-kind="piece" data-cut="1" data-cloth="main">
    <path id="back.waist" data-kind="edge" data-finish="free" data-allowance="10mm" d="M 350 50 H 550"/>
    <path id="back.centre" data-kind="edge" data-finish="fold" d="M 550 50 V 450"/>
    <path id="back.hem" data-kind="edge" data-finish="hem" data-allowance="40mm" d="M 550 450 H 350"/>
    <path id="back.side" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M 350 450 V 50"/>
    <path id="back.grain" data-kind="grainline" data-arrows="both" d="M 450 200 V 400"/>
    <path id="back.hip" data-kind="level" d="M 350 250 H 550"/>
    <path id="back.n1" data-kind="notch" d="M 350 250 h -6"/>
  </g>
</svg>
"#;

/// The skirt with one passage of its text put in place of another.
pub fn skirt_with(passage: &str, other: &str) -> String {
    assert!(SKIRT.contains(passage), "the skirt has no `{passage}`");
    SKIRT.replacen(passage, other, 1)
}

/// A folder of its own for one test, with the skirt in it.
pub struct Workroom {
    folder: tempfile::TempDir,
}

impl Workroom {
    /// A folder that holds `skirt.svg`.
    pub fn new() -> Workroom {
        let room = Workroom { folder: tempfile::tempdir().expect("a temporary folder can be made") };
        room.with("skirt.svg", SKIRT)
    }

    /// The same folder with another file in it.
    pub fn with(self, name: &str, text: impl AsRef<[u8]>) -> Workroom {
        fs::write(self.path(name), text).expect("the file can be written");
        self
    }

    /// The same folder with a shipped fixture in it.
    pub fn with_fixture(self, name: &str) -> Workroom {
        let fixture = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(name);
        let bytes = fs::read(&fixture).expect("the fixture is there");
        self.with(name, bytes)
    }

    /// Where a file of the folder lies.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The text of a file.
    pub fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).expect("the file can be read")
    }

    /// The names of all files, in order.
    pub fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).expect("the folder can be read");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// The command with its arguments, not run yet.
    pub fn command<'a>(&self, arguments: impl IntoIterator<Item = &'a str>) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
        command.args(arguments).current_dir(self.folder.path());
        for unset in ["RUST_BACKTRACE", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
            command.env_remove(unset);
        }
        command
    }

    /// Runs the command with nothing on its standard input.
    pub fn retrue<'a>(&self, arguments: impl IntoIterator<Item = &'a str>) -> Outcome {
        Outcome::of(self.command(arguments).stdin(Stdio::null()).output().expect("the command runs"))
    }

    /// Runs the command with a text on its standard input.
    pub fn retrue_with_input<'a>(
        &self,
        arguments: impl IntoIterator<Item = &'a str>,
        input: &str,
    ) -> Outcome {
        let mut command = self.command(arguments);
        let piped = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = piped.spawn().expect("the command runs");
        let mut stdin = child.stdin.take().expect("its input is piped");
        let input = input.to_owned();
        let feeder = std::thread::spawn(move || {
            // A command that refuses its arguments closes its input unread.
            let _ = stdin.write_all(input.as_bytes());
        });
        let output = child.wait_with_output().expect("the command ends");
        feeder.join().expect("the input was given");
        Outcome::of(output)
    }

    /// Runs a line of the shell, with `$RETRUE` for the command.
    #[cfg(unix)]
    pub fn shell(&self, line: &str) -> Outcome {
        let mut shell = Command::new("sh");
        shell.args(["-c", line]).env("RETRUE", env!("CARGO_BIN_EXE_retrue")).env_remove("RUST_BACKTRACE");
        Outcome::of(shell.current_dir(self.folder.path()).output().expect("the shell runs"))
    }
}

/// How a command ended.
pub struct Outcome {
    /// Its exit code; none where a signal ended it.
    pub code: Option<i32>,
    /// What it wrote to standard output.
    pub printed: String,
    /// What it wrote to standard error.
    pub said: String,
}

impl fmt::Debug for Outcome {
    /// All of it, a long output shortened: a pattern sheet has hundreds of lines.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const SHOWN: usize = 2000;
        let shown: String = self.printed.chars().take(SHOWN).collect();
        write!(f, "exit code {:?}\n--- messages\n{}\n--- output\n{shown}", self.code, self.said)
    }
}

impl Outcome {
    fn of(output: Output) -> Outcome {
        Outcome {
            code: output.status.code(),
            printed: String::from_utf8(output.stdout).expect("the output is text"),
            said: String::from_utf8(output.stderr).expect("the messages are text"),
        }
    }

    /// It was done, and all is true.
    #[track_caller]
    pub fn is_true(self) -> Outcome {
        self.exits(0)
    }

    /// It was done, but something is not true.
    #[track_caller]
    pub fn is_untrue(self) -> Outcome {
        self.exits(1)
    }

    /// It was refused, without a trace of the program's insides, and gave no data.
    #[track_caller]
    pub fn is_refused(self) -> Outcome {
        assert!(!self.said.contains("panicked") && !self.said.contains("fault of the program"), "{self:?}");
        assert!(self.said.contains("error:"), "it does not say that it failed: {self:?}");
        self.exits(2).prints_nothing()
    }

    #[track_caller]
    fn exits(self, code: i32) -> Outcome {
        assert_eq!(self.code, Some(code), "{self:?}");
        self
    }

    /// A message holds the words.
    #[track_caller]
    pub fn says(self, words: &str) -> Outcome {
        assert!(one_line(&self.said).contains(words), "it does not say `{words}`: {self:?}");
        self
    }

    /// No message holds the words.
    #[track_caller]
    pub fn says_nothing_of(self, words: &str) -> Outcome {
        assert!(!one_line(&self.said).contains(words), "it says `{words}`: {self:?}");
        self
    }

    /// There are no messages.
    #[track_caller]
    pub fn says_nothing(self) -> Outcome {
        assert_eq!(self.said, "", "{self:?}");
        self
    }

    /// Its output holds the words.
    #[track_caller]
    pub fn prints(self, words: &str) -> Outcome {
        assert!(self.printed.contains(words), "it does not print `{words}`: {self:?}");
        self
    }

    /// It has no output.
    #[track_caller]
    pub fn prints_nothing(self) -> Outcome {
        assert_eq!(self.printed, "", "{self:?}");
        self
    }

    /// Its output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        match serde_json::from_str(&self.printed) {
            Ok(value) => value,
            Err(error) => panic!("the output is not JSON: {error}: {self:?}"),
        }
    }
}

/// A text with its lines and gaps run together.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
