//! What is wrong with a cloth file, and where.

use std::fmt::Display;
use std::ops::Range;

/// What is wrong with a cloth file: what, where in its text, and the way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileFault {
    /// What is wrong.
    pub what: String,
    /// Where it stands, in bytes.
    pub span: Range<usize>,
    /// What to write beside the place.
    pub label: String,
    /// What the user can do about it.
    pub way_out: String,
}

impl FileFault {
    pub(crate) fn new(
        span: Range<usize>,
        what: impl Display,
        label: impl Display,
        way_out: impl Display,
    ) -> FileFault {
        FileFault { what: what.to_string(), span, label: label.to_string(), way_out: way_out.to_string() }
    }
}
