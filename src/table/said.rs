//! What the page says: sentences, and answers to what is refused.

use serde::Serialize;

use crate::pattern::Refusal;
use crate::table::fault::TableFault;

/// Something that is well, or not, in a sentence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// Whether it is as it should be; none where it is neither.
    pub good: Option<bool>,
    /// The sentence.
    pub sentence: String,
}

impl Line {
    pub(super) fn new(good: bool, sentence: impl Into<String>) -> Line {
        Line { good: Some(good), sentence: sentence.into() }
    }

    pub(super) fn plain(sentence: impl Into<String>) -> Line {
        Line { good: None, sentence: sentence.into() }
    }
}

/// Why something is refused, where, and the way out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// What is refused.
    pub what: String,
    /// Where.
    pub at: String,
    /// What can be done about it.
    pub way_out: String,
}

impl Answer {
    pub(super) fn of(refusal: &Refusal) -> Answer {
        Answer { what: refusal.what.clone(), at: refusal.at.clone(), way_out: refusal.way_out.to_string() }
    }

    pub(super) fn plain(what: &str, way_out: &str) -> Answer {
        Answer { what: what.to_owned(), at: String::new(), way_out: way_out.to_owned() }
    }

    pub(super) fn into_fault(self) -> TableFault {
        let place = if self.at.is_empty() { String::new() } else { format!("{}: ", self.at) };
        TableFault::refused(format!("{place}{}", self.what), self.way_out)
    }
}
