//! Folders that outputs are written to: made where they are not there yet.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::cli::errors::Failure;
use crate::cli::part::unwritable;

/// Refuses a folder that is not there and cannot be made, since a file stands in its way. Makes nothing.
///
/// # Errors
///
/// Something on the way to it is no folder.
pub fn refuse_no_folder(folder: &Path) -> Result<(), Failure> {
    let there = folder.ancestors().find(|folder| fs::symlink_metadata(named(folder)).is_ok());
    match there.map(named).filter(|there| !there.is_dir()) {
        None => Ok(()),
        Some(file) => Err(Failure::in_file(
            folder.display(),
            format!("this folder cannot be made: `{}` is no folder", file.display()),
        )
        .way_out("name another folder with -o")),
    }
}

/// The folders that were made for an output.
#[derive(Debug, Default)]
pub struct MadeFolders(Vec<PathBuf>);

impl MadeFolders {
    /// Makes a folder and those around it, where they are not there.
    ///
    /// # Errors
    ///
    /// One of them cannot be made; then none is left.
    pub fn make(folder: &Path) -> Result<MadeFolders, Failure> {
        let mut missing: Vec<&Path> =
            folder.ancestors().take_while(|folder| !named(folder).is_dir()).collect();
        missing.reverse();
        let mut made = MadeFolders::default();
        for folder in missing {
            match fs::create_dir(folder) {
                Ok(()) => made.0.push(folder.to_owned()),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => {
                    made.take_away();
                    return Err(unwritable(folder, &error));
                }
            }
        }
        Ok(made)
    }

    /// Takes the folders away again, when nothing could be written to them. One that holds something by now stays.
    pub fn take_away(&self) {
        for folder in self.0.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

/// The folder of a path that may be empty, as the one that the user stands in.
fn named(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() { Path::new(".") } else { folder }
}
