//! What the exit code says.

use std::process::ExitCode;

use retrue::truing::Verdict;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, and true.
    True,
    /// Done, but something is not true.
    Untrue,
    /// Refused; nothing was written.
    Refused,
}

impl Exit {
    /// How a command ends that did what was asked, by whether the pattern is true.
    pub fn of(verdict: &Verdict) -> Exit {
        if verdict.is_true() { Exit::True } else { Exit::Untrue }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(match exit {
            Exit::True => 0,
            Exit::Untrue => 1,
            Exit::Refused => 2,
        })
    }
}
