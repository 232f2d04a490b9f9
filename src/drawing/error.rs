//! Why a drawing cannot be read: what, where, and the way out.

use std::fmt;
use std::path::PathBuf;

use crate::advice;
use crate::pattern::{Advice, Field};

/// An element of the drawing, for messages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedElement {
    /// Its name.
    pub tag: String,
    /// Its id, if it has one.
    pub id: Option<String>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl fmt::Display for NamedElement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.tag)?;
        if let Some(id) = &self.id {
            write!(f, " \"{id}\"")?;
        }
        write!(f, " (line {}, column {})", self.line, self.column)
    }
}

/// Why a drawing cannot be read. Nothing of it is kept.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DrawingError {
    /// The path is a directory.
    #[error("{} is a folder: name an SVG file in it", path.display())]
    Directory {
        /// What was named.
        path: PathBuf,
    },
    /// The file system said no.
    #[error("{} cannot be read: {source}", path.display())]
    Unreadable {
        /// What was named.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
    /// Nothing in it.
    #[error("the file is empty: no drawing stands in it")]
    Empty,
    /// Over the size limit.
    #[error(
        "the drawing is {megabytes} MB, over the limit of {limit} MB: take pictures and unused layers out of it"
    )]
    TooLarge {
        /// Its size.
        megabytes: usize,
        /// What is read at most.
        limit: usize,
    },
    /// A gzip stream.
    #[error("this is a compressed drawing (svgz): unpack it first (gzip -dc FILE.svgz > FILE.svg)")]
    Compressed,
    /// A PDF.
    #[error("this is a PDF, and no pattern sheet: bring it in with retrue adopt")]
    Pdf,
    /// A PDF that is broken, or that the reader breaks off at.
    #[error("this PDF cannot be read: {reason}; open it in a PDF viewer and print or save it as a new PDF")]
    PdfUnread {
        /// What is wrong with it.
        reason: String,
    },
    /// An encrypted PDF, and no password.
    #[error("this PDF opens only with its password")]
    PdfPassword,
    /// An encrypted PDF, and another password.
    #[error("this PDF does not open with the password given")]
    PdfWrongPassword,
    /// A PDF that unpacks to more than is safe.
    #[error("what is packed in this PDF is over {limit} MB large: take pictures and unused layers out of it")]
    PdfUnpacks {
        /// How much is read, MB.
        limit: usize,
    },
    /// Too much in a PDF.
    #[error("this PDF has {what}: take pictures, hatching and unused layers out of it")]
    PdfTooMuch {
        /// What there is too much of, and how much there may be.
        what: String,
    },
    /// Something on a page of a PDF, beyond every sheet.
    #[error("page {page} has a point at ({x}, {y}) mm, over {limit} mm from its corner: check its size")]
    TooFarOnPage {
        /// The page, from 1.
        page: usize,
        /// Across, mm.
        x: f64,
        /// Down, mm.
        y: f64,
        /// How far it may be.
        limit: f64,
    },
    /// Bytes that are no text.
    #[error("line {line}: the text is not valid {encoding}: save the drawing as UTF-8")]
    Encoding {
        /// The encoding that the file claims or was taken for.
        encoding: String,
        /// Line of the first bad byte.
        line: usize,
    },
    /// Not well-formed XML.
    #[error("line {line}, column {column}: not valid XML: {reason}")]
    NotXml {
        /// What the XML parser found.
        reason: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Some other XML.
    #[error(
        "line {line}, column {column}: not an SVG drawing: the root element is {tag}{}, and must be svg of http://www.w3.org/2000/svg",
        in_namespace(namespace)
    )]
    NotSvg {
        /// The root's name.
        tag: String,
        /// Its namespace.
        namespace: Option<String>,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// The DTD is broken, or uses what is not supported.
    #[error(
        "line {line}, column {column}: the document type cannot be read: {reason}; save the drawing without it"
    )]
    Doctype {
        /// What is wrong.
        reason: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// A reference to something the DTD does not declare.
    #[error("line {line}, column {column}: &{name}; is not declared: write the character itself")]
    UnknownEntity {
        /// Name of the entity.
        name: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Entities within entities.
    #[error(
        "line {line}, column {column}: &{name}; stands inside itself or over {limit} deep: save the drawing without entities"
    )]
    EntityDepth {
        /// Name of the entity.
        name: String,
        /// How deep they may stand.
        limit: usize,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Entities that blow the drawing up.
    #[error(
        "line {line}, column {column}: &{name}; makes the drawing over {limit} MB larger than the file: save it without entities"
    )]
    EntitySize {
        /// Name of the entity.
        name: String,
        /// How much they may add.
        limit: usize,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Too many elements, those brought in by `use` counted each time.
    #[error(
        "{element}: the drawing has over {limit} elements, those brought in by use counted each time: simplify it"
    )]
    TooMany {
        /// The first too many.
        element: NamedElement,
        /// How many may be.
        limit: usize,
    },
    /// Too many curves, those brought in by `use` counted each time.
    #[error(
        "{element}: the drawing has over {limit} curve segments, those brought in by use counted each time: simplify it"
    )]
    TooManySegments {
        /// The first too many.
        element: NamedElement,
        /// How many may be.
        limit: usize,
    },
    /// Too many attributes and texts, those brought in by `use` counted each time.
    #[error(
        "{element}: the drawing has over {limit} MB of attributes and texts, those brought in by use counted each time: simplify it"
    )]
    TooMuchText {
        /// The first too much.
        element: NamedElement,
        /// How many MB may be.
        limit: usize,
    },
    /// Too deep, too many attributes, or too many namespaces: more than is safe to parse.
    #[error("line {line}, column {column}: {what}: simplify the drawing")]
    Excessive {
        /// What there is too much of, and how much there may be.
        what: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Too deep.
    #[error("{element} stands over {limit} groups deep: ungroup it")]
    TooDeep {
        /// The first too deep.
        element: NamedElement,
        /// How deep it may be.
        limit: usize,
    },
    /// A style sheet that takes too long to apply.
    #[error("{element}: the style sheets take over {limit} comparisons to apply: simplify their selectors")]
    StyleWork {
        /// Where the limit was reached.
        element: NamedElement,
        /// How many comparisons may be made.
        limit: u64,
    },
    /// No physical unit.
    #[error("line {line}: the drawing has no physical size ({})", stated_size(width, height))]
    NoUnit {
        /// `width` as written.
        width: Option<String>,
        /// `height` as written.
        height: Option<String>,
        /// Line of the root.
        line: usize,
    },
    /// The root's size cannot be used.
    #[error("line {line}: {attribute}=\"{value}\" on the root is no usable size: {reason}")]
    BadSize {
        /// The attribute.
        attribute: &'static str,
        /// Its value.
        value: String,
        /// What is wrong with it.
        reason: String,
        /// Line of the root.
        line: usize,
    },
    /// Stretched.
    #[error(
        "{element} is stretched: {across:.4} mm to a unit across, {down:.4} mm down: make its width and height agree with its viewBox, or take out preserveAspectRatio=\"none\""
    )]
    UnequalScales {
        /// The `svg` or `symbol`.
        element: NamedElement,
        /// Millimetres per unit across.
        across: f64,
        /// Millimetres per unit down.
        down: f64,
    },
    /// The element of known length is not there.
    #[error("nothing in the drawing has the id \"{id}\"{}", nearest_id(nearest))]
    KnownMissing {
        /// The id asked for.
        id: String,
        /// The nearest there is.
        nearest: Option<String>,
    },
    /// The element of known length has no length.
    #[error("{element} cannot be measured: {reason}")]
    KnownUnusable {
        /// The element named.
        element: NamedElement,
        /// What is wrong with it.
        reason: &'static str,
    },
    /// The length given is none.
    #[error("\"{id}\" cannot be {length_mm} mm long: give a length over zero")]
    KnownLength {
        /// The element named.
        id: String,
        /// The length given.
        length_mm: f64,
    },
    /// Path data that cannot be read to its end.
    #[error(
        "line {line}, column {column}: the path data of {element} break off at character {position}, near \"{near}\": {reason}; draw the path again or mend its d"
    )]
    BadPath {
        /// The path.
        element: Box<NamedElement>,
        /// Character within `d`, from 1.
        position: usize,
        /// What stands there.
        near: String,
        /// What is wrong.
        reason: String,
        /// Line of the character, as near as it can be told.
        line: usize,
        /// Its column.
        column: usize,
    },
    /// An attribute that cannot be read.
    #[error("{element}: {attribute}=\"{value}\" cannot be used: {reason}")]
    BadAttribute {
        /// The element.
        element: Box<NamedElement>,
        /// The attribute.
        attribute: String,
        /// Its value, shortened.
        value: String,
        /// What is wrong with it, and what would do.
        reason: String,
    },
    /// A coordinate beyond every sheet.
    #[error(
        "{element} has a point at ({x}, {y}) mm, over {limit} mm from the sheet's corner: check its numbers and the drawing's unit"
    )]
    TooFar {
        /// The shape.
        element: NamedElement,
        /// Across, mm.
        x: f64,
        /// Down, mm.
        y: f64,
        /// How far it may be.
        limit: f64,
    },
    /// A `use` that brings itself in.
    #[error("{element} brings itself in through \"{reference}\": take the use out of what it refers to")]
    UseLoop {
        /// The `use`.
        element: NamedElement,
        /// The id it refers to.
        reference: String,
    },
    /// Reading failed in a way it must not.
    #[error("the drawing could not be read ({reason}): the program failed; report it with the file")]
    Internal {
        /// What the system or the program says.
        reason: String,
    },
}

