//! What stands in files beside a cloth file: outlines of panels, photographs.

use crate::curve::{Outline, Vec2};

/// Where a panel is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PanelSource {
    /// The drawing, as named in the cloth file.
    pub file: String,
    /// The id of its outline in it.
    pub outline: String,
    /// The id of the line that shows its grain, where one is named.
    pub grain: Option<String>,
}

/// What is drawn of a panel.
#[derive(Clone, Debug)]
pub struct PanelShape {
    /// Its outline, mm.
    pub outline: Outline,
    /// The direction of its warp.
    pub grain: Vec2,
}

/// The files beside a cloth file, which the caller knows how to read. What it says went wrong is shown at the place in the
/// cloth file.
pub trait FilesBeside {
    /// What is drawn of a panel.
    ///
    /// # Errors
    ///
    /// Why it cannot be read, in words.
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, String>;

    /// The bytes of a picture, by its name in the cloth file.
    ///
    /// # Errors
    ///
    /// Why it cannot be read, in words.
    fn picture(&mut self, file: &str) -> Result<Vec<u8>, String>;
}

/// No files beside a cloth file: a text alone.
#[derive(Clone, Copy, Debug)]
pub struct NoFiles;

impl FilesBeside for NoFiles {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, String> {
        Err(format!("no file is read beside this text: `{}`", source.file))
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, String> {
        Err(format!("no file is read beside this text: `{file}`"))
    }
}
