//! From the bytes of any SVG to a resolved tree of shapes in f64 millimetres, and to the list of what it shows.
//!
//! Units, transforms, `use`, nested `svg`, basic shapes and style sheets are resolved; what is not understood is kept as
//! it stands.
//!
//! ```text
//! bytes ── source ──> text ── entities ──> text without DTD ── roxmltree ──> tree
//! tree  ── viewport, known ──> mm per unit ── walk, instance, shape, path, arc ──> nodes ── list ──> things
//! ```
//!
//! Everything that multiplies (entities, `use`, selectors, nesting) is bounded.

mod arc;
mod clip;
mod css;
mod entities;
mod instance;
mod known;
mod length;
mod list;
mod markup;
mod model;
mod paint;
mod parse;
mod path;
mod pen;
mod refusal;
mod shape;
mod source;
mod text;
mod viewport;
mod walk;

use super::DrawingError;
use super::drawn::DrawnFile;
use super::unit::ReadOptions;

pub(crate) use markup::{opening_tag, texts_between};
pub use model::{Node, SourcePlace, SourceText, SvgDrawing, Tag, Visibility};
pub(super) use parse::parse;
pub(super) use walk::Hidden;

/// Reads what an SVG shows.
///
/// # Errors
///
/// All that [`parse`] refuses.
pub(super) fn read_drawn(bytes: &[u8], options: &ReadOptions) -> Result<DrawnFile, DrawingError> {
    Ok(list::listed(parse(bytes, options, Hidden::Read, None)?))
}
