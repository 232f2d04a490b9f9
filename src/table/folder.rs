//! The folder of a table: its recipe, its sheet, and a lock that one server holds.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::files::{Existing, FileFault, write_whole};
use crate::table::product::Product;

/// Where the table keeps what is its own.
pub(super) const OWN: &str = ".retrue";

/// Which cloth was named when the table was laid.
const CLOTH_NAMED: &str = "cloth";

/// Of which cloth that was named the cloth file of the folder was begun.
const CLOTH_BEGUN_OF: &str = "cloth-begun-of";

/// Largest recipe that is read, bytes: one of ten thousand steps has 2 MB.
const LARGEST_RECIPE: u64 = 4 << 20;

/// A folder that this program alone holds.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    lock: File,
    /// The folders that were made for it, the innermost first.
    made: Vec<PathBuf>,
    /// What the table's own folder held when it was taken.
    own_before: BTreeSet<OsString>,
    /// Whether the recipe in it was begun by this program.
    begun: Begun,
}

/// Whether something was begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Begun {
    Here,
    Before,
}

/// What is wrong with a folder.
#[derive(Debug, thiserror::Error)]
pub enum FolderFault {
    /// Another program holds it.
    #[error("another table lies on this folder already")]
    Locked,
    /// It cannot be read or written.
    #[error("{what} cannot be read or written: {}", reason(error))]
    Disk {
        /// The file.
        what: String,
        /// Why.
        error: io::Error,
    },
}

/// Why the disk did not do it, in plain words where they are known.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "that is not allowed".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "nothing may be written there".to_owned(),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

impl FolderFault {
    pub(super) fn of(what: &Path) -> impl FnOnce(io::Error) -> FolderFault + use<> {
        let what = what.display().to_string();
        move |error| FolderFault::Disk { what, error }
    }

    pub(super) fn of_writing(what: &Path) -> impl FnOnce(FileFault) -> FolderFault + use<> {
        let what = what.display().to_string();
        move |fault| match fault {
            FileFault::AlreadyThere => FolderFault::Disk { what, error: ErrorKind::AlreadyExists.into() },
            FileFault::Unwritable(error) => FolderFault::Disk { what, error },
        }
    }
}

impl Folder {
    /// Takes a folder; it is made where it is not there.
    ///
    /// # Errors
    ///
    /// Another program holds it; it cannot be written to.
    pub fn take(path: &Path) -> Result<Folder, FolderFault> {
        let own = path.join(OWN);
        let is_missing = |folder: &&Path| !folder.as_os_str().is_empty() && !folder.exists();
        let made: Vec<PathBuf> = own.ancestors().take_while(is_missing).map(Path::to_owned).collect();
        let own_before = names_in(&own);
        match locked(&own) {
            Ok(lock) => Ok(Folder { path: path.to_owned(), lock, made, own_before, begun: Begun::Before }),
            Err(fault) => {
                take_away(&made, &own, &own_before);
                Err(fault)
            }
        }
    }

    /// Gives the folder back as it was before it was taken, or before work began there that stays: for a table that cannot
    /// be laid.
    pub fn give_back(self) {
        if self.begun == Begun::Here {
            let _ = fs::remove_file(self.recipe_path());
        }
        drop(self.lock);
        take_away(&self.made, &self.path.join(OWN), &self.own_before);
    }

    /// What was written there so far stays, whatever becomes of the table.
    pub(super) fn keep_so_far(&mut self) {
        self.made.clear();
        self.own_before = names_in(&self.path.join(OWN));
    }

    /// Writes the recipe that it begins with.
    ///
    /// # Errors
    ///
    /// There is one already; it cannot be written.
    pub fn begin(&mut self, text: &str) -> Result<(), FolderFault> {
        let path = self.recipe_path();
        write_whole(&path, text.as_bytes(), Existing::Keep).map_err(FolderFault::of_writing(&path))?;
        self.begun = Begun::Here;
        Ok(())
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Where its recipe stands.
    #[must_use]
    fn recipe_path(&self) -> PathBuf {
        self.path.join(Product::Recipe.file())
    }

    /// Where its sheet stands.
    #[must_use]
    fn sheet_path(&self) -> PathBuf {
        self.path.join(Product::Sheet.file())
    }

    pub(super) fn undo_path(&self) -> PathBuf {
        self.path.join(OWN).join("undo")
    }

    /// The bytes of its recipe; none where there is none.
    ///
    /// # Errors
    ///
    /// It cannot be read, or is too large to be a recipe.
    pub fn recipe(&self) -> Result<Option<Vec<u8>>, FolderFault> {
        let path = self.recipe_path();
        if fs::metadata(&path).is_ok_and(|found| found.len() > LARGEST_RECIPE) {
            return Err(FolderFault::of(&path)(ErrorKind::FileTooLarge.into()));
        }
        read(&path)
    }

    /// The bytes of its sheet; none where there is none.
    ///
    /// # Errors
    ///
    /// It cannot be read.
    pub fn sheet(&self) -> Result<Option<Vec<u8>>, FolderFault> {
        read(&self.sheet_path())
    }

    /// Writes the recipe, whole.
    ///
    /// # Errors
    ///
    /// It cannot be written; then it is as it was.
    pub fn write_recipe(&self, text: &str) -> Result<(), FolderFault> {
        self.write(&self.recipe_path(), text.as_bytes())
    }

    /// Writes the sheet, whole.
    ///
    /// # Errors
    ///
    /// It cannot be written; then it is as it was.
    pub fn write_sheet(&self, text: &str) -> Result<(), FolderFault> {
        self.write(&self.sheet_path(), text.as_bytes())
    }

    fn write(&self, path: &Path, content: &[u8]) -> Result<(), FolderFault> {
        write_whole(path, content, Existing::Replace).map_err(FolderFault::of_writing(path))
    }

    /// The cloth that was named last for a table on a folder; none where none was, or nothing of it can be read.
    #[must_use]
    pub fn cloth_named(path: &Path) -> Option<String> {
        own_text(path, CLOTH_NAMED)
    }

    /// Of which cloth that was named the cloth file of a folder was begun; none where that is not known.
    #[must_use]
    pub fn cloth_begun_of(path: &Path) -> Option<String> {
        own_text(path, CLOTH_BEGUN_OF)
    }

    /// Keeps of which cloth that was named the cloth file is begun; of none where it is empty.
    pub(super) fn keep_cloth_begun_of(&self, named: &str) -> Result<(), FolderFault> {
        self.write_own(CLOTH_BEGUN_OF, named.as_bytes())
    }

    /// Keeps which cloth was named, for the next time that none is.
    ///
    /// # Errors
    ///
    /// It cannot be written.
    pub fn keep_cloth_named(&self, named: &str) -> Result<(), FolderFault> {
        self.write_own(CLOTH_NAMED, named.as_bytes())
    }

    /// Gives a file that is there a free name, and tells that.
    pub(super) fn put_aside(&self, file: &str) -> Result<String, FolderFault> {
        put_aside(&self.path, file)
    }

    /// Takes a file in it away, if it is there.
    pub(super) fn take_file_away(&self, name: &str) -> Result<(), FolderFault> {
        let path = self.path.join(name);
        match fs::remove_file(&path) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(FolderFault::of(&path)(error)),
            _ => Ok(()),
        }
    }

