//! What the exit code says.

use std::process::ExitCode;

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

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(match exit {
            Exit::True => 0,
            Exit::Untrue => 1,
            Exit::Refused => 2,
        })
    }
}
