//! The words that a map may say where it may say only some.

use crate::drawing::UserUnit;
use crate::pattern::{Arrows, Finish, Unsewn};

/// What the drawn outline of a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DrawnAs {
    /// The seamline.
    Seamline,
    /// The cutting line; the seamline lies inside it by the allowances.
    CuttingLine,
}

/// Units of a drawing.
pub(super) const UNITS: [(&str, UserUnit); 5] = [
    ("mm", UserUnit::Mm),
    ("cm", UserUnit::Cm),
    ("in", UserUnit::In),
    ("px", UserUnit::Px),
    ("pt", UserUnit::Pt),
];

/// What of a piece is drawn.
pub(super) const DRAWN_AS: [(&str, DrawnAs); 2] =
    [("seamline", DrawnAs::Seamline), ("cutting-line", DrawnAs::CuttingLine)];

/// How an edge is finished.
pub(super) const FINISHES: [(&str, Finish); 4] =
    [("seam", Finish::Seam), ("hem", Finish::Hem), ("fold", Finish::Fold), ("free", Finish::Free)];

/// The words for how an edge is finished.
#[must_use]
pub fn finish_words() -> Vec<&'static str> {
    words(&FINISHES)
}

/// At which ends a grainline has arrows.
pub(super) const ARROWS: [(&str, Arrows); 3] =
    [("both", Arrows::Both), ("start", Arrows::Start), ("end", Arrows::End)];

/// What an edge is sewn to that is not here.
pub(super) const SEWN_TO: [(&str, Unsewn); 1] = [("nothing", Unsewn::Meant)];

/// The words alone.
pub(super) fn words<T, const N: usize>(known: &[(&'static str, T); N]) -> Vec<&'static str> {
    known.iter().map(|(word, _)| *word).collect()
}

/// The word for one of them.
pub(super) fn word_for<T: PartialEq, const N: usize>(
    known: &[(&'static str, T); N],
    what: &T,
) -> &'static str {
    known.iter().find(|(_, value)| value == what).map_or("", |(word, _)| word)
}
