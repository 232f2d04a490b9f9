//! What a reader tolerated.

use super::error::NamedElement;
use crate::advice;
use crate::pattern::{Advice, Field};
use crate::units::listed_up_to;

/// Something the reader tolerated.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Note {
    /// The root has no SVG namespace.
    #[error(
        "the root element does not say that it is SVG; read as if it did: add xmlns=\"http://www.w3.org/2000/svg\""
    )]
    NoNamespace,
    /// A `use` of something that is not in this file.
    #[error("{element} refers to \"{reference}\", which is not in this file: kept as it stands")]
    MissingReference {
        /// The `use`.
        element: NamedElement,
        /// Its `href`.
        reference: String,
    },
    /// A second record.
    #[error("{element} is a second record: only the first is read")]
    SecondRecord {
        /// The `metadata` element.
        element: NamedElement,
    },
    /// A clip path that is not applied.
    #[error(
        "{element} is clipped by \"{reference}\", which cannot be read ({reason}): what it hides is found as well"
    )]
    ClipUnread {
        /// The element that is clipped.
        element: NamedElement,
        /// Its `clip-path`.
        reference: String,
        /// What cannot be read.
        reason: String,
    },
    /// Masks, which are not applied.
    #[error("{element} has a mask: masks are not applied, and what they hide is found as well")]
    Masked {
        /// The first element that has one.
        element: NamedElement,
    },
    /// Lines that clip paths cut off or hide.
    #[error(
        "clip paths cut off {cut} shapes and hide {hidden}: they are found as they are seen; take the clip paths off in a \
         vector editor to have them whole"
    )]
    Clipped {
        /// How many are seen in part.
        cut: usize,
        /// How many are not seen at all.
        hidden: usize,
    },
    /// Clip paths that would take too long to apply.
    #[error("the clip paths are too intricate to apply to all: some of what they hide is found as well")]
    ClipsTooIntricate,
    /// Masks of a page, which are not applied.
    #[error("page {page} has masks: they are not applied, and what they hide is found as well")]
    MaskedOnPage {
        /// Which page, from 1.
        page: usize,
    },
    /// Layers that are switched off, and not chosen.
    #[error("{}", hidden(names))]
    HiddenLayers {
        /// What they are called.
        names: Vec<String>,
    },
    /// One prefix stands for two namespaces.
    #[error("the prefix \"{prefix}\" stands for two namespaces: the first is kept")]
    PrefixTwice {
        /// The prefix.
        prefix: String,
    },
}

impl Note {
    /// What the user can do about it, where its sentence does not say so.
    #[must_use]
    pub fn way_out(&self) -> Option<Advice> {
        match self {
            Note::HiddenLayers { names } => {
                let first = names.first()?;
                Some(advice!("take one with ", Field::Size.set(format!("layer {first}"))))
            }
            _ => None,
        }
    }
}

fn hidden(names: &[String]) -> String {
    /// Layers that are named.
    const NAMED: usize = 12;
    let named: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    let (layers, are) = if names.len() == 1 { ("the layer", "is") } else { ("the layers", "are") };
    format!("{layers} {} {are} switched off in the file and left out", listed_up_to(NAMED, &named))
}
