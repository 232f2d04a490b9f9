//! Files and streams: a pattern is read whole, and written whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use retrue::pattern::nearest;

use crate::cli::errors::{Failure, UserText};
use crate::cli::messages::as_argument;
use crate::cli::part;

/// What stands for standard input or output in place of a file.
const STREAM: &str = "-";

/// Largest pattern that is read. A large drawing with embedded pictures has 20 MB; the reader of drawings has a
/// limit of its own.
pub const LARGEST_PATTERN: Megabytes = Megabytes(200);

/// Largest recipe that is read: ten thousand steps have 2 MB.
pub const LARGEST_RECIPE: Megabytes = Megabytes(4);

/// A size of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Megabytes(u64);

/// Where data come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// Standard input.
    Stream,
    /// A file.
    File(PathBuf),
}

impl From<PathBuf> for Source {
    fn from(path: PathBuf) -> Source {
        if path.as_os_str() == STREAM { Source::Stream } else { Source::File(path) }
    }
}

impl Source {
    /// What it is called in messages.
    pub fn name(&self) -> String {
        match self {
            Source::Stream => "standard input".to_owned(),
            Source::File(path) => path.display().to_string(),
        }
    }

    /// How it is named on a command line; nothing for standard input, which is read but once.
    pub fn as_argument(&self) -> Option<String> {
        match self {
            Source::Stream => None,
            Source::File(path) => Some(as_argument(&path.display().to_string())),
        }
    }

    /// All of its bytes.
    ///
    /// # Errors
    ///
    /// A file that is not there, a directory, one that may not be read, and one that is too large.
    pub fn read(&self, largest: Megabytes) -> Result<Vec<u8>, Failure> {
        let limit = largest.0 << 20;
        let mut bytes = Vec::new();
        match self {
            Source::Stream => io::stdin().lock().take(limit + 1).read_to_end(&mut bytes),
            Source::File(path) => {
                if path.is_dir() {
                    return Err(
                        Failure::in_file(path.display(), "this is a directory").way_out("name a file in it")
                    );
                }
                File::open(path).and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
            }
        }
        .map_err(|error| self.unreadable(&error))?;
        if bytes.len() as u64 > limit {
            return Err(Failure::in_file(
                self.name(),
                format!("this is over {} MB, more than is read at once", largest.0),
            )
            .way_out("take pictures and unused layers out of it"));
        }
        Ok(bytes)
    }

    /// Its text, with its name.
    ///
    /// # Errors
    ///
    /// As [`Source::read`]; bytes that are no UTF-8 text, told of with what the file is: `the recipe`.
    pub fn read_text(&self, what: &str, largest: Megabytes) -> Result<Arc<UserText>, Failure> {
        let source = String::from_utf8(self.read(largest)?).map_err(|error| {
            let line = error.as_bytes()[..error.utf8_error().valid_up_to()].split(|b| *b == b'\n').count();
            Failure::in_file(self.name(), format!("line {line}: this is not UTF-8 text"))
                .way_out(format!("save {what} as plain UTF-8 text"))
        })?;
        if source.trim_start_matches('\u{feff}').trim_start().starts_with('<') {
            return Err(Failure::in_file(
                self.name(),
                format!("this is a drawing, and stands in the place of {what}"),
            )
            .way_out(format!("name {what}, a TOML file, here, and the drawing in its own place")));
        }
        Ok(Arc::new(UserText { file: self.name(), source }))
    }

    fn unreadable(&self, error: &io::Error) -> Failure {
        let failure = |what: String| Failure::in_file(self.name(), what);
        match (error.kind(), self) {
            (ErrorKind::NotFound, Source::File(path)) => {
                failure("there is no such file".to_owned()).way_out(match neighbour(path) {
                    Some(name) => format!("did you mean `{name}`?"),
                    None => "look at the spelling of the name and the folder you are in".to_owned(),
                })
            }
            (ErrorKind::PermissionDenied, _) => {
                failure("you may not read this file".to_owned()).way_out("ask its owner, or change its mode")
            }
            _ => failure(format!("this cannot be read: {error}"))
                .way_out("copy the file elsewhere and try again"),
        }
    }
}

/// The file beside a missing one whose name is nearest to it.
fn neighbour(path: &Path) -> Option<String> {
    let asked = path.file_name()?.to_str()?;
    let names: Vec<String> = fs::read_dir(folder_of(path))
        .ok()?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| path.extension().is_none() || Path::new(name).extension() == path.extension())
        .collect();
    let found = nearest(asked, names.iter().map(String::as_str))?;
    Some(path.with_file_name(found).display().to_string())
}

