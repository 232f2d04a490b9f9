//! Files and streams: a pattern is read whole, and written whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use retrue::pattern::nearest;

use crate::cli::advice::as_argument;
use crate::cli::errors::{Failure, UserText};
use crate::cli::file_sort::FileSort;
use crate::cli::folders::{self, MadeFolders};
use crate::cli::inputs;
use crate::cli::part;
use crate::cli::part::already_there;
pub use crate::cli::part::{ExistingOutput, folder_of, unwritable};
use crate::cli::terminal::{Stream, broken, columns};

/// What stands for standard input or output in place of a file.
const STREAM: &str = "-";

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

/// Refuses more than one file from standard input.
pub fn refuse_stream_twice<'a>(sources: impl IntoIterator<Item = &'a Source>) -> Result<(), Failure> {
    if sources.into_iter().filter(|source| **source == Source::Stream).count() < 2 {
        return Ok(());
    }
    Err(Failure::new("only one file can come from standard input", "name files for the others"))
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

    /// The name of its file without folder and ending; nothing for standard input.
    pub fn stem(&self) -> Option<String> {
        match self {
            Source::Stream => None,
            Source::File(path) => Some(path.file_stem()?.to_string_lossy().into_owned()),
        }
    }

    /// All of its bytes.
    ///
    /// # Errors
    ///
    /// A file that is not there, a directory, one that may not be read, and one that is too large.
    pub fn read(&self, sort: FileSort) -> Result<Vec<u8>, Failure> {
        let limit = sort.largest().0 << 20;
        let mut bytes = Vec::new();
        match self {
            Source::Stream => {
                inputs::note_standard_input(sort);
                io::stdin().lock().take(limit + 1).read_to_end(&mut bytes)
            }
            Source::File(path) => {
                if path.is_dir() {
                    return Err(
                        Failure::in_file(path.display(), "this is a folder").way_out("name a file in it")
                    );
                }
                inputs::note(path, sort);
                File::open(path).and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
            }
        }
        .map_err(|error| self.unreadable(&error, sort))?;
        if bytes.len() as u64 > limit {
            return Err(Failure::in_file(
                self.name(),
                format!("this is over {} MB, more than is read at once", sort.largest().0),
            )
            .way_out("take pictures and unused layers out of it"));
        }
        Ok(bytes)
    }

    /// Its text, with its name.
    ///
    /// # Errors
    ///
    /// As [`Source::read`]; bytes that are no UTF-8 text, and a drawing.
    pub fn read_text(&self, sort: FileSort) -> Result<Arc<UserText>, Failure> {
        let what = sort.called();
        let source = String::from_utf8(self.read(sort)?).map_err(|error| {
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

    fn unreadable(&self, error: &io::Error, sort: FileSort) -> Failure {
        let failure = |what: String| Failure::in_file(self.name(), what);
        match (error.kind(), self) {
            (ErrorKind::NotFound, Source::File(path)) => {
                failure("there is no such file".to_owned()).way_out(match neighbour(path, sort) {
                    Some(name) => format!("did you mean `{name}`?"),
                    None => "check the spelling of the name, and the folder".to_owned(),
                })
            }
            (ErrorKind::PermissionDenied, _) => failure("this file may not be read".to_owned())
                .way_out("ask its owner, or change its permissions"),
            _ => failure(format!("this cannot be read: {error}"))
                .way_out("copy the file elsewhere and try again"),
        }
    }
}

/// How many of the files beside a missing one are looked into for one of its sort.
const NEIGHBOURS_LOOKED_INTO: usize = 8;

/// The file of a sort beside a missing one that differs from it in the ending alone, or whose name is nearest to it.
fn neighbour(path: &Path, sort: FileSort) -> Option<String> {
    let asked = path.file_name()?.to_str()?;
    let ends_so = |name: &String| {
        let ending = Path::new(name).extension();
        sort.endings().iter().any(|known| ending.is_some_and(|ending| ending.eq_ignore_ascii_case(known)))
    };
    let mut names: Vec<String> = fs::read_dir(folder_of(path))
        .ok()?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(ends_so)
        .collect();
    for _ in 0..NEIGHBOURS_LOOKED_INTO {
        let differs_in_ending = |name: &&String| Path::new(name).file_stem() == path.file_stem();
        let alike = names.iter().find(differs_in_ending).map(String::as_str);
        let found = alike.or_else(|| nearest(asked, names.iter().map(String::as_str)))?.to_owned();
        let beside = path.with_file_name(&found);
        if is_of(&beside, sort) {
            return Some(beside.display().to_string());
        }
        names.retain(|name| *name != found);
    }
    None
}

fn is_of(path: &Path, sort: FileSort) -> bool {
    let is_small =
        fs::metadata(path).is_ok_and(|found| found.is_file() && found.len() <= sort.largest().0 << 20);
    is_small && fs::read(path).is_ok_and(|bytes| sort.is(&bytes))
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

impl Target {
    /// Refuses a file that is there already and may not be replaced, before any work is done; asked again when all is read,
    /// also one that the command has read.
    ///
    /// # Errors
    ///
    /// The file exists; it is a directory; it was read; its folder cannot be made.
    pub fn refuse_unwritable(&self, existing: ExistingOutput) -> Result<(), Failure> {
        let Target::File(path) = self else { return Ok(()) };
        match fs::symlink_metadata(path) {
            Ok(_) if path.is_dir() => {
                Err(Failure::in_file(path.display(), "this is a folder").way_out("name a file in it"))
            }
            Ok(_) if is_own_input(path, existing) => Err(own_input(path)),
            Ok(_) if existing == ExistingOutput::Keep && !is_stream_of_some_kind(path) => {
                Err(already_there(path))
            }
            Ok(_) => Ok(()),
            Err(_) => folders::refuse_no_folder(folder_of(path)),
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
    /// disk. Its folder is made.
    ///
    /// # Errors
    ///
    /// As [`Target::refuse_unwritable`]; the disk is full; the folder cannot be written to.
    pub fn write(&self, content: impl AsRef<[u8]>, existing: ExistingOutput) -> Result<(), Failure> {
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
                let made = MadeFolders::make(folder_of(path))?;
                part::write_whole(path, content, existing).inspect_err(|_| made.take_away())
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

/// Writes text that a person reads to standard output, its lines no longer than they may be there.
///
/// # Errors
///
/// The stream cannot be written to.
pub fn print_to_read(text: &str) -> Result<(), Failure> {
    print(&broken(text, columns(Stream::Output)))
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

/// Whether a file that was read would be replaced.
fn is_own_input(path: &Path, existing: ExistingOutput) -> bool {
    match inputs::sort_of(path) {
        None => false,
        Some(FileSort::Pattern) => existing != ExistingOutput::ReplacePattern,
        Some(_) => true,
    }
}

/// A file that the command has read and would write over.
pub(super) fn own_input(path: &Path) -> Failure {
    Failure::in_file(path.display(), "this is what the command reads, and would be written over")
        .way_out("name another file with -o")
}
