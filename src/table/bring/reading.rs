//! Reading the drawing that is brought in, and what is said of it before there is a map.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::adopt::{
    AdoptError, Asked, Found, Map, MapAsks, OneFile, ScaleCheck, ScaleSource, find_in_several,
};
use crate::drawing::DrawingError;
use crate::table::fault::TableFault;
use crate::table::said::{Refused, advised};
use crate::toml_file::TextFault;
use crate::units::Unit;

/// Reads the file of a drawing, within what a command reads.
pub type DrawingReader = Arc<dyn Fn(&Path) -> Result<Vec<u8>, String> + Send + Sync>;

/// How far the drawing is.
#[derive(Debug)]
pub(super) enum ReadSoFar {
    /// There is none yet.
    Nothing,
    /// It is being read.
    Reading,
    /// It cannot be read.
    Broken(Refused),
    /// It was read.
    Read {
        /// What was found.
        found: Arc<Found>,
        /// What was asked of it.
        asked: Asked,
    },
}

/// Whether a size is still to be chosen where there are several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sizes {
    Ask,
    /// All lines are of one.
    One,
}

/// Something to be read on a thread of its own.
pub(super) struct ToRead {
    pub number: u64,
    pub drawings: Vec<PathBuf>,
    pub asked: Asked,
    pub read_file: DrawingReader,
}

impl ToRead {
    /// Reads it.
    pub(super) fn read(&self) -> Result<Found, Refused> {
        found(&self.drawings, &self.asked, &self.read_file)
    }
}

pub(super) fn found(drawings: &[PathBuf], asked: &Asked, read: &DrawingReader) -> Result<Found, Refused> {
    let name = |path: &PathBuf| {
        path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
    };
    let names: Vec<String> = drawings.iter().map(name).collect();
    let bytes = drawings.iter().map(|path| read(path)).collect::<Result<Vec<_>, _>>();
    let bytes = bytes.map_err(|why| Refused::plain(why, "take another file"))?;
    let files = names.iter().zip(&bytes).map(|(name, bytes)| OneFile { name, bytes });
    find_in_several(&files.collect::<Vec<_>>(), asked).map_err(|error| broken(&error))
}

fn broken(error: &AdoptError) -> Refused {
    match error {
        AdoptError::Drawing(DrawingError::PdfPassword | DrawingError::PdfWrongPassword) => {
            Refused::plain(error, "type its password here")
        }
        _ => Refused::plain(error, advised(&error.way_out())),
    }
}

/// What is wrong with a map, as the page says it.
pub(super) fn wrong(error: &TextFault) -> Refused {
    Refused::plain(&error.what, advised(&error.way_out))
}

/// A pattern is made only at a scale that is known, and the same across and down.
pub(super) fn refuse_scale(found: &Found) -> Result<(), TableFault> {
    let stretched = found.scale.check().is_some_and(ScaleCheck::is_stretched);
    if found.scale.source != ScaleSource::Unknown && !stretched {
        return Ok(());
    }
    match found.untrue(Unit::Millimetre).into_iter().next() {
        Some(untrue) => Err(TableFault::refused(untrue.what, advised(&untrue.way_out))),
        None => Ok(()),
    }
}

/// What is said of a drawing, as a map that says nothing else.
pub(super) fn said_map(said: &BTreeMap<String, String>) -> Result<Map, TextFault> {
    let lines = said.iter().map(|(name, value)| {
        let field = Map::FIELDS.iter().find(|field| field.name() == *name);
        let value = match field.map(|field| field.asks) {
            Some(MapAsks::Switch(_)) => toml::Value::Boolean(!value.trim().is_empty()),
            _ => toml::Value::String(value.trim().to_owned()),
        };
        format!("{name} = {value}\n")
    });
    Map::read(&lines.collect::<String>())
}