/// The folder that a file stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Where data go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// Standard output.
    Stream,
    /// A file.
    File(PathBuf),
}

impl From<PathBuf> for Target {
    fn from(path: PathBuf) -> Target {
        if path.as_os_str() == STREAM { Target::Stream } else { Target::File(path) }
    }
}

impl From<&Target> for Source {
    /// Where what was written can be read again.
    fn from(target: &Target) -> Source {
        match target {
            Target::Stream => Source::Stream,
            Target::File(path) => Source::File(path.clone()),
        }
    }
}

/// Endings of names that say what a file holds.
const ENDINGS: &[&str] = &["svg", "pdf", "png", "jpg", "jpeg", "html", "htm", "toml", "json"];

/// What is done about a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// It is left as it is, and the command refused.
    Keep,
    /// It is replaced.
    Replace,
}

impl Target {
    /// Refuses a file that is there already and may not be replaced, before any work is done.
    ///
    /// # Errors
    ///
    /// The file exists; it is a directory; its folder does not exist.
    pub fn refuse_unwritable(&self, existing: Existing) -> Result<(), Failure> {
        let Target::File(path) = self else { return Ok(()) };
        match fs::symlink_metadata(path) {
            Ok(_) if path.is_dir() => {
                Err(Failure::in_file(path.display(), "this is a directory").way_out("name a file in it"))
            }
            Ok(_) if existing == Existing::Keep && !is_stream_of_some_kind(path) => Err(already_there(path)),
            Ok(_) => Ok(()),
            Err(_) if !folder_of(path).is_dir() => Err(Failure::in_file(
                path.display(),
                format!("there is no folder `{}`", folder_of(path).display()),
            )
            .way_out("make it first, or name another")),
            Err(_) => Ok(()),
        }
    }

    /// Refuses a name that says the file holds something else than it will: `what` is written, under one of these endings.
    ///
    /// # Errors
    ///
    /// The name ends as that of another sort of file.
    pub fn refuse_ending_of_another_sort(&self, what: &str, endings: &[&str]) -> Result<(), Failure> {
        let Target::File(path) = self else { return Ok(()) };
        let ending =
            path.extension().and_then(|ending| ending.to_str()).unwrap_or_default().to_ascii_lowercase();
        if endings.contains(&ending.as_str()) || !ENDINGS.contains(&ending.as_str()) {
            return Ok(());
        }
        Err(Failure::in_file(path.display(), format!("{what} is written, and this name ends in .{ending}"))
            .way_out(format!("let the name end in .{}", endings.join(" or ."))))
    }

    /// Writes all of a content, or nothing: a file that was there stays as it was until the new one stands whole on the
    /// disk.
    ///
    /// # Errors
    ///
    /// The file exists and may not be replaced; the disk is full; the folder cannot be written to.
    pub fn write(&self, content: impl AsRef<[u8]>, existing: Existing) -> Result<(), Failure> {
        let content = content.as_ref();
        match self {
            Target::Stream => print_bytes(content),
            Target::File(path) => {
                self.refuse_unwritable(existing)?;
                if is_stream_of_some_kind(path) {
                    let written = OpenOptions::new().write(true).open(path);
                    return written
                        .and_then(|mut file| file.write_all(content))
                        .map_err(|error| unwritable(path, &error));
                }
                part::write_whole(path, content, existing)
            }
        }
    }
}

/// Writes a text to standard output. A reader that has seen enough and closed the pipe is no error.
///
/// # Errors
///
/// The stream cannot be written to.
pub fn print(text: &str) -> Result<(), Failure> {
    print_bytes(text.as_bytes())
}

fn print_bytes(content: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(content).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(unwritable(Path::new("standard output"), &error))
        }
        _ => Ok(()),
    }
}

/// Whether a path names a device, a pipe or the like, which is written to and never replaced.
fn is_stream_of_some_kind(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|found| !found.is_file() && !found.is_dir())
}

pub(super) fn already_there(path: &Path) -> Failure {
    Failure::in_file(path.display(), "this file exists already")
        .way_out("say --force to replace it, or name another with -o")
}

pub(super) fn unwritable(path: &Path, error: &io::Error) -> Failure {
    let failure = |what: String| Failure::in_file(path.display(), what);
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            failure(format!("there is no room to write this: {error}"))
                .way_out("make room; what was there before is as it was")
        }
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            failure("you may not write here".to_owned()).way_out("name another folder with -o")
        }
        _ => failure(format!("this cannot be written: {error}"))
            .way_out("name another file with -o; what was there before is as it was"),
    }
}
