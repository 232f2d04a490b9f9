//! What is said to the user on the error stream, apart from the data on the output stream.

use std::fmt::Display;
use std::io::Write;

use retrue::canvas::clean;
use retrue::cloth::{Stock, WithoutCloth};
use retrue::pattern::{Advice, Pattern};
use retrue::recut::Notice;
use retrue::truing::Verdict;
use retrue::units::Unit;

use crate::cli::advice::on_command_line;
use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::io::Source;
use crate::cli::next::NextCommand;
use crate::cli::terminal::{Stream, broken, columns};

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

    /// Says what a step tells.
    pub fn notice(&self, notice: &Notice, unit: Unit) {
        let sentence = with_way_out(notice.sentence(unit), notice.way_out());
        if notice.is_warning() { self.warning(sentence) } else { self.note(sentence) }
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

    /// Says which pieces are left out since their cloth is not at hand, which panels no piece is cut from, and what is to be
    /// looked at twice of how the cloths look.
    pub fn cloth(&self, pattern: &Pattern, stock: &Stock, unit: Unit) {
        for WithoutCloth { piece, cloth } in stock.pieces_without(pattern) {
            self.warning(format!(
                "`{piece}` is cut from `{cloth}`, which the cloth file does not describe: left out"
            ));
        }
        for (cloth, panel) in stock.panels_without_pieces(pattern) {
            self.warning(format!(
                "no piece is cut from `{cloth}`, so that the panel `{}` is not used",
                panel.name()
            ));
        }
        stock.notes(unit).into_iter().for_each(|note| self.warning(note));
    }

    /// Names the command that is usually next, if there is one.
    pub fn next(&self, command: Option<NextCommand>) {
        const LABEL: &str = "Next:";
        if let (Some(command), Loudness::Usual) = (command, self.loudness) {
            let command = command.lines(LABEL.len() + 1, columns(Stream::Error));
            let label = self.paint.paint(TextTone::Note, LABEL);
            let _ = writeln!(std::io::stderr().lock(), "{label} {command}");
        }
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

    /// Says in one line that a pattern is not true, if it is not, and how to see all of it.
    pub fn verdict(&self, verdict: &Verdict, checked: &Source, unit: Unit) {
        if let Some(sentence) = verdict.sentence(unit) {
            self.untrue(format!("{sentence}; {}", see(checked)));
        }
    }

    /// Says why the command was refused.
    pub fn failure(&self, failure: &Failure) {
        let _ = writeln!(std::io::stderr().lock(), "{}", failure.render(self.paint, columns(Stream::Error)));
    }

    fn say(&self, tone: TextTone, label: &str, sentence: impl Display) {
        let label = self.paint.paint(tone, format!("{label}:"));
        self.line(&format!("{label} {}", clean(&sentence.to_string())));
    }

    fn line(&self, text: &str) {
        let text = broken(text, columns(Stream::Error));
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

/// How to see all that is not true of a pattern.
pub fn see(checked: &Source) -> String {
    match checked.as_argument() {
        Some(file) => format!("see retrue check {file}"),
        None => "pipe it into retrue check - to see all".to_owned(),
    }
}
