//! What stands in the way of writing a file, as the user is told it.

use std::io::{self, ErrorKind};
use std::path::Path;

pub use retrue::files::folder_of;
use retrue::files::{self, FileFault};

use crate::cli::errors::Failure;

/// What is done about a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExistingOutput {
    /// It is left as it is, and the command refused.
    Keep,
    /// It is replaced, unless the command has read it.
    Replace,
    /// It is replaced, also if it is the pattern sheet that the command has read: an operation writes it anew.
    ReplacePattern,
}

/// Writes a file whole, or leaves what was there as it was. Parts that dead programs left in the folder are taken away.
///
/// # Errors
///
/// The file exists and may not be replaced; the disk is full; the folder cannot be written to.
pub fn write_whole(path: &Path, content: &[u8], existing: ExistingOutput) -> Result<(), Failure> {
    let existing = match existing {
        ExistingOutput::Keep => files::Existing::Keep,
        ExistingOutput::Replace | ExistingOutput::ReplacePattern => files::Existing::Replace,
    };
    files::write_whole(path, content, existing).map_err(|fault| match fault {
        FileFault::AlreadyThere => already_there(path),
        FileFault::Unwritable(error) => unwritable(path, &error),
    })
}

/// A file that is there already and may not be replaced.
pub fn already_there(path: &Path) -> Failure {
    Failure::in_file(path.display(), "this file exists already")
        .way_out("say --force to replace it, or name another with -o")
}

/// A file that cannot be written.
pub fn unwritable(path: &Path, error: &io::Error) -> Failure {
    let failure = |what: String| Failure::in_file(path.display(), what);
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            failure(format!("there is no room to write this: {error}"))
                .way_out("make room; what was there before is as it was")
        }
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            failure("nothing may be written here".to_owned()).way_out("name another folder with -o")
        }
        _ => failure(format!("this cannot be written: {error}"))
            .way_out("name another file with -o; what was there before is as it was"),
    }
}
