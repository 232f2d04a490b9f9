//! The files of a recipe that is run over many patterns: which are read, and where each new one goes.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use glob::{MatchOptions, glob_with};
use retrue::pattern::nearest;

use crate::cli::errors::Failure;
use crate::cli::io::{folder_of, unwritable};

/// What stands for the name of the pattern's file, without its folder and ending, in the name of the new one.
const NAME: &str = "{name}";

/// A pattern to be read, and where the new one goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FilePair {
    /// The file to be read.
    pub input: PathBuf,
    /// The file to be written, unless nothing is.
    pub output: Option<PathBuf>,
}

/// The files that patterns of names match, each once, in the order of the patterns and then of the alphabet. What is
/// the name of a file is that file, whatever signs it has in it.
///
/// # Errors
///
/// A pattern of names that cannot be read, and one that nothing matches.
pub fn matching(patterns: &[String]) -> Result<Vec<PathBuf>, Failure> {
    let like_a_shell = MatchOptions {
        case_sensitive: true,
        require_literal_separator: true,
        require_literal_leading_dot: true,
    };
    let mut found = Vec::new();
    for pattern in patterns {
        if Path::new(pattern).exists() {
            found.push(PathBuf::from(pattern));
            continue;
        }
        let unread = |why: String| {
            Failure::new(format!("`{pattern}` does not choose files: {why}"), "write it like \"sizes/*.svg\"")
        };
        let before = found.len();
        for path in glob_with(pattern, like_a_shell).map_err(|error| unread(error.to_string()))? {
            found.push(path.map_err(|error| unread(error.to_string()))?);
        }
        if found.len() == before {
            return Err(Failure::new(
                format!("no file matches `{pattern}`"),
                "look at the folder and the ending: --each \"sizes/*.svg\"",
            ));
        }
    }
    let mut seen = HashSet::new();
    found.retain(|path| seen.insert(path.clone()));
    Ok(found)
}

/// One of so many equal parts of the files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BatchPart {
    /// Which, from 1 to `parts`.
    part: usize,
    parts: usize,
}

impl FromStr for BatchPart {
    type Err = String;

    fn from_str(text: &str) -> Result<BatchPart, String> {
        let number = |text: &str| text.trim().parse::<u32>().ok().map(|number| number as usize);
        let numbers = text.split_once('/').and_then(|(part, parts)| number(part).zip(number(parts)));
        match numbers {
            None => Err("write which part and of how many: 3/10".to_owned()),
            Some((_, 0)) => Err("there is at least one part: 1/1 is all of the files".to_owned()),
            Some((part, parts)) if part == 0 || part > parts => {
                Err(format!("the parts are 1/{parts} to {parts}/{parts}"))
            }
            Some((part, parts)) => Ok(BatchPart { part, parts }),
        }
    }
}

impl BatchPart {
    /// The files of the part, in the order of their names. The parts share no file, hold all of them together, and differ
    /// by one file at most; where there are fewer files than parts some are empty.
    pub fn of(self, mut pairs: Vec<FilePair>) -> Vec<FilePair> {
        pairs.sort_by(|a, b| a.input.cmp(&b.input));
        let count = pairs.len();
        let until = |parts: usize| {
            // Both are under 2^32 or counts of names held in memory: what is left of the product fits again.
            (count as u128 * parts as u128 / self.parts as u128) as usize
        };
        pairs.drain(until(self.part - 1)..until(self.part)).collect()
    }
}

/// Makes the folders that new files go to.
///
/// # Errors
///
/// A folder that cannot be made.
pub fn make_folders(pairs: &[FilePair]) -> Result<(), Failure> {
    let folders: BTreeSet<&Path> =
        pairs.iter().filter_map(|pair| pair.output.as_deref()).map(folder_of).collect();
    folders.into_iter().try_for_each(|folder| {
        fs::create_dir_all(folder).map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists | ErrorKind::NotADirectory => {
                Failure::in_file(folder.display(), "this is not a folder").way_out("name another with -o")
            }
            _ => unwritable(folder, &error),
        })
    })
}

/// Where the new pattern of each file goes.
///
/// # Errors
///
/// The name of the new files has a reference that is not known; two files would be written to one; a file would be
/// written over another that is yet to be read.
pub fn pair(inputs: Vec<PathBuf>, output: Option<&Path>) -> Result<Vec<FilePair>, Failure> {
    let Some(output) = output else {
        return Ok(inputs.into_iter().map(|input| FilePair { input, output: None }).collect());
    };
    let template = Template::read(output)?;
    let pairs: Vec<FilePair> = inputs
        .into_iter()
        .map(|input| template.of(&input).map(|output| FilePair { input, output: Some(output) }))
        .collect::<Result<_, _>>()?;
    refuse_shared(&pairs)?;
    Ok(pairs)
}

/// The name of the new files, with `{name}` in it.
struct Template<'a>(&'a str);

impl<'a> Template<'a> {
    fn read(output: &'a Path) -> Result<Template<'a>, Failure> {
        let not_text = || Failure::in_file(output.display(), "this name is not UTF-8 text");
        let text =
            output.to_str().ok_or_else(|| not_text().way_out("name the files with -o \"out/{name}.svg\""))?;
        let mut rest = text;
        while let Some((_, behind)) = rest.split_once('{') {
            let reference = behind.split_once('}').map_or(behind, |(reference, _)| reference);
            if format!("{{{reference}}}") != NAME || !behind.contains('}') {
                let what = format!("the name of the new files knows no `{{{reference}}}`");
                let way_out = match nearest(reference, ["name"]) {
                    Some(_) => "did you mean `{name}`?",
                    None => "{name} stands for the name of each pattern's file: -o \"out/{name}.svg\"",
                };
                return Err(Failure::new(what, way_out));
            }
            rest = &behind[reference.len()..];
        }
        Ok(Template(text))
    }

    fn of(&self, input: &Path) -> Result<PathBuf, Failure> {
        let name = input.file_stem().and_then(|name| name.to_str()).ok_or_else(|| {
            Failure::in_file(input.display(), "this name is not UTF-8 text").way_out("rename the file")
        })?;
        Ok(PathBuf::from(self.0.replace(NAME, name)))
    }
}

/// Refuses outputs that meet each other or the input of another.
fn refuse_shared(pairs: &[FilePair]) -> Result<(), Failure> {
    let mut writers: HashMap<PathBuf, &Path> = HashMap::new();
    let readers: HashMap<PathBuf, &Path> =
        pairs.iter().map(|pair| (as_on_disk(&pair.input), pair.input.as_path())).collect();
    for FilePair { input, output } in pairs {
        let Some(output) = output else { continue };
        let real = as_on_disk(output);
        if let Some(other) = readers.get(&real).filter(|other| **other != input.as_path()) {
            return Err(Failure::new(
                format!(
                    "the new pattern of `{}` would be written over `{}`",
                    input.display(),
                    other.display()
                ),
                "name a folder of its own: -o \"out/{name}.svg\"",
            ));
        }
        if let Some(other) = writers.insert(real, input) {
            return Err(Failure::in_file(
                output.display(),
                format!("`{}` and `{}` would both be written to this file", other.display(), input.display()),
            )
            .way_out("write {name} in -o, and give the files names of their own"));
        }
    }
    Ok(())
}

/// A path by which two names of one file are the same.
fn as_on_disk(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        match (fs::canonicalize(folder), path.file_name()) {
            (Ok(folder), Some(name)) => folder.join(name),
            _ => path.to_owned(),
        }
    })
}