impl DrawingError {
    /// What the user can do, where it is to be said otherwise.
    #[must_use]
    pub fn way_out(&self) -> Option<Advice> {
        match self {
            Self::NoUnit { .. } => Some(advice!(
                "say what a unit is, with ",
                Field::Unit.set("mm"),
                " (or cm, in, px, pt), or name something of known size: ",
                Field::Known.set("ELEMENT-ID=100mm")
            )),
            Self::KnownMissing { .. } | Self::KnownUnusable { .. } => {
                Some(advice!(Field::Known, " needs the id of a line or a square"))
            }
            Self::PdfPassword => {
                Some(advice!("write it into a file, and name that with ", Field::PasswordFile))
            }
            Self::PdfWrongPassword => Some(advice!("look at the file named with ", Field::PasswordFile)),
            _ => None,
        }
    }

    /// The line of the drawing on which the fault lies, from 1, where it lies on one.
    #[must_use]
    pub fn line(&self) -> Option<usize> {
        match self {
            Self::Encoding { line, .. }
            | Self::NotXml { line, .. }
            | Self::NotSvg { line, .. }
            | Self::Doctype { line, .. }
            | Self::UnknownEntity { line, .. }
            | Self::EntityDepth { line, .. }
            | Self::EntitySize { line, .. }
            | Self::Excessive { line, .. }
            | Self::NoUnit { line, .. }
            | Self::BadSize { line, .. }
            | Self::BadPath { line, .. } => Some(*line),
            Self::TooMany { element, .. }
            | Self::TooManySegments { element, .. }
            | Self::TooMuchText { element, .. }
            | Self::TooDeep { element, .. }
            | Self::StyleWork { element, .. }
            | Self::UnequalScales { element, .. }
            | Self::KnownUnusable { element, .. }
            | Self::TooFar { element, .. }
            | Self::UseLoop { element, .. } => Some(element.line),
            Self::BadAttribute { element, .. } => Some(element.line),
            Self::Directory { .. }
            | Self::Unreadable { .. }
            | Self::Empty
            | Self::TooLarge { .. }
            | Self::Compressed
            | Self::Pdf
            | Self::PdfUnread { .. }
            | Self::PdfPassword
            | Self::PdfWrongPassword
            | Self::PdfUnpacks { .. }
            | Self::PdfTooMuch { .. }
            | Self::TooFarOnPage { .. }
            | Self::KnownMissing { .. }
            | Self::KnownLength { .. }
            | Self::Internal { .. } => None,
        }
    }
}

fn in_namespace(namespace: &Option<String>) -> String {
    namespace.as_ref().map(|namespace| format!(" of {namespace}")).unwrap_or_default()
}

fn stated_size(width: &Option<String>, height: &Option<String>) -> String {
    match (width, height) {
        (None, None) => "neither width nor height".to_owned(),
        (Some(width), None) => format!("width=\"{width}\""),
        (None, Some(height)) => format!("height=\"{height}\""),
        (Some(width), Some(height)) => format!("width=\"{width}\" height=\"{height}\""),
    }
}

fn nearest_id(nearest: &Option<String>) -> String {
    nearest.as_ref().map(|nearest| format!("; the nearest is \"{nearest}\"")).unwrap_or_default()
}
