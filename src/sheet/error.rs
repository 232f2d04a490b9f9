//! Why a sheet cannot be read or written.

use std::fmt;

use crate::allowance::AllowanceError;
use crate::drawing;
use crate::drawing::{NamedElement, Node, number};
use crate::pattern::{MeasuresError, Refusal, Remedy};

/// Why a sheet cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// It is no drawing that can be read.
    #[error(transparent)]
    Drawing(#[from] drawing::DrawingError),
    /// It is a drawing, but no pattern sheet.
    #[error("{}{refusal}", place(.element.as_deref()))]
    Sheet {
        /// The element, where it is one.
        element: Option<Box<NamedElement>>,
        /// What is wrong.
        refusal: Box<Refusal>,
    },
    /// It holds no piece.
    #[error(
        "there is no piece on the sheet: mark each piece's group with data-kind=\"piece\" and an id, or bring the drawing \
         in with retrue adopt"
    )]
    NoPieces,
    /// What it says of the pattern as a whole cannot be read.
    #[error("{name}=\"{value}\": {error}; correct it, or leave the attribute out")]
    About {
        /// The attribute of the root.
        name: String,
        /// Its value.
        value: String,
        /// What is wrong with it.
        error: MeasuresError,
    },
    /// Its record cannot be read.
    #[error("the record of earlier steps cannot be read: {0}; take the metadata element out to begin anew")]
    Record(String),
}

fn place(element: Option<&NamedElement>) -> String {
    element.map_or_else(String::new, |element| format!("{element}: "))
}

impl ReadError {
    pub(super) fn at(node: &Node, refusal: Refusal) -> ReadError {
        ReadError::Sheet {
            element: Some(Box::new(node.element())),
            refusal: Box::new(in_words_of_a_sheet(refusal)),
        }
    }
}

impl From<Refusal> for ReadError {
    fn from(refusal: Refusal) -> ReadError {
        ReadError::Sheet { element: None, refusal: Box::new(in_words_of_a_sheet(refusal)) }
    }
}

fn in_words_of_a_sheet(refusal: Refusal) -> Refusal {
    Refusal { way_out: refusal.way_out.with_remedies(Remedy::on_a_sheet), ..refusal }
}

/// Why a sheet cannot be written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum WriteError {
    /// A number or text that SVG cannot hold.
    #[error(transparent)]
    Text(#[from] number::WriteFault),
    /// A cutting line that cannot be worked out.
    #[error(transparent)]
    Allowance(#[from] AllowanceError),
    /// A seam whose direction cannot be written.
    #[error(transparent)]
    Seam(#[from] Refusal),
    /// The record cannot be written.
    #[error("the record cannot be written: {0}")]
    Record(String),
    /// The sheet could not be read again as it is.
    #[error(
        "it could not be read again ({0}): choose another line, depth or width, or take the step in another order"
    )]
    Unreadable(String),
    /// The text cannot be put together.
    #[error("the sheet cannot be put together")]
    Format(#[from] fmt::Error),
}
