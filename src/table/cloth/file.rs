//! The cloth file of a table.

use std::sync::Arc;

use crate::cloth::Stock;

/// Changes that can be taken back.
const MOST_BACK: usize = 1000;

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
    /// What was named at the start of which the text was begun, wherever one works; empty where nothing was.
    pub(super) begun_of: String,
    /// The texts before the changes, by hand or by others.
    pub(super) before: Vec<String>,
    /// What another program wrote in its place that cannot be read, and why.
    pub(super) nonsense: Option<(Vec<u8>, String)>,
}

impl ClothFile {
    /// The text of the cloth, empty where none is said, and how it is read.
    #[must_use]
    pub fn new(text: String, home: ClothHome, read: ClothTextReader) -> ClothFile {
        ClothFile { text, home, read, begun_of: String::new(), before: Vec::new(), nonsense: None }
    }

    /// The same, begun of what was named at the start: a table that is begun with that again goes on with what was set.
    #[must_use]
    pub fn begun_of(self, named: String) -> ClothFile {
        ClothFile { begun_of: named, ..self }
    }

    /// Whether what stands in the folder is this text, as far as this table knows.
    pub(super) fn is_in_folder(&self) -> bool {
        self.home == ClothHome::Folder
    }

    /// What stands in the folder now has another text, and can be taken back.
    pub(super) fn change_to(&mut self, text: String) {
        self.before.push(std::mem::replace(&mut self.text, text));
        let over = self.before.len().saturating_sub(MOST_BACK);
        self.before.drain(..over);
        (self.home, self.nonsense) = (ClothHome::Folder, None);
    }

    /// What stands in the folder now is the text before the last change.
    pub(super) fn take_back(&mut self) {
        self.text = self.before.pop().unwrap_or_default();
        self.home = ClothHome::Folder;
    }
}
