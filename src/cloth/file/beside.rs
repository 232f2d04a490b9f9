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

/// Why what a cloth file names gives nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnreadBeside {
    /// What is wrong, shown where the cloth file names it.
    pub what: String,
    /// What can be done about the file; none where the file is read, and what is drawn in it is wrong.
    pub way_out: Option<String>,
}

impl From<String> for UnreadBeside {
    fn from(what: String) -> UnreadBeside {
        UnreadBeside { what, way_out: None }
    }
}

/// The files beside a cloth file, which the caller knows how to read. What it says went wrong is shown at the place in the
/// cloth file.
pub trait FilesBeside {
    /// What is drawn of a panel.
    ///
    /// # Errors
    ///
    /// Why it cannot be read, and the way out.
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside>;

    /// The bytes of a picture, by its name in the cloth file.
    ///
    /// # Errors
    ///
    /// Why it cannot be read, and the way out.
    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside>;
}

/// No files beside a cloth file: a text alone.
#[derive(Clone, Copy, Debug)]
pub struct NoFiles;

impl FilesBeside for NoFiles {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        Err(format!("no file is read beside this text: `{}`", source.file).into())
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        Err(format!("no file is read beside this text: `{file}`").into())
    }
}
