//! Why a command was refused, as the user sees it: what, where, and the way out.

use std::fmt::Display;
use std::ops::Range;
use std::sync::Arc;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use retrue::allowance::AllowanceError;
use retrue::canvas::{clean, shortened};
use retrue::drawing::DrawingError;
use retrue::pattern::Refusal;
use retrue::sheet::{ReadError, WriteError};
use retrue::toml_file::TextFault;

use crate::cli::advice::on_command_line;
use crate::cli::color::TextPaint;
use crate::cli::terminal::filled;

/// How many signs stand before what is wrong, and before the way out beside the number of a line.
const BESIDE_WHAT: usize = "error: ".len();
const BESIDE_WAY_OUT: usize = "1000 = help: ".len();

/// Why a command was refused. Nothing was written.
#[derive(Debug)]
pub struct Failure {
    what: String,
    place: FailurePlace,
    way_out: Option<String>,
}

/// Where a failure lies.
#[derive(Debug)]
enum FailurePlace {
    /// Nowhere in particular.
    Nowhere,
    /// In a file, or on something in it.
    File { file: String, part: Option<String> },
    /// On a line of a text, which is shown.
    Text { text: Arc<UserText>, span: Range<usize>, label: String },
}

/// A text that the user wrote, and its file.
#[derive(Debug, PartialEq, Eq)]
pub struct UserText {
    /// The name of its file.
    pub file: String,
    /// All of it.
    pub source: String,
}

impl UserText {
    /// The line on which a place stands, from 1.
    pub fn line_of(&self, at: usize) -> usize {
        self.source.bytes().take(at).filter(|byte| *byte == b'\n').count() + 1
    }
}

impl Failure {
    /// Something that cannot be done, wherever it is.
    pub fn new(what: impl Display, way_out: impl Display) -> Failure {
        Failure { what: what.to_string(), place: FailurePlace::Nowhere, way_out: Some(way_out.to_string()) }
    }

    /// Work that finds no thread to be done on.
    pub fn without_threads(error: impl Display) -> Failure {
        Failure::new(format!("no threads can be started: {error}"), "close other programs and try again")
    }

    /// Something wrong with a file, in one sentence that says the way out as well.
    pub fn in_file(file: impl Display, sentence: impl Display) -> Failure {
        let place = FailurePlace::File { file: file.to_string(), part: None };
        Failure { what: sentence.to_string(), place, way_out: None }
    }

    /// The same failure, with the way out said apart.
    pub fn way_out(self, way_out: impl Display) -> Failure {
        Failure { way_out: Some(way_out.to_string()), ..self }
    }

    /// A pattern that cannot be read, with the line of its file where the fault lies on one.
    pub fn unread(file: &str, error: &ReadError) -> Failure {
        match error {
            ReadError::Sheet { element, refusal } => {
                let (file, part) = match element {
                    Some(element) => {
                        (format!("{file}:{}", element.line), format!("{element}, {}", refusal.at))
                    }
                    None => (file.to_owned(), refusal.at.clone()),
                };
                Failure {
                    what: refusal.what.clone(),
                    place: FailurePlace::File { file, part: Some(part) },
                    way_out: Some(on_command_line(&refusal.way_out)),
                }
            }
            ReadError::Drawing(error) => match error {
                DrawingError::NotXml { .. } => Failure::in_drawing(file, error)
                    .way_out("a pattern is an SVG drawing: check that this is the right file"),
                _ => Failure::in_drawing(file, error),
            },
            other => Failure::in_file(file, other),
        }
    }

    /// A drawing that cannot be read, with the line of its file where the fault lies on one.
    pub fn in_drawing(file: &str, error: &DrawingError) -> Failure {
        let place = error.line().map_or_else(|| file.to_owned(), |line| format!("{file}:{line}"));
        let way_out = error.way_out().map(|advice| on_command_line(&advice));
        Failure { way_out, ..Failure::in_file(place, error) }
    }

