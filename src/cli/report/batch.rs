//! What came of one recipe over many patterns.

use serde::Serialize;

/// What came of many patterns.
#[derive(Clone, Debug, Serialize)]
pub struct BatchReport {
    /// Whether every one was done and is true.
    #[serde(rename = "true")]
    pub is_true: bool,
    /// What came of each, in the order of the files.
    pub files: Vec<BatchRow>,
}

/// What came of a pattern.
#[derive(Clone, Debug, Serialize)]
pub struct BatchRow {
    /// Its file.
    pub file: String,
    /// The file of the new pattern, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// What came of it.
    pub verdict: BatchVerdict,
    /// Why it was refused, or what is not true.
    pub reasons: Vec<String>,
    /// What to look at twice.
    pub warnings: Vec<String>,
}

/// What came of a pattern, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BatchVerdict {
    /// It was done, and is true.
    True,
    /// It was done, but something is not true.
    NotTrue,
    /// It was not done, and nothing was written.
    Refused,
}
