//! What can be undone: the changes of a text, each so that it can be taken back and done again, kept in a folder.
//!
//! `N.json` is the N-th change, `now.json` the text as it was last kept and how many changes it has. A program killed
//! between two writes left the recipe one change before or after `now.json`: both are found again.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::files::{Existing, FileFault, write_whole};

/// A change of a text at one place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct TextChange {
    at: usize,
    was: String,
    now: String,
}

impl TextChange {
    /// What turns one text into another.
    fn between(old: &str, new: &str) -> TextChange {
        let same = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
        let at =
            (0..=same).rev().find(|at| old.is_char_boundary(*at) && new.is_char_boundary(*at)).unwrap_or(0);
        let (old_rest, new_rest) = (&old[at..], &new[at..]);
        let same = old_rest.bytes().rev().zip(new_rest.bytes().rev()).take_while(|(a, b)| a == b).count();
        let ends = |text: &str, length: usize| text.is_char_boundary(text.len() - length);
        let end = (0..=same).rev().find(|end| ends(old_rest, *end) && ends(new_rest, *end)).unwrap_or(0);
        let middle = |text: &str| text[..text.len() - end].to_owned();
        TextChange { at, was: middle(old_rest), now: middle(new_rest) }
    }

    fn done(&self, text: &str) -> Option<String> {
        replaced(text, self.at, &self.was, &self.now)
    }

    fn undone(&self, text: &str) -> Option<String> {
        replaced(text, self.at, &self.now, &self.was)
    }
}

fn replaced(text: &str, at: usize, was: &str, now: &str) -> Option<String> {
    let rest = text.get(at..)?.strip_prefix(was)?;
    Some(format!("{}{now}{rest}", &text[..at]))
}

/// The text as it was last kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Now {
    changes: usize,
    text: String,
}

/// Which way along the changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HistoryWay {
    /// To what was before the last one.
    Back,
    /// To what was after the one that was taken back last.
    On,
}

/// The changes of a text.
#[derive(Debug)]
pub(super) struct History {
    folder: PathBuf,
    now: Now,
    changes: Vec<TextChange>,
}

impl History {
    /// The changes kept in a folder, of a text as it stands now. One that was changed since otherwise than by a kept change
    /// has that as its last change.
    ///
    /// # Errors
    ///
    /// The folder cannot be read or written.
    pub(super) fn open(folder: PathBuf, text: &str) -> Result<History, FileFault> {
        fs::create_dir_all(&folder)?;
        let mut history =
            History { now: Now { changes: 0, text: text.to_owned() }, changes: Vec::new(), folder };
        let Some(now) = read::<Now>(&history.folder.join("now.json"))? else {
            history.keep_now()?;
            return Ok(history);
        };
        history.now = now;
        while let Some(change) = read(&history.change(history.changes.len() + 1))? {
            history.changes.push(change);
        }
        history.now.changes = history.now.changes.min(history.changes.len());
        history.found(text)?;
        Ok(history)
    }

    /// Takes up a text that is there: as it was kept, one change before or after, or other.
    fn found(&mut self, text: &str) -> Result<(), FileFault> {
        if self.now.text == text {
            return Ok(());
        }
        let steps = [
            self.text(HistoryWay::Back).zip(self.now.changes.checked_sub(1)),
            self.text(HistoryWay::On).zip(Some(self.now.changes + 1)),
        ];
        match steps.into_iter().flatten().find(|(other, _)| other == text) {
            Some((text, changes)) => {
                self.now = Now { changes, text };
                self.keep_now()
            }
            None => {
                self.begin(text)?;
                self.finish(text)
            }
        }
    }

    /// Writes the change to a new text down, before that text itself is written. What could be done again is dropped.
    ///
    /// # Errors
    ///
    /// The folder cannot be written.
    pub(super) fn begin(&mut self, text: &str) -> Result<(), FileFault> {
        for left in (self.now.changes + 1..=self.changes.len()).rev() {
            match fs::remove_file(self.change(left)) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error.into()),
                _ => self.changes.truncate(left - 1),
            }
        }
        let change = TextChange::between(&self.now.text, text);
        write(&self.change(self.changes.len() + 1), &change)?;
        self.changes.push(change);
        Ok(())
    }

    /// Takes back what was begun, since the text could not be written.
    pub(super) fn forget_begun(&mut self) {
        let _ = fs::remove_file(self.change(self.changes.len()));
        self.changes.pop();
    }

    /// Says that the text of the change that was begun is written.
    ///
    /// # Errors
    ///
    /// The folder cannot be written.
    pub(super) fn finish(&mut self, text: &str) -> Result<(), FileFault> {
        self.now = Now { changes: self.changes.len(), text: text.to_owned() };
        self.keep_now()
    }

    /// The text before the last change, or after the one that was undone last, if there is one.
    pub(super) fn text(&self, way: HistoryWay) -> Option<String> {
        match way {
            HistoryWay::Back => self.changes.get(self.now.changes.checked_sub(1)?)?.undone(&self.now.text),
            HistoryWay::On => self.changes.get(self.now.changes)?.done(&self.now.text),
        }
    }

    /// Writes again what could not be written.
    ///
    /// # Errors
    ///
    /// The folder cannot be written.
    pub(super) fn write_again(&self) -> Result<(), FileFault> {
        self.keep_now()
    }

    /// Says that the text is written to which a change leads.
    ///
    /// # Errors
    ///
    /// The folder cannot be written.
    pub(super) fn went(&mut self, way: HistoryWay, text: String) -> Result<(), FileFault> {
        let changes = match way {
            HistoryWay::Back => self.now.changes.saturating_sub(1),
            HistoryWay::On => self.now.changes + 1,
        };
        self.now = Now { changes, text };
        self.keep_now()
    }

    fn keep_now(&self) -> Result<(), FileFault> {
        write(&self.folder.join("now.json"), &self.now)
    }

    fn change(&self, number: usize) -> PathBuf {
        self.folder.join(format!("{number}.json"))
    }
}

fn write(path: &Path, data: &impl Serialize) -> Result<(), FileFault> {
    let text = serde_json::to_vec(data).map_err(io::Error::other)?;
    write_whole(path, &text, Existing::Replace)
}

/// What stands in a file; none where it is not there, or holds something else.
fn read<T: for<'de> Deserialize<'de>>(path: &Path) -> Result<Option<T>, FileFault> {
    match fs::read(path) {
        Ok(bytes) => Ok(serde_json::from_slice(&bytes).ok()),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_change_is_done_and_undone_whatever_the_texts_are(old in "[aäz\n]{0,12}", new in "[aäz\n]{0,12}") {
            let change = TextChange::between(&old, &new);
            prop_assert_eq!(change.done(&old), Some(new.clone()));
            prop_assert_eq!(change.undone(&new), Some(old));
        }
    }

    #[test]
    fn a_text_one_change_off_is_found_again_and_any_other_becomes_a_change() {
        let folder = tempfile::tempdir().unwrap();
        let at = || folder.path().join("undo");
        let mut history = History::open(at(), "a").unwrap();
        history.begin("ab").unwrap();
        history.finish("ab").unwrap();
        assert_eq!(History::open(at(), "a").unwrap().text(HistoryWay::On).as_deref(), Some("ab"));
        assert_eq!(History::open(at(), "ab").unwrap().text(HistoryWay::Back).as_deref(), Some("a"));
        assert_eq!(History::open(at(), "xyz").unwrap().text(HistoryWay::Back).as_deref(), Some("ab"));
    }
}
