//! Whether a sheet that was written can be read again: none is handed out that cannot.

use crate::pattern::{Pattern, Run, Seam};
use crate::sheet::{ReadOptions, WriteError, read};
use crate::units::Length;

/// Refuses a sheet that cannot be read, as where an outline crosses itself once its numbers are rounded, or whose seams
/// would be read otherwise, as on mirrored copies of opened pieces, which are told apart by their names alone.
pub(super) fn refuse_unreadable(pattern: &Pattern, text: &str) -> Result<(), WriteError> {
    let read = read(text.as_bytes(), &ReadOptions::default())
        .map_err(|error| WriteError::Unreadable(error.to_string()))?
        .pattern;
    let lost = |seam: &&Seam| !read.seams().iter().any(|other| is_same_on_either_half(seam, other));
    match pattern.seams().iter().find(lost) {
        Some(seam) => {
            Err(WriteError::Unreadable(format!("the direction of the seam {} is lost", seam.name())))
        }
        None if read.seams().len() != pattern.seams().len() => {
            let what = format!("{} seams would be read as {}", pattern.seams().len(), read.seams().len());
            Err(WriteError::Unreadable(what))
        }
        None => Ok(()),
    }
}

/// Whether two seams join the same ends of the same edges, or their mirror images, their ease aside.
fn is_same_on_either_half(one: &Seam, other: &Seam) -> bool {
    let bare = |first: Run, second: Run| Seam { first, second, ease: Length::ZERO };
    let one = bare(one.first.clone(), one.second.clone());
    one.is_same(&bare(other.first.clone(), other.second.clone()))
        || one.is_same(&bare(other.first.mirrored(), other.second.mirrored()))
}
