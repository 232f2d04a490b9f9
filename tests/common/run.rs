//! Runs the real program in a folder of its own, in words that read as sentences.
//!
//! ```text
//! let bench = Bench::new().with_fixture("coat.svg");
//! bench.retrue("check coat.svg").is_true().prints("22 seams walked");
//! bench.retrue("check missing.svg").is_refused().says("there is no such file");
//! ```

#![allow(dead_code, reason = "each test binary uses a part of the harness")]

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// The text of a shipped pattern sheet.
pub fn fixture(name: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(name);
    std::fs::read_to_string(file).expect("the fixture is there")
}

/// A folder in which commands run; it goes away with the test.
pub struct Bench {
    folder: TempDir,
    environment: Vec<(String, String)>,
}

impl Bench {
    /// An empty folder.
    pub fn new() -> Bench {
        Bench { folder: tempfile::tempdir().expect("a folder"), environment: Vec::new() }
    }

    /// The folder with a shipped pattern sheet in it.
    pub fn with_fixture(self, name: &str) -> Bench {
        self.with_file(name, fixture(name))
    }

    /// The folder with a file in it.
    pub fn with_file(self, name: &str, content: impl AsRef<[u8]>) -> Bench {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
        std::fs::write(path, content).expect("the file is written");
        self
    }

    /// Commands run with an environment variable set.
    pub fn with_variable(mut self, name: &str, value: &str) -> Bench {
        self.environment.push((name.to_owned(), value.to_owned()));
        self
    }

    /// A path in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The text of a file in the folder.
    pub fn text_of(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("the file is there")
    }

    /// The names of all files in the folder.
    pub fn files(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.folder.path()).expect("the folder is there");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("an entry").file_name().into_string().expect("a name"))
            .collect();
        names.sort();
        names
    }

    /// Runs `retrue` with a command line; words in double quotes stay together.
    #[track_caller]
    pub fn retrue(&self, line: &str) -> Outcome {
        self.run(Path::new(env!("CARGO_BIN_EXE_retrue")), &words(line), None)
    }

    /// Runs `retrue` with something on standard input.
    #[track_caller]
    pub fn retrue_with_input(&self, line: &str, input: impl AsRef<[u8]>) -> Outcome {
        self.run(Path::new(env!("CARGO_BIN_EXE_retrue")), &words(line), Some(input.as_ref()))
    }

    /// Starts `retrue` with a command line for something that is served, waits for its address, and ends it; the address.
    #[track_caller]
    pub fn serve(&self, line: &str) -> String {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
        command.args(words(line)).arg("--no-open").current_dir(self.folder.path());
        command.stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().expect("the program starts");
        let mut address = String::new();
        let stdout = child.stdout.as_mut().expect("its output");
        BufReader::new(stdout).read_line(&mut address).expect("a line");
        let _ = child.kill();
        let _ = child.wait();
        address
    }

    /// Runs a line of shell in which `retrue` is the program.
    #[cfg(unix)]
    #[track_caller]
    pub fn shell(&self, line: &str) -> Outcome {
        let program = env!("CARGO_BIN_EXE_retrue");
        let line = format!("retrue() {{ '{program}' \"$@\"; }}; {line}");
        self.run(Path::new("/bin/sh"), &["-c".to_owned(), line], None)
    }

    #[track_caller]
    fn run(&self, program: &Path, arguments: &[String], input: Option<&[u8]>) -> Outcome {
        let mut command = Command::new(program);
        command.args(arguments).current_dir(self.folder.path());
        command.env_remove("NO_COLOR").env_remove("RUST_BACKTRACE").env("COLUMNS", "10000");
        command.envs(self.environment.iter().map(|(name, value)| (name, value)));
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command.stdin(if input.is_some() { Stdio::piped() } else { Stdio::null() });
        let mut child = command.spawn().expect("the program starts");
        let stdin = child.stdin.take();
        let output = std::thread::scope(|scope| {
            scope.spawn(move || {
                if let (Some(mut stdin), Some(input)) = (stdin, input) {
                    let _ = stdin.write_all(input);
                }
            });
            child.wait_with_output().expect("the program ends")
        });
        Outcome { output, line: arguments.join(" ") }
    }
}

/// The words of a command line; those in double quotes stay together.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (i, part) in line.split('"').enumerate() {
        if i % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// How a command ended and what it said.
pub struct Outcome {
    output: Output,
    line: String,
}

impl Outcome {
    /// What went to standard output.
    pub fn stdout(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).expect("UTF-8 on standard output")
    }

    /// What went to standard error.
    pub fn stderr(&self) -> String {
        String::from_utf8(self.output.stderr.clone()).expect("UTF-8 on standard error")
    }

    /// It ended with an exit code.
    #[track_caller]
    pub fn exits(&self, code: i32) -> &Outcome {
        let found = self.output.status.code();
        assert_eq!(found, Some(code), "retrue {}\n{}", self.line, self.stderr());
        self
    }

    /// It was ended by a signal.
    #[track_caller]
    pub fn is_killed(&self) -> &Outcome {
        assert!(!matches!(self.output.status.code(), Some(0..=2)), "{}\n{}", self.line, self.stderr());
        self
    }

    /// It ended with one of the three exit codes, and not by a signal.
    #[track_caller]
    pub fn ends_by_itself(&self) -> &Outcome {
        let code = self.output.status.code();
        assert!(matches!(code, Some(0..=2)), "{} ended with {code:?}\n{}", self.line, self.stderr());
        self
    }

    /// It did what was asked, and all is true.
    #[track_caller]
    pub fn is_true(&self) -> &Outcome {
        self.exits(0)
    }

    /// It did what was asked, but something is not true.
    #[track_caller]
    pub fn is_untrue(&self) -> &Outcome {
        self.exits(1)
    }

    /// It was refused: nothing on standard output, and what, where and the way out on standard error.
    #[track_caller]
    pub fn is_refused(&self) -> &Outcome {
        self.exits(2);
        assert_eq!(self.stdout(), "", "retrue {}", self.line);
        assert!(!self.stderr().contains("the program failed"), "{}", self.stderr());
        self
    }

    /// Standard output holds a text.
    #[track_caller]
    pub fn prints(&self, text: &str) -> &Outcome {
        assert!(self.stdout().contains(text), "`{text}` is not in:\n{}", self.stdout());
        self
    }

    /// Standard error holds a text.
    #[track_caller]
    pub fn says(&self, text: &str) -> &Outcome {
        assert!(self.stderr().contains(text), "`{text}` is not in:\n{}", self.stderr());
        self
    }

    /// Nothing is on standard output.
    #[track_caller]
    pub fn prints_nothing(&self) -> &Outcome {
        assert_eq!(self.stdout(), "");
        self
    }

    /// Nothing is on standard error.
    #[track_caller]
    pub fn says_nothing(&self) -> &Outcome {
        assert_eq!(self.stderr(), "");
        self
    }

    /// Standard output is a report of a kind; the report.
    #[track_caller]
    pub fn reports(&self, kind: &str) -> serde_json::Value {
        let report: serde_json::Value =
            serde_json::from_str(&self.stdout()).expect("JSON on standard output");
        assert_eq!(report["schema"], 1);
        assert_eq!(report["kind"], kind);
        report
    }
}
