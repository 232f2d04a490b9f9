//! What is said to the user on the error stream, apart from the data on the output stream.

use std::fmt::Display;
use std::io::Write;

use retrue::pattern::Advice;
use retrue::recut::Told;
use retrue::units::Unit;

use crate::cli::advice::on_command_line;
use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;

/// What is said before every cut.
pub const CAUTION: &str = "cutting is final: sew a trial garment in cheap cloth first";

/// How much is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loudness {
    /// Everything.
    Usual,
    /// Only what is refused or not true.
    Quiet,
}

/// Says things on the error stream. What cannot be said there is lost: there is nobody to tell.
#[derive(Clone, Copy, Debug)]
pub struct Messages {
    paint: TextPaint,
    loudness: Loudness,
}

impl Messages {
    /// Messages in colour or not, loud or quiet.
    pub fn new(color: ColorChoice, loudness: Loudness) -> Messages {
        Messages { paint: color.paint_on(&std::io::stderr()), loudness }
    }

    /// The same, of which only what is refused or not true is said.
    pub fn silent(&self) -> Messages {
        Messages { loudness: Loudness::Quiet, ..*self }
    }

    /// Says what a step told.
    pub fn told(&self, told: &Told, unit: Unit) {
        let sentence = with_way_out(told.sentence(unit), told.way_out());
        if told.is_warning() { self.warning(sentence) } else { self.note(sentence) }
    }

    /// Says something that is good to know.
    pub fn note(&self, sentence: impl Display) {
        if self.loudness == Loudness::Usual {
            self.say(TextTone::Note, "note", sentence);
        }
    }

    /// Says something to be looked at twice.
    pub fn warning(&self, sentence: impl Display) {
        if self.loudness == Loudness::Usual {
            self.say(TextTone::Warning, "warning", sentence);
        }
    }

    /// Says that a piece is left out since its cloth is not at hand.
    pub fn left_out(&self, piece: impl Display, cloth: impl Display) {
        self.warning(format!(
            "`{piece}` is cut from `{cloth}`, of which there is none in the cloth: left out"
        ));
    }

    /// Says a title over what follows.
    pub fn title(&self, title: impl Display) {
        if self.loudness == Loudness::Usual {
            self.line(&self.paint.paint(TextTone::Title, title));
        }
    }

    /// Says what is not true.
    pub fn untrue(&self, sentence: impl Display) {
        self.say(TextTone::Wrong, "not true", sentence);
    }

    /// Says why the command was refused.
    pub fn failure(&self, failure: &Failure) {
        self.line(&failure.render(self.paint));
    }

    fn say(&self, tone: TextTone, label: &str, sentence: impl Display) {
        let label = self.paint.paint(tone, format!("{label}:"));
        self.line(&format!("{label} {}", without_controls(&sentence.to_string())));
    }

    fn line(&self, text: &str) {
        let _ = writeln!(std::io::stderr().lock(), "{text}");
    }
}

/// A sentence, and after it what the user can do.
pub fn with_way_out(sentence: String, way_out: Option<Advice>) -> String {
    match way_out {
        Some(advice) => format!("{sentence}; {}", on_command_line(&advice)),
        None => sentence,
    }
}

/// The text with control characters, which a file may have brought in, made visible.
pub fn without_controls(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect()
}