    /// A pattern that cannot be written as a sheet.
    pub fn unwritten(file: &str, error: &WriteError) -> Failure {
        Failure::in_file(file, format!("the new pattern cannot be drawn: {error}"))
    }

    /// Something that a pattern does not allow.
    pub fn refused(file: impl Display, refusal: &Refusal) -> Failure {
        Failure {
            what: refusal.what.clone(),
            place: FailurePlace::File { file: file.to_string(), part: Some(refusal.at.clone()) },
            way_out: Some(on_command_line(&refusal.way_out)),
        }
    }

    /// A piece that has no cutting line.
    pub fn uncut(file: impl Display, error: &AllowanceError) -> Failure {
        Failure::refused(file, &Refusal::from(error.clone()))
    }

    /// Something wrong with a text at a place, which is shown with a label.
    pub fn in_text(
        text: &Arc<UserText>,
        span: Range<usize>,
        what: impl Display,
        label: impl Display,
        way_out: impl Display,
    ) -> Failure {
        let place = FailurePlace::Text { text: Arc::clone(text), span, label: label.to_string() };
        Failure { what: what.to_string(), place, way_out: Some(way_out.to_string()) }
    }

    /// Something wrong with a text at its place, the way out as on a command line.
    pub fn in_fault(text: &Arc<UserText>, fault: &TextFault) -> Failure {
        let way_out = on_command_line(&fault.way_out);
        Failure::in_text(text, fault.span.clone(), &fault.what, &fault.label, way_out)
    }

    /// A fault of the program itself.
    pub fn fault(what: impl Display) -> Failure {
        Failure::new(
            format!("the program failed, not your pattern: {what}"),
            "report it with the pattern and the command; nothing was written",
        )
    }

    /// What is wrong, without its place.
    pub fn what(&self) -> &str {
        &self.what
    }

    /// The way out, where one is said apart.
    pub fn way_out_told(&self) -> Option<&str> {
        self.way_out.as_deref()
    }

    /// The failure in one line: where, what, and the way out.
    pub fn line(&self) -> String {
        let place = match &self.place {
            FailurePlace::Nowhere => String::new(),
            FailurePlace::File { file, part: None } => format!("{file}: "),
            FailurePlace::File { file, part: Some(part) } => format!("{file}: {}: ", shortened(part)),
            FailurePlace::Text { text, span, label } => {
                format!("{}:{}: {label}: ", text.file, text.line_of(span.start))
            }
        };
        let way_out = self.way_out.as_ref().map_or_else(String::new, |way_out| format!("; {way_out}"));
        format!("{place}{}{way_out}", self.what)
    }

    /// The failure as text of lines so wide.
    pub fn render(&self, paint: TextPaint, columns: usize) -> String {
        let what = filled(&clean(&self.what), 0, columns.saturating_sub(BESIDE_WHAT));
        let way_out = self.way_out.as_deref();
        let way_out = way_out.map(|text| filled(&clean(text), 0, columns.saturating_sub(BESIDE_WAY_OUT)));
        let title = Level::ERROR.primary_title(what.as_str());
        let mut group = match &self.place {
            FailurePlace::Nowhere => Group::with_title(title),
            FailurePlace::File { file, part } => {
                let place = match part {
                    Some(part) => format!("{file}: {}", shortened(part)),
                    None => file.clone(),
                };
                title.element(Origin::path(clean(&place).into_owned()))
            }
            FailurePlace::Text { text, span, label } => title.element(
                Snippet::source(text.source.as_str())
                    .path(clean(&text.file).into_owned())
                    .annotation(AnnotationKind::Primary.span(span.clone()).label(clean(label).into_owned())),
            ),
        };
        if let Some(way_out) = &way_out {
            group = group.element(Level::HELP.message(way_out.as_str()));
        }
        let renderer = match paint {
            TextPaint::Colored => Renderer::styled(),
            TextPaint::Plain => Renderer::plain(),
        };
        renderer.term_width(columns).render(&[group])
    }
}
