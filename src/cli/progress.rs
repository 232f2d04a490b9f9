//! How far long work has come.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

use crate::cli::messages::Loudness;

/// How often the line is written: as fast as it can be read.
const EVERY: Duration = Duration::from_millis(200);

/// A line of the terminal that is written over; nothing where nobody looks at one.
pub struct ProgressLine {
    is_on: bool,
    written: Option<Instant>,
}

impl ProgressLine {
    /// A line not yet written.
    pub fn new(loudness: Loudness) -> ProgressLine {
        let is_on = loudness == Loudness::Usual && std::io::stderr().is_terminal();
        ProgressLine { is_on, written: None }
    }

    /// Writes the line anew, unless it was written just now.
    pub fn show(&mut self, text: impl FnOnce() -> String) {
        if self.is_on && self.written.is_none_or(|written| written.elapsed() >= EVERY) {
            self.written = Some(Instant::now());
            let _ = write!(std::io::stderr(), "\r\u{1b}[K{}", text());
        }
    }

    /// Takes the line away.
    pub fn clear(&self) {
        if self.written.is_some() {
            let _ = write!(std::io::stderr(), "\r\u{1b}[K");
        }
    }
}
