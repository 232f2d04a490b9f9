//! Files on the way to being whole: a text is written to a part beside its file, which takes the file's place at once.
//!
//! The part is locked as long as its program lives, so that a later one can tell what a killed program left.

use std::collections::BTreeSet;
use std::fs::{self, DirEntry, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Duration;

/// A part is named by these and some letters between them.
const PREFIX: &str = ".retrue-";
const SUFFIX: &str = ".part";

/// How many letters there are.
const LETTERS: usize = 6;

/// The age from which a part that nobody holds was left by a killed program: writing takes less than a second, and a
/// folder on another machine may neither keep locks nor the same time.
const LEFT_AFTER: Duration = Duration::from_secs(600);

/// What is done about a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// It is left as it is, and writing refused.
    Keep,
    /// It is replaced.
    Replace,
}

/// Why a file was not written; what was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum FileFault {
    /// It is there already.
    #[error("this file exists already")]
    AlreadyThere,
    /// It cannot be written.
    #[error(transparent)]
    Unwritable(#[from] io::Error),
}

/// The folder that a file stands in.
#[must_use]
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Writes a file whole, or leaves what was there as it was. Parts that dead programs left in the folder are taken away.
///
/// # Errors
///
/// The file exists and may not be replaced; the disk is full; the folder cannot be written to.
pub fn write_whole(path: &Path, content: &[u8], existing: Existing) -> Result<(), FileFault> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = folder_of(&target);
    take_away_left_parts_once(folder);
    let mut part = new_part(folder)?;
    part.write_all(content)?;
    if let Ok(replaced) = fs::metadata(&target) {
        part.as_file().set_permissions(replaced.permissions())?;
    }
    part.as_file().sync_all()?;
    let put = match existing {
        Existing::Keep => part.persist_noclobber(&target),
        Existing::Replace => part.persist(&target),
    };
    match put {
        Ok(_) => {
            keep_entry(folder);
            Ok(())
        }
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(FileFault::AlreadyThere),
        Err(error) => Err(error.error.into()),
    }
}

/// A new file beside the one to be written, with the mode of any new file.
fn new_part(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX).rand_bytes(LETTERS);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        /// Readable and writable by all whom the user's mask lets.
        const ANY_NEW_FILE: u32 = 0o666;
        builder.permissions(fs::Permissions::from_mode(ANY_NEW_FILE));
    }
    let part = builder.tempfile_in(folder)?;
    let _ = part.as_file().try_lock();
    Ok(part)
}

/// Does [`take_away_left_parts`] in a folder the first time that something is written to it: with thousands of files in
/// it, looking through all of them for each one written would take longer than writing.
fn take_away_left_parts_once(folder: &Path) {
    static CLEARED: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());
    let is_new = CLEARED.lock().is_ok_and(|mut cleared| cleared.insert(folder.to_owned()));
    if is_new {
        take_away_left_parts(folder);
    }
}

/// Takes away the parts in a folder that a program left when it was killed: old ones that nobody holds. What cannot be
/// taken away stays: it is no reason not to write.
fn take_away_left_parts(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.filter_map(Result::ok) {
        if entry.file_name().to_str().is_some_and(is_name_of_part) && is_left(&entry) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_name_of_part(name: &str) -> bool {
    let letters = name.strip_prefix(PREFIX).and_then(|rest| rest.strip_suffix(SUFFIX));
    letters.is_some_and(|letters| {
        letters.len() == LETTERS && letters.chars().all(|letter| letter.is_ascii_alphanumeric())
    })
}

/// Whether a part is old, and no program holds it.
fn is_left(entry: &DirEntry) -> bool {
    let Ok(found) = entry.metadata() else { return false };
    let age = found.modified().ok().and_then(|written| written.elapsed().ok());
    let is_old = found.is_file() && age.is_some_and(|age| age > LEFT_AFTER);
    is_old && File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok())
}

/// Brings the new name itself to the disk. The file stands whole either way, so that a folder which cannot be
/// opened for this is no error.
fn keep_entry(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
