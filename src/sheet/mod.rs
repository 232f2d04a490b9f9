//! The pattern sheet: SVG in, SVG out.
//!
//! [`crate::drawing`] turns the bytes of any SVG into a resolved list of shapes in millimetres and knows nothing of
//! sewing; [`read`] gives them their meaning, [`write()`] puts a pattern back, with its cutting lines. May use
//! `drawing`, `allowance`, `pattern` and what those use.
//!
//! What the reader does not understand inside a piece it keeps and writes back; what lies outside pieces it keeps as
//! background.
//!
//! # Examples
//!
//! ```
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let text = retrue::sheet::write(&coat)?;
//! let again = retrue::sheet::read(text.as_bytes(), &Default::default())?.pattern;
//! assert_eq!(again.pieces().len(), coat.pieces().len());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod about;
pub(crate) mod agreed;
pub(crate) mod attributes;
pub(crate) mod dart_shape;
mod derived;
mod drawn_cut;
mod drawn_labels;
pub(crate) mod edge_place;
pub(crate) mod element;
mod error;
mod kept;
mod kinds;
pub(crate) mod labels;
mod layers;
mod look;
mod marks;
mod notes;
mod oversights;
mod own_look;
mod parts;
mod pieces;
mod read;
mod seams;
mod snaps;
mod write;
mod write_piece;
mod written_seams;

pub(crate) use kept::drawn_mark;

pub use crate::drawing::{Known, ReadOptions, UserUnit};
pub use error::{ReadError, WriteError};
pub use notes::{Meant, SheetNote, ShouldSay};
pub use read::{Sheet, read};
pub use write::write;
