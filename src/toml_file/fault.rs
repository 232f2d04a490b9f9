//! What is wrong with a text that a person wrote, and where.

use std::fmt::Display;
use std::ops::Range;

use crate::pattern::Advice;

/// What is wrong with a text: what, where, and the way out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}: {label}; {way_out}")]
pub struct TextFault {
    /// What is wrong.
    pub what: String,
    /// Where it stands, in bytes.
    pub span: Range<usize>,
    /// What to write beside the place.
    pub label: String,
    /// What the user can do about it.
    pub way_out: Advice,
}

impl TextFault {
    pub(crate) fn new(
        span: Range<usize>,
        what: impl Display,
        label: impl Display,
        way_out: impl Into<Advice>,
    ) -> TextFault {
        TextFault { what: what.to_string(), span, label: label.to_string(), way_out: way_out.into() }
    }

    /// The same fault with another way out.
    pub(crate) fn way_out(self, way_out: impl Into<Advice>) -> TextFault {
        TextFault { way_out: way_out.into(), ..self }
    }
}
