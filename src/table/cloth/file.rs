//! The cloth file of a table.

use std::sync::Arc;

use crate::cloth::Stock;

/// Reads the text of a cloth file; what it names stands beside it, in the folder of the table or named from there. What is wrong
/// is told in a sentence.
pub type ClothTextReader = Arc<dyn Fn(&str) -> Result<Stock, String> + Send + Sync>;

/// Where the text of the cloth stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ClothHome {
    /// In the folder.
    Folder,
    /// Elsewhere, under a name; that file is never written. The folder gets one of its own with the first change.
    Elsewhere(String),
    /// Nowhere: no cloth is said, or a size on the command line.
    Nowhere,
}

/// The cloth file of a table.
#[derive(Clone)]
pub struct ClothFile {
    pub(super) text: String,
    pub(super) home: ClothHome,
    pub(super) read: ClothTextReader,
    /// The texts before the changes that were made by hand.
    pub(super) before: Vec<String>,
    /// What another program wrote in its place that cannot be read, and why.
    pub(super) nonsense: Option<(Vec<u8>, String)>,
}

impl ClothFile {
    /// The text of the cloth, empty where none is said, and how it is read.
    #[must_use]
    pub fn new(text: String, home: ClothHome, read: ClothTextReader) -> ClothFile {
        ClothFile { text, home, read, before: Vec::new(), nonsense: None }
    }
}
