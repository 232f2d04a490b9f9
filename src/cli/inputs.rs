//! What the command has read, so that nothing it writes replaces it.
//!
//! A program runs one command. Every file that it reads, from wherever it was named (the command line, a recipe, a cloth
//! file), is noted here by the one place that reads files, and every file to be written is held against all of them by
//! the one place that writes. A file is the same by whatever link or path it is named.

use std::fs::Metadata;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use crate::cli::file_sort::FileSort;

static READ: Mutex<Vec<(FileId, FileSort)>> = Mutex::new(Vec::new());

/// A file, by whatever name.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg(unix)]
struct FileId {
    device: u64,
    number: u64,
}

/// A file, by the path that all links lead to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg(not(unix))]
struct FileId(std::path::PathBuf);

#[cfg(unix)]
impl FileId {
    fn of(_path: &Path, found: &Metadata) -> Option<FileId> {
        use std::os::unix::fs::MetadataExt;
        Some(FileId { device: found.dev(), number: found.ino() })
    }
}

#[cfg(not(unix))]
impl FileId {
    fn of(path: &Path, _found: &Metadata) -> Option<FileId> {
        std::fs::canonicalize(path).ok().map(FileId)
    }
}

/// Where a shell puts the file that standard input comes from.
const STANDARD_INPUT: &str = "/dev/stdin";

/// Notes a file that is read.
pub fn note(path: &Path, sort: FileSort) {
    let Some(found) = std::fs::metadata(path).ok().filter(Metadata::is_file) else { return };
    if let Some(file) = FileId::of(path, &found) {
        let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
        if !read.contains(&(file.clone(), sort)) {
            read.push((file, sort));
        }
    }
}

/// Notes the file that standard input comes from, where it comes from one.
pub fn note_standard_input(sort: FileSort) {
    note(Path::new(STANDARD_INPUT), sort);
}

/// As what a file was read, if it was.
pub fn sort_of(path: &Path) -> Option<FileSort> {
    let found = std::fs::metadata(path).ok().filter(Metadata::is_file)?;
    let file = FileId::of(path, &found)?;
    let read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    let sorts = || read.iter().filter(|(other, _)| *other == file).map(|(_, sort)| *sort);
    // A file that was read as two things is told as the one that may never be replaced.
    sorts().find(|sort| *sort != FileSort::Pattern).or_else(|| sorts().next())
}
