//! Why something asked for cannot be done.
//!
//! A refusal says what, where, and the way out. It is made where the fact is known and shown as it stands;
//! nobody above reads its text, only its kind.

use std::fmt;

use crate::pattern::Advice;

/// What sort of thing stands in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RefusalKind {
    /// A name that nothing bears.
    UnknownName,
    /// A name that is taken already.
    NameTaken,
    /// A place that is not where it is said to be.
    PlaceOutside,
    /// A line that leaves the piece, cuts off nothing, or cuts more than once.
    BadLine,
    /// The way leads across a dart.
    DartInTheWay,
    /// A dart that is not sound enough for what is asked.
    BadDart,
    /// A seam that is not sound enough for what is asked.
    BadSeam,
    /// The pieces lie over one another.
    Overlap,
    /// The pieces leave a gap between them.
    Gap,
    /// A width that the piece does not have.
    BadWidth,
    /// Lengths that differ by more than may be eased.
    LengthsDiffer,
    /// An outline that is open, crosses itself, or is otherwise none.
    BadOutline,
    /// The piece, edge or seam is not of the sort that is asked for.
    NotOfThatSort,
    /// Fields that contradict each other, or one that is missing.
    BadField,
    /// Nothing of what could be asked for is said yet.
    NothingAsked,
    /// The numbers cannot be worked out.
    Geometry,
}

/// Why something asked for cannot be done: what, where, and the way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The sort of thing.
    pub kind: RefusalKind,
    /// What is wrong, with its number.
    pub what: String,
    /// Where: the piece, edge, dart or seam.
    pub at: String,
    /// What the user can do about it.
    pub way_out: Advice,
    /// The one thing of all that was asked for which it is about, as it is written: a name, a place, a line, a length.
    pub about: Option<String>,
}

impl Refusal {
    /// A refusal of a kind, with its three sentences.
    #[must_use]
    pub fn new(
        kind: RefusalKind,
        at: impl fmt::Display,
        what: impl fmt::Display,
        way_out: impl Into<Advice>,
    ) -> Refusal {
        Refusal { kind, what: what.to_string(), at: at.to_string(), way_out: way_out.into(), about: None }
    }

    /// The same refusal, about one thing of all that was asked for.
    #[must_use]
    pub fn about(self, asked: impl fmt::Display) -> Refusal {
        Refusal { about: Some(asked.to_string()), ..self }
    }

    /// The refusal with another way out told before its own.
    #[must_use]
    pub fn with_way_out_first(self, way_out: Advice) -> Refusal {
        let parts = way_out.and("; or ");
        let parts = parts.parts().iter().chain(self.way_out.parts()).cloned();
        Refusal { way_out: Advice::of(parts), ..self }
    }

    /// A name that nothing bears, answered with the nearest that exists.
    #[must_use]
    pub fn unknown<'a>(
        sort: &str,
        asked: &str,
        at: impl fmt::Display,
        known: impl IntoIterator<Item = &'a str> + Clone,
    ) -> Refusal {
        let way_out = match super::names::nearest(asked, known.clone()) {
            Some(name) => format!("did you mean `{name}`?"),
            None => {
                let known: Vec<&str> = known.into_iter().collect();
                if known.is_empty() {
                    format!("it has no {sort} at all")
                } else {
                    format!("there are: {}", known.join(", "))
                }
            }
        };
        let what = format!("there is no {sort} named `{asked}`");
        Refusal::new(RefusalKind::UnknownName, at, what, way_out).about(asked)
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.at, self.what, self.way_out)
    }
}

impl std::error::Error for Refusal {}

impl From<crate::curve::CurveError> for Refusal {
    fn from(error: crate::curve::CurveError) -> Refusal {
        Refusal::new(
            RefusalKind::Geometry,
            "curve",
            error,
            "move the line or the place a little and try again",
        )
    }
}
