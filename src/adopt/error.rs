//! Why a drawing cannot be brought in.

use std::ops::Range;

use crate::advice;
use crate::drawing::pages::PagesApart;
use crate::drawing::{self, PlaceInFile};
use crate::pattern::{Advice, Field, Refusal, Remedy, Settles};
use crate::sheet::ReadError;
use crate::toml_file::TextFault;
use crate::units::listed_up_to;

/// Pages that are named.
const NAMED: usize = 6;

/// Why a drawing cannot be brought in.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AdoptError {
    /// It is no drawing that can be read.
    #[error(transparent)]
    Drawing(#[from] drawing::DrawingError),
    /// One of several files is no drawing that can be read.
    #[error("{file}: {error}")]
    OneOfSeveral {
        /// What it is called.
        file: String,
        /// What is wrong with it.
        error: drawing::DrawingError,
    },
    /// The reader itself failed.
    #[error(transparent)]
    Sheet(#[from] ReadError),
    /// There is too much in it.
    #[error(
        "the drawing has over {strokes} lines, or over {segments} straight and curved parts of lines, the first too many on \
         {at}: take hatching, pictures and unused layers out of it"
    )]
    TooMuch {
        /// How many lines are read.
        strokes: usize,
        /// How many straight and curved parts of them.
        segments: usize,
        /// Where the first too many stands.
        at: PlaceInFile,
    },
    /// The file has no page.
    #[error("the file has no page: nothing is drawn in it")]
    NoPage,
    /// Several pages are drawn on, and cannot be put together.
    #[error("several pages are drawn on ({}); {reason}", listed_up_to(NAMED, drawn_on))]
    Pages {
        /// Why they cannot be put together.
        reason: PagesApart,
        /// What the pages with lines are called.
        drawn_on: Vec<String>,
    },
    /// The scale makes it larger than anything that is cut.
    #[error("at this scale the drawing is over 100 m large")]
    TooLarge,
    /// Something asked for is not in the drawing, or cannot be used.
    #[error("{0}")]
    Asked(Box<Refusal>),
    /// The map asks for something that cannot be done.
    #[error("{0}")]
    Map(Box<TextFault>),
}

impl AdoptError {
    /// What the user can do about it, where its sentence does not say so.
    #[must_use]
    pub fn way_out(&self) -> Advice {
        match self {
            AdoptError::Drawing(error) | AdoptError::OneOfSeveral { error, .. } => {
                error.way_out().unwrap_or_default()
            }
            AdoptError::Asked(refusal) => refusal.way_out.clone(),
            AdoptError::Map(error) => error.way_out.clone(),
            AdoptError::Pages { reason: PagesApart::OnlyFurniture, .. } => {
                "use the pages on which the pieces are drawn; where each of these is a drawing of its own, save it as a file of its own"
                    .into()
            }
            AdoptError::Pages { .. } => advice!(
                "say how many stand beside and under one another: ",
                Field::Pages.set("5 x 6"),
                ", or use the file for large sheets (A0, copy shop) where there is one"
            ),
            AdoptError::TooLarge => advice!("look at ", Field::Unit, " and ", Field::Known),
            _ => Advice::default(),
        }
    }
}

impl From<Refusal> for AdoptError {
    fn from(refusal: Refusal) -> AdoptError {
        AdoptError::Asked(Box::new(refusal))
    }
}

impl From<TextFault> for AdoptError {
    fn from(error: TextFault) -> AdoptError {
        AdoptError::Map(Box::new(error))
    }
}

/// What the model refuses, at the place of the map that asks for it, in the words of a map.
pub(super) fn refused_at(span: Range<usize>, refusal: &Refusal) -> TextFault {
    TextFault::new(span, &refusal.what, &refusal.at, refusal.way_out.with_remedies(in_a_map))
}

/// What is to be written in a map.
fn in_a_map(remedy: &Remedy) -> String {
    match remedy {
        Remedy::SayFrom { ends: [likely, other], settles, .. } => {
            let notches = match settles {
                Settles::Surely => "",
                Settles::Perhaps => ", or name notches that tell it",
            };
            format!("say it in this seam: from = \"{likely}\" (or from = \"{other}\"){notches}")
        }
        Remedy::SayCorners => {
            "say at which corner the sewing comes onto the first edge of the second side, as in \
                               from = \"front.armhole@0%\""
                .to_owned()
        }
    }
}
