//! What bringing in keeps in the folder of a table: the map, the pattern made of it, and which drawings it is of.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::drawing::is_pdf;
use crate::files::{Existing, FileFault, write_whole};
use crate::table::folder::{FolderFault, OWN, free_name, put_aside, read};
use crate::table::product::Product;

/// The map.
const MAP: &str = "map.toml";

/// The pattern that is made by it, with which the recipe begins.
const BOUGHT: &str = "bought.svg";

/// The drawings, one path a line, as they are named from the folder.
const DRAWINGS: &str = "drawings";

/// Largest map that is read, bytes: one of a hundred pieces has 200 kB.
const LARGEST_MAP: u64 = 4 << 20;

/// Letters of a name that are kept: with every one of four bytes it is one that a file may bear.
const NAME_LETTERS: usize = 60;

/// The name of a dropped file without its ending, letters, figures and dashes alone; `drawing` where nothing of it is left.
fn stem_of(called: &str) -> String {
    let name = called.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let words = stem.split(|letter: char| !letter.is_alphanumeric() && letter != '_');
    let cleaned = words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
    let kept: String = cleaned.chars().take(NAME_LETTERS).collect();
    if kept.is_empty() { "drawing".to_owned() } else { kept }
}

/// Where a folder keeps what is brought in.
#[derive(Clone, Debug)]
pub struct BringFiles {
    path: PathBuf,
}

impl BringFiles {
    /// In a folder.
    #[must_use]
    pub fn within(path: &Path) -> BringFiles {
        BringFiles { path: path.to_owned() }
    }

    /// Whether a drawing was begun to be brought in there.
    #[must_use]
    pub fn are_there(&self) -> bool {
        self.path.join(OWN).join(DRAWINGS).exists()
    }

    /// The name of the pattern in the folder.
    #[must_use]
    pub fn bought_name(&self) -> &'static str {
        BOUGHT
    }

    /// The folder.
    pub(super) fn folder(&self) -> &Path {
        &self.path
    }

    pub(super) fn path_of(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    /// Where the map stands.
    #[must_use]
    fn map_path(&self) -> PathBuf {
        self.path.join(MAP)
    }

    pub(super) fn undo_path(&self) -> PathBuf {
        self.path.join(OWN).join("map-undo")
    }

    /// The drawings.
    pub(super) fn drawings(&self) -> Result<Vec<PathBuf>, FolderFault> {
        let text = read(&self.path.join(OWN).join(DRAWINGS))?.unwrap_or_default();
        let text = String::from_utf8_lossy(&text).into_owned();
        Ok(text.lines().filter(|line| !line.is_empty()).map(|line| self.path.join(line)).collect())
    }

    /// Notes which drawings are brought in, as they are named from the folder.
    pub(super) fn note_drawings(&self, names: &[String]) -> Result<(), FolderFault> {
        let lines: String = names.iter().map(|name| format!("{name}\n")).collect();
        self.write(&self.path.join(OWN).join(DRAWINGS), lines.as_bytes(), Existing::Replace)
    }

    /// Whether the drawings that are brought in there are named so.
    ///
    /// # Errors
    ///
    /// The folder cannot be read.
    pub fn named(&self, names: &[String]) -> Result<bool, FolderFault> {
        Ok(self.drawings()? == names.iter().map(|name| self.path.join(name)).collect::<Vec<_>>())
    }

    /// Keeps a drawing that was dropped on the page under its own name, as far as a file of the folder may bear it, and tells
    /// that.
    pub(super) fn keep_drawing(&self, bytes: &[u8], called: &str) -> Result<String, FolderFault> {
        let (stem, ending) = (stem_of(called), if is_pdf(bytes) { "pdf" } else { "svg" });
        let own = format!("{stem}.{ending}");
        let is_tables = |name: &str| {
            let known = Product::ALL.map(Product::file);
            known.into_iter().chain([MAP, BOUGHT]).any(|known| known.eq_ignore_ascii_case(name))
        };
        let is_free = !is_tables(&own) && fs::symlink_metadata(self.path.join(&own)).is_err();
        let name = if is_free { own } else { free_name(&self.path, &stem, ending) };
        self.write(&self.path.join(&name), bytes, Existing::Keep)?;
        Ok(name)
    }

    /// The map as it stands; none where there is none.
    pub(super) fn map(&self) -> Result<Option<Vec<u8>>, FolderFault> {
        let path = self.map_path();
        if fs::metadata(&path).is_ok_and(|found| found.len() > LARGEST_MAP) {
            return Err(FolderFault::of(&path)(ErrorKind::FileTooLarge.into()));
        }
        read(&path)
    }

    /// Writes the map, whole.
    pub(super) fn write_map(&self, text: &str, existing: Existing) -> Result<(), FolderFault> {
        self.write(&self.map_path(), text.as_bytes(), existing)
    }

    /// Writes the pattern that the map makes. One that was not made here, or was changed since, is put aside before: its new
    /// name.
    pub(super) fn write_bought(&self, sheet: &str) -> Result<Option<String>, FolderFault> {
        let (path, copy) = (self.path.join(BOUGHT), self.path.join(OWN).join(BOUGHT));
        let found = read(&path)?;
        if found.as_deref() == Some(sheet.as_bytes()) {
            return Ok(None);
        }
        let mut aside = None;
        if found.is_some() && found != read(&copy)? {
            aside = Some(put_aside(&self.path, BOUGHT)?);
        }
        self.write(&path, sheet.as_bytes(), Existing::Replace)?;
        self.write(&copy, sheet.as_bytes(), Existing::Replace)?;
        Ok(aside)
    }

    fn write(&self, path: &Path, bytes: &[u8], existing: Existing) -> Result<(), FolderFault> {
        write_whole(path, bytes, existing).map_err(FolderFault::of_writing(path))
    }

    pub(super) fn undo_fault(&self) -> impl FnOnce(FileFault) -> FolderFault + use<> {
        FolderFault::of_writing(&self.undo_path())
    }
}
