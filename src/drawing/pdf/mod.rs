//! From the bytes of a PDF to the list of what is drawn on its pages, in f64 millimetres.
//!
//! ```text
//! bytes ── unpacked ──> bounded ── hayro ──> objects ── layers, plain ──> copy with all layers on
//! copy ── work ──> bounded ── hayro ──> instructions ── device, writing ──> things of each page
//! ```
//!
//! The libraries that read the objects and follow the instructions are young: they work on a thread of their own with
//! a stack of its own, and where they break off by a panic, the file is told to be unreadable.

mod device;
mod hidden;
mod labels;
mod layers;
mod limits;
mod page;
mod plain;
mod text_string;
mod unpacked;
mod work;
mod writing;
mod written;

use std::fmt;
use std::sync::Arc;
use std::thread;

use hayro_interpret::{Context, InterpreterCache, InterpreterSettings, RenderContent, interpret_page};
use hayro_syntax::page::Page;
use hayro_syntax::{DecryptionError, LoadPdfError, Pdf};
use kurbo::Shape;

use super::DrawingError;
use super::drawn::{DrawnFile, DrawnPage, Layers};
use super::limits::FILE_MEGABYTES;
use super::note::Note;
use super::unit::{ReadOptions, UnitSource, UserUnit};
use device::{PageDevice, Room};
use hidden::HiddenLines;
use layers::FileLayers;
use page::{PageFrame, unit_of};

/// What opens an encrypted PDF. It is not shown.
#[derive(Clone, PartialEq, Eq)]
pub struct Password(String);

impl Password {
    /// A password, as it stands.
    #[must_use]
    pub fn new(text: &str) -> Password {
        Password(text.to_owned())
    }
}

impl fmt::Debug for Password {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Password(…)")
    }
}

/// Whether bytes are a PDF: its mark stands within the first kilobyte (ISO 32000-1, annex H.3.4.1).
pub(crate) fn is_pdf(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(1024)];
    let begins_as_text = head.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'<');
    !begins_as_text && head.windows(5).any(|five| five == b"%PDF-")
}

/// Reads the bytes of a PDF.
///
/// # Errors
///
/// What is broken, encrypted or far too large; something of known length, which only letters name in a PDF.
pub(super) fn read(
    bytes: &[u8],
    options: &ReadOptions,
    password: Option<&Password>,
) -> Result<DrawnFile, DrawingError> {
    if let Some(known) = &options.known {
        return Err(DrawingError::KnownMissing { id: known.element.clone(), nearest: None });
    }
    let unread = |reason: String| DrawingError::PdfUnread { reason };
    thread::scope(|scope| {
        thread::Builder::new()
            .name("pdf".to_owned())
            .stack_size(limits::STACK)
            .spawn_scoped(scope, || read_here(bytes, options.unit, password))
            .map_err(|error| unread(format!("no thread could be started: {error}")))?
            .join()
            .map_err(|panic| unread(crate::drawing::common::panic_message(panic.as_ref())))?
    })
}

fn read_here(
    bytes: &[u8],
    unit: Option<UserUnit>,
    password: Option<&Password>,
) -> Result<DrawnFile, DrawingError> {
    if bytes.len() > FILE_MEGABYTES << 20 {
        return Err(DrawingError::TooLarge { megabytes: bytes.len() >> 20, limit: FILE_MEGABYTES });
    }
    unpacked::refuse_bombs(bytes)?;
    let original = open(bytes.to_vec(), password)?;
    let labels = labels::page_labels(&original);
    let file_layers = FileLayers::of(&original);
    let copy = plain::plain_copy(&original, &file_layers)?;
    let copy = open(copy, None)?;
    let pages = copy.pages();
    if pages.is_empty() {
        return Err(DrawingError::PdfUnread { reason: "it has no pages".to_owned() });
    }
    if pages.len() > limits::PAGES {
        return Err(DrawingError::PdfTooMuch { what: format!("over {} pages", limits::PAGES) });
    }
    work::refuse_endless(pages)?;
    let mut file = DrawnFile {
        pages: Vec::new(),
        layers: Layers::default(),
        unit: unit_source(&pages[0], unit),
        notes: Vec::new(),
    };
    let cache = InterpreterCache::new();
    let (mut room, mut hidden) = (Room::whole(), HiddenLines::default());
    for (at, page) in pages.iter().enumerate() {
        let drawn = DrawnPage {
            label: labels.get(at).cloned().flatten(),
            ..PageReader { page, cache: &cache, unit }.read(
                at + 1,
                (&mut file.layers, &mut hidden),
                &mut room,
                &mut file.notes,
            )?
        };
        file.pages.push(drawn);
    }
    Ok(file)
}

fn open(bytes: Vec<u8>, password: Option<&Password>) -> Result<Pdf, DrawingError> {
    let bytes = Arc::new(bytes);
    let opened = match (Pdf::new(Arc::clone(&bytes)), password) {
        (Err(LoadPdfError::Decryption(DecryptionError::PasswordProtected)), Some(password)) => {
            Pdf::new_with_password(bytes, &password.0)
        }
        (opened, _) => opened,
    };
    opened.map_err(|error| match (error, password) {
        (LoadPdfError::Decryption(DecryptionError::PasswordProtected), None) => DrawingError::PdfPassword,
        (LoadPdfError::Decryption(DecryptionError::PasswordProtected), Some(_)) => {
            DrawingError::PdfWrongPassword
        }
        (LoadPdfError::Decryption(_), _) => {
            DrawingError::PdfUnread { reason: "it is encrypted in a way that cannot be read".to_owned() }
        }
        (LoadPdfError::Invalid, _) => DrawingError::PdfUnread { reason: "it is broken".to_owned() },
    })
}

fn unit_source(first: &Page<'_>, told: Option<UserUnit>) -> UnitSource {
    let stated = unit_of(first);
    match told {
        Some(unit) => UnitSource::Told { unit, mm_per_unit: unit.mm(), stated: Some(stated) },
        None => UnitSource::Stated { mm_per_unit: stated },
    }
}

/// One page to be read.
struct PageReader<'p, 'a> {
    page: &'p Page<'a>,
    cache: &'p InterpreterCache<'a>,
    /// What a unit is, where it was told.
    unit: Option<UserUnit>,
}

impl PageReader<'_, '_> {
    fn read(
        &self,
        number: usize,
        (layers, hidden): (&mut Layers, &mut HiddenLines),
        room: &mut Room,
        notes: &mut Vec<Note>,
    ) -> Result<DrawnPage, DrawingError> {
        let frame = PageFrame::of(self.page, self.unit.map_or_else(|| unit_of(self.page), UserUnit::mm));
        let mut device = PageDevice::new((number, frame.whole), (layers, hidden), *room);
        if frame.is_cropped() {
            device.crop(frame.seen.to_path(f64::INFINITY));
        }
        let settings =
            InterpreterSettings { render_content: RenderContent::PAGE, ..InterpreterSettings::default() };
        let mut context = Context::new(frame.to_mm, frame.whole, self.cache, self.page.xref(), settings);
        interpret_page(self.page, &mut context, &mut device);
        notes.extend(device.finished()?);
        *room = device.room;
        Ok(DrawnPage {
            number,
            label: None,
            seen: Some(frame.seen),
            whole: Some(frame.whole),
            things: device.things,
            clips: device.clips,
        })
    }
}
