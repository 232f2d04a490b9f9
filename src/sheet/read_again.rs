//! Whether a sheet that was written can be read again: none is handed out that cannot.

use std::collections::BTreeSet;

use crate::pattern::{Pattern, Run, Seam};
use crate::sheet::{ReadOptions, WriteError, read};

/// Refuses a sheet that cannot be read, as where an outline crosses itself once its numbers are rounded, or whose seams
/// would be read otherwise, as on mirrored copies of opened pieces, which are told apart by their names alone.
pub(super) fn refuse_unreadable(pattern: &Pattern, text: &str) -> Result<(), WriteError> {
    let read = read(text.as_bytes(), &ReadOptions::default())
        .map_err(|error| WriteError::Unreadable(error.to_string()))?
        .pattern;
    let kept: BTreeSet<(Run, Run)> = read.seams().iter().map(either_half).collect();
    let lost = |seam: &&Seam| !kept.contains(&either_half(seam));
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

/// A seam's runs in a form that all seams have in common that join the same ends of the same edges, or their mirror
/// images, whichever side and end is named first; their ease aside.
fn either_half(seam: &Seam) -> (Run, Run) {
    let drawn = (seam.first.clone(), seam.second.clone());
    let mirrored = (seam.first.mirrored(), seam.second.mirrored());
    let from_either_end =
        |(first, second): (Run, Run)| [(first.reversed(), second.reversed()), (first, second)];
    let ends = [drawn, mirrored].into_iter().flat_map(from_either_end);
    let forms = ends.map(|(first, second)| if second < first { (second, first) } else { (first, second) });
    forms.fold((seam.first.clone(), seam.second.clone()), Ord::min)
}
