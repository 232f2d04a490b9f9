//! From the bytes of any SVG to a resolved list of shapes in f64 millimetres.
//!
//! Nothing here knows of patterns. Units, transforms, `use`, nested `svg`, basic shapes and style
//! sheets are resolved; what is not understood is kept as it stands, so that it can be written back.
//!
//! ```text
//! bytes ── source ──> text ── entities ──> text without DTD ── roxmltree ──> tree
//! tree  ── viewport, known ──> mm per unit ── walk, instance, shape, path, arc ──> nodes
//! ```
//!
//! Files are hostile until shown otherwise: [`read`] works on its own thread with a stack of its own,
//! and everything that multiplies (entities, `use`, selectors, nesting) is bounded.
//!
//! ```
//! use retrue::drawing::{ReadOptions, read};
//!
//! let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 600">
//!   <path id="front.side" data-kind="edge" d="M 10 10 V 400"/>
//! </svg>"#;
//! let drawing = read(svg, &ReadOptions::default())?;
//! let side = &drawing.nodes[0];
//! assert_eq!(side.attribute("data-kind"), Some("edge"));
//! assert_eq!(side.geometry.as_ref().map(|curve| curve.to_svg()).as_deref(), Some("M10,10 L10,400"));
//! # Ok::<(), retrue::drawing::DrawingError>(())
//! ```

mod arc;
mod clip;
mod css;
mod entities;
mod error;
mod instance;
mod known;
mod length;
mod limits;
mod markup;
mod model;
pub mod number;
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

use std::cell::Cell;
use std::io::Read;
use std::path::Path;
use std::thread;

pub use clip::{Clip, ClipShape, ClipUnits, Winding};
pub use error::{DrawingError, NamedElement};
pub use model::{
    Ink, Known, Marked, Node, Note, Paint, ReadOptions, SourcePlace, SourceText, SvgDrawing, Tag, UnitSource,
    UserUnit, Visibility,
};

/// Reads the bytes of an SVG drawing.
///
/// Coordinates come through bit for bit where a user unit is 1 mm and nothing is transformed.
///
/// # Errors
///
/// Whatever [`DrawingError`] lists: nothing is repaired in silence, and what is tolerated stands in
/// [`SvgDrawing::notes`].
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<SvgDrawing, DrawingError> {
    on_deep_stack(|| parse::parse(bytes, options))?
}

thread_local! {
    /// Whether this thread was started with room for the deepest drawing.
    static IS_DEEP: Cell<bool> = const { Cell::new(false) };
}

/// Does work that goes as deep as a drawing is nested, on a thread with room for it: a new one, unless this is one.
///
/// # Errors
///
/// [`DrawingError::Internal`] where no thread can be had, or where the work panics.
pub(crate) fn on_deep_stack<T: Send>(work: impl FnOnce() -> T + Send) -> Result<T, DrawingError> {
    if IS_DEEP.get() {
        return Ok(work());
    }
    let internal = |reason: String| DrawingError::Internal { reason };
    let on_it = || {
        IS_DEEP.set(true);
        work()
    };
    thread::scope(|scope| {
        thread::Builder::new()
            .name("drawing".to_owned())
            .stack_size(limits::STACK)
            .spawn_scoped(scope, on_it)
            .map_err(|error| internal(format!("no thread could be started: {error}")))?
            .join()
            .map_err(|panic| internal(panic_message(panic.as_ref())))
    })
}

/// Reads an SVG drawing from a file.
///
/// # Errors
///
/// A directory, a file that cannot be read or is too large, and all that [`read`] refuses.
pub fn read_file(path: &Path, options: &ReadOptions) -> Result<SvgDrawing, DrawingError> {
    let unreadable = |source| DrawingError::Unreadable { path: path.to_owned(), source };
    if path.is_dir() {
        return Err(DrawingError::Directory { path: path.to_owned() });
    }
    let file = std::fs::File::open(path).map_err(unreadable)?;
    let mut bytes = Vec::new();
    let one_too_many = (limits::FILE_MEGABYTES as u64 + 1) << 20;
    file.take(one_too_many).read_to_end(&mut bytes).map_err(unreadable)?;
    read(&bytes, options)
}

fn panic_message(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no reason given".to_owned())
}

/// A value short enough for a message.
fn quoted(value: &str) -> String {
    let mut short: String = value.chars().take(limits::QUOTED).collect();
    if short.len() < value.len() {
        short.push('…');
    }
    short
}
