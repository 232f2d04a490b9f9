//! Cloth as named on a command line or in a recipe: a cloth file, or a width and length for a quick try.

use std::convert::Infallible;
use std::fmt;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::sync::Arc;

use retrue::cloth::file::{self, FilesBeside, PanelShape, PanelSource, UnreadBeside};
use retrue::cloth::{ClothError, Size, Stock};
use retrue::curve::{Curve, Outline, Vec2};
use retrue::drawing::{self, Node, ReadOptions};
use retrue::units::Length;

use crate::cli::errors::{Failure, UserText};
use crate::cli::file_sort::FileSort;
use crate::cli::io::Source;

/// A cloth file, or a width and length.
#[derive(Clone, Debug, PartialEq)]
pub enum ClothSource {
    /// `37cm x 11.4m`.
    Size(Result<Size, ClothError>),
    /// A file.
    File(PathBuf),
}

impl FromStr for ClothSource {
    type Err = Infallible;

    fn from_str(text: &str) -> Result<ClothSource, Infallible> {
        Ok(if (Size::is_meant(text) || begins_with_length(text)) && !Path::new(text).exists() {
            ClothSource::Size(text.parse())
        } else {
            ClothSource::File(PathBuf::from(text))
        })
    }
}

/// Whether the first word of a text is a length or a number, as where the other is left out: `37cm`, `37cm by 11m`, `37`.
fn begins_with_length(text: &str) -> bool {
    let is_length = |word: &str| word.parse::<Length>().is_ok() || word.parse::<f64>().is_ok();
    text.split_whitespace().next().is_some_and(is_length)
}

impl fmt::Display for ClothSource {
    /// As it is named on a command line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ClothSource::Size(Ok(size)) => size.fmt(f),
            ClothSource::Size(Err(_)) => Ok(()),
            ClothSource::File(path) => path.display().fmt(f),
        }
    }
}

impl ClothSource {
    /// The cloth that the text of a cloth file describes, what it names being found from a folder.
    ///
    /// # Errors
    ///
    /// What is no cloth, shown on its line.
    pub fn read_text(name: &str, text: &str, folder: &Path) -> Result<Stock, Failure> {
        read_here(&Arc::new(UserText { file: name.to_owned(), source: text.to_owned() }), folder)
    }

    /// The cloth at hand; a file is looked for from a folder.
    ///
    /// # Errors
    ///
    /// What cannot be read, and what is no cloth, shown on its line.
    pub fn read(&self, folder: &Path) -> Result<Stock, Failure> {
        match self {
            ClothSource::Size(size) => size.clone().and_then(Size::stock).map_err(|error| {
                Failure::new(error, "write the width and the length: --cloth \"37cm x 11.4m\"")
            }),
            ClothSource::File(path) => read_file(&folder.join(path)),
        }
    }
}

fn read_file(path: &Path) -> Result<Stock, Failure> {
    let source = Source::File(path.to_owned());
    read_here(&source.read_text(FileSort::Cloth)?, path.parent().unwrap_or(Path::new("")))
}

fn read_here(text: &Arc<UserText>, folder: &Path) -> Result<Stock, Failure> {
    file::read(&text.source, &mut FilesInFolder { folder }).map_err(|fault| Failure::in_fault(text, &fault))
}

/// The files in the folder of a cloth file.
struct FilesInFolder<'a> {
    folder: &'a Path,
}

impl FilesBeside for FilesInFolder<'_> {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        let bytes = self.bytes(&source.file, FileSort::Drawing)?;
        Ok(panel_shape(&bytes, source)?)
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        self.bytes(file, FileSort::Picture)
    }
}

impl FilesInFolder<'_> {
    /// What is in a file; the way out of what cannot be read names the file that was looked for.
    fn bytes(&self, file: &str, sort: FileSort) -> Result<Vec<u8>, UnreadBeside> {
        let source = Source::File(self.folder.join(file));
        source.read(sort).map_err(|failure| UnreadBeside {
            what: failure.what().to_owned(),
            way_out: failure.way_out_told().map(|way_out| format!("`{}`: {way_out}", source.name())),
        })
    }
}

/// The outline and grain of a panel in its drawing.
fn panel_shape(bytes: &[u8], panel: &PanelSource) -> Result<PanelShape, String> {
    let drawing = drawing::read(bytes, &ReadOptions::default()).map_err(|error| error.to_string())?;
    let drawn = |id: &str| curve_of(&drawing.nodes, id);
    let outline = drawn(&panel.outline).ok_or_else(|| format!("there is no shape `{}`", panel.outline))??;
    let outline =
        Outline::new([outline]).map_err(|error| format!("`{}` is not closed: {error}", panel.outline))?;
    let usual = format!("{}.grain", panel.outline);
    let grain = match &panel.grain {
        Some(id) => Some(drawn(id).ok_or_else(|| format!("there is no line `{id}` for the grain"))??),
        None => drawn(&usual).transpose()?,
    };
    let grain = grain.map_or(Vec2::new(0.0, 1.0), |line| line.end() - line.start());
    if grain.hypot() <= f64::EPSILON {
        return Err("the line of its grain ends where it begins".to_owned());
    }
    Ok(PanelShape { outline, grain })
}

/// The one curve of the element of an id.
fn curve_of(nodes: &[Node], id: &str) -> Option<Result<Curve, String>> {
    let mut found = None;
    for node in nodes {
        node.walk(&mut |node| {
            if found.is_none() && node.id.as_deref() == Some(id) {
                found = Some(node);
            }
        });
    }
    let path = found?.geometry.as_ref()?;
    Some(Curve::from_path(path).map_err(|error| format!("`{id}` cannot be used: {error}")))
}
