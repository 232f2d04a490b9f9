//! From the bytes of any SVG to a resolved list of shapes in f64 millimetres.
//!
//! Nothing here knows of patterns. Units, transforms, `use`, nested `svg`, basic shapes and style
//! sheets are resolved; what is not understood is kept as it stands, so that it can be written back.

mod error;
mod model;

pub use error::{Element, ReadError};
pub use model::{
    Drawing, Ink, Known, Node, Note, Paint, ReadOptions, SourcePlace, SourceText, Tag, UnitSource,
    UserUnit, Visibility,
};
