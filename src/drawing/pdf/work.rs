//! How much the pages have drawn, before any of it is: form objects that draw each other may multiply without end.

use std::collections::HashMap;

use hayro_syntax::content::TypedIter;
use hayro_syntax::content::ops::TypedInstruction;
use hayro_syntax::object::{Dict, Name, ObjectIdentifier, Stream};
use hayro_syntax::page::{Page, Resources};

use super::limits::{DRAWN_MEGABYTES, FORM_DEPTH};
use crate::drawing::DrawingError;

/// Refuses pages that have more drawn than is safe.
///
/// # Errors
///
/// [`DrawingError::PdfTooMuch`].
pub(super) fn refuse_endless(pages: &[Page<'_>]) -> Result<(), DrawingError> {
    let limit = DRAWN_MEGABYTES << 20;
    let mut work = PdfWork { known: HashMap::new() };
    let mut left = limit;
    for page in pages {
        let drawn = work.of(page.page_stream().unwrap_or_default(), page.resources(), FORM_DEPTH);
        left = left.checked_sub(drawn).ok_or_else(|| DrawingError::PdfTooMuch {
            what: format!("over {DRAWN_MEGABYTES} MB of drawing instructions"),
        })?;
    }
    Ok(())
}

struct PdfWork {
    /// Bytes that a form object has drawn, with so many levels left.
    known: HashMap<(ObjectIdentifier, usize), usize>,
}

impl PdfWork {
    /// Bytes of instructions that are followed for some contents.
    fn of(&mut self, contents: &[u8], resources: &Resources<'_>, depth: usize) -> usize {
        let mut total = contents.len();
        let mut drawn: HashMap<Vec<u8>, usize> = HashMap::new();
        let mut instructions = TypedIter::new(contents);
        while let Some(instruction) = instructions.next() {
            if let TypedInstruction::XObject(object) = instruction {
                *drawn.entry(object.0.to_vec()).or_default() += 1;
            }
        }
        for (name, times) in drawn {
            let form = resources.get_x_object(&Name::new_unescaped(&name)).filter(is_form);
            let each = form.map_or(0, |form| self.form(&form, resources, depth));
            total = total.saturating_add(each.saturating_mul(times));
        }
        total
    }

    fn form(&mut self, form: &Stream<'_>, around: &Resources<'_>, depth: usize) -> usize {
        let Some(left) = depth.checked_sub(1) else { return 0 };
        let key = (form.obj_id(), left);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let contents = form.decoded_data().unwrap_or_default();
        let own = form.dict().get::<Dict<'_>>(b"Resources").map(Resources::new);
        let drawn = self.of(&contents, own.as_ref().unwrap_or(around), left);
        self.known.insert(key, drawn);
        drawn
    }
}

fn is_form(object: &Stream<'_>) -> bool {
    object.dict().get::<Name<'_>>(b"Subtype").as_deref() == Some(&b"Form"[..])
}