    /// A name with a number that no file in it bears.
    pub(super) fn free_name(&self, name: &str) -> String {
        let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
        free_name(&self.path, stem, ending)
    }

    /// The bytes of a file in it; none where there is none.
    pub(super) fn file(&self, name: &str) -> Result<Option<Vec<u8>>, FolderFault> {
        read(&self.path.join(name))
    }

    /// Writes a file in it, whole.
    pub(super) fn write_file(&self, name: &str, content: &[u8]) -> Result<(), FolderFault> {
        self.write(&self.path.join(name), content)
    }

    /// Writes a file in it that is not there yet, whole.
    pub(super) fn write_new_file(&self, name: &str, content: &[u8]) -> Result<(), FolderFault> {
        let path = self.path.join(name);
        write_whole(&path, content, Existing::Keep).map_err(FolderFault::of_writing(&path))
    }

    /// The bytes of a file that is the table's own; none where there is none.
    pub(super) fn own(&self, name: &str) -> Result<Option<Vec<u8>>, FolderFault> {
        read(&self.path.join(OWN).join(name))
    }

    /// Writes a file that is the table's own, whole.
    pub(super) fn write_own(&self, name: &str, content: &[u8]) -> Result<(), FolderFault> {
        self.write(&self.path.join(OWN).join(name), content)
    }

    pub(super) fn undo_fault(&self) -> impl FnOnce(FileFault) -> FolderFault + use<> {
        FolderFault::of_writing(&self.undo_path())
    }
}

fn locked(own: &Path) -> Result<File, FolderFault> {
    fs::create_dir_all(own).map_err(FolderFault::of(own))?;
    let name = own.join("lock");
    let mut options = OpenOptions::new();
    let lock = options.write(true).create(true).truncate(false).open(&name);
    let lock = lock.map_err(FolderFault::of(&name))?;
    match lock.try_lock() {
        Ok(()) => Ok(lock),
        Err(fs::TryLockError::WouldBlock) => Err(FolderFault::Locked),
        Err(fs::TryLockError::Error(error)) => Err(FolderFault::of(&name)(error)),
    }
}

/// What stands in a folder, by name.
fn names_in(folder: &Path) -> BTreeSet<OsString> {
    fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.file_name()).collect()
}

/// Takes away what was not there before in the table's own folder, and the folders that were made, the innermost first, where
/// nothing stands in them. What cannot be taken away stays: it is no reason for another fault.
fn take_away(made: &[PathBuf], own: &Path, own_before: &BTreeSet<OsString>) {
    for name in names_in(own).difference(own_before) {
        let path = own.join(name);
        let _ = if path.is_dir() { fs::remove_dir_all(path) } else { fs::remove_file(path) };
    }
    for folder in made {
        let _ = fs::remove_dir(folder);
    }
}

/// Gives a file of a folder a free name, and tells that.
pub(super) fn put_aside(folder: &Path, file: &str) -> Result<String, FolderFault> {
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, ""));
    let name = free_name(folder, &format!("{stem}-aside"), ending);
    let path = folder.join(file);
    fs::rename(&path, folder.join(&name)).map_err(FolderFault::of(&path))?;
    Ok(name)
}

/// The first name in a folder that nothing has yet: `drawing-1.svg`.
pub(super) fn free_name(folder: &Path, stem: &str, ending: &str) -> String {
    let mut names = (1..).map(|number: usize| format!("{stem}-{number}.{ending}"));
    let is_free = |name: &String| fs::symlink_metadata(folder.join(name)).is_err();
    names.find(is_free).unwrap_or_default()
}

/// A text that the table keeps of its own; none where it is not there, empty, or cannot be read.
fn own_text(folder: &Path, name: &str) -> Option<String> {
    fs::read_to_string(folder.join(OWN).join(name)).ok().filter(|text| !text.is_empty())
}

/// The bytes of a file; none where it is not there.
pub(super) fn read(path: &Path) -> Result<Option<Vec<u8>>, FolderFault> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(FolderFault::of(path)(error)),
    }
}
