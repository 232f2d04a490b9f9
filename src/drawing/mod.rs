//! From the bytes of any drawing, SVG or PDF, to what is drawn in it, in f64 millimetres.
//!
//! Nothing here knows of patterns. Both readers end in one list of drawn things ([`DrawnFile`]), of which nobody need ask
//! which file it came from. An SVG can also be read with all that it holds ([`SvgDrawing`]): what is not understood is
//! kept as it stands, so that it can be written back.
//!
//! ```text
//! bytes ── svg ──> nodes ──> DrawnFile
//! bytes ── pdf ────────────> DrawnFile
//! pages of a DrawnFile ── pages ──> one DrawnPage
//! ```
//!
//! Files are hostile until shown otherwise: each is read on a thread of its own with a stack of its own, and everything
//! that multiplies is bounded.
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

mod common;
mod drawn;
mod error;
mod limits;
mod note;
pub mod number;
pub mod pages;
mod pdf;
mod said_length;
mod several;
mod svg;
mod unit;

use std::cell::Cell;
use std::io::{self, Read};
use std::panic::resume_unwind;
use std::path::Path;
use std::thread;

pub(crate) use common::Said;
use common::panic_message;
pub use drawn::{
    Clip, ClipId, ClipShape, Clips, Drawn, DrawnFile, DrawnPage, DrawnText, DrawnThing, HiddenShape, Ink,
    Layer, LayerId, Layers, Marked, Paint, PlaceInFile, SeenAs, Shown,
};
pub use error::{DrawingError, NamedElement};
pub use note::Note;
pub use pdf::Password;
pub(crate) use pdf::is_pdf;
pub(crate) use said_length::lengths_in;
pub use svg::{Node, SourcePlace, SourceText, SvgDrawing, Tag, Visibility};
pub(crate) use svg::{opening_tag, texts_between};
pub use unit::{Known, ReadOptions, UnitSource, UserUnit};

/// Reads the bytes of an SVG drawing.
///
/// Coordinates come through bit for bit where a user unit is 1 mm and nothing is transformed.
///
/// # Errors
///
/// Whatever [`DrawingError`] lists: nothing is repaired in silence, and what is tolerated stands in
/// [`SvgDrawing::notes`].
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<SvgDrawing, DrawingError> {
    on_deep_stack(|| svg::parse(bytes, options, svg::Hidden::Unread, None))?
}

/// As [`read`], but of elements that say something only their place is read, and nothing of what they hold: they are
/// made anew.
pub(crate) fn read_without(
    bytes: &[u8],
    options: &ReadOptions,
    made_anew: Said,
) -> Result<SvgDrawing, DrawingError> {
    on_deep_stack(|| svg::parse(bytes, options, svg::Hidden::Unread, Some(made_anew)))?
}

/// Reads what is drawn in the bytes of a drawing, SVG or PDF. `password` opens an encrypted PDF.
///
/// # Errors
///
/// Whatever [`DrawingError`] lists: nothing is repaired in silence, and what is tolerated stands in
/// [`DrawnFile::notes`].
pub fn read_drawn(
    bytes: &[u8],
    options: &ReadOptions,
    password: Option<&Password>,
) -> Result<DrawnFile, DrawingError> {
    if is_pdf(bytes) {
        return pdf::read(bytes, options, password);
    }
    on_deep_stack(|| svg::read_drawn(bytes, options))?
}

/// Threads that each have room for the deepest drawing, so that what is read on one of them needs no thread of its own.
///
/// # Errors
///
/// The system gives no more threads.
pub fn reading_threads(number: usize) -> Result<rayon::ThreadPool, rayon::ThreadPoolBuildError> {
    let threads = rayon::ThreadPoolBuilder::new().num_threads(number).stack_size(limits::SHARED_STACK);
    threads.start_handler(|_| IS_DEEP.set(true)).build()
}

/// Does work on one such thread. A panic of the work goes on in the caller.
///
/// # Errors
///
/// The system gives no more threads.
pub fn on_reading_thread<T: Send>(work: impl FnOnce() -> T + Send) -> io::Result<T> {
    on_thread(limits::SHARED_STACK, work).map(|done| done.unwrap_or_else(|panic| resume_unwind(panic)))
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
    on_thread(limits::STACK, work)
        .map_err(|error| internal(format!("no thread could be started: {error}")))?
        .map_err(|panic| internal(panic_message(panic.as_ref())))
}

fn on_thread<T: Send>(stack: usize, work: impl FnOnce() -> T + Send) -> io::Result<thread::Result<T>> {
    let on_it = || {
        IS_DEEP.set(true);
        work()
    };
    let builder = thread::Builder::new().name("drawing".to_owned()).stack_size(stack);
    thread::scope(|scope| Ok(builder.spawn_scoped(scope, on_it)?.join()))
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
