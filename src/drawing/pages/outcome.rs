//! What comes of putting pages together, or why it cannot be done.

use super::told::PutTogetherTold;
use crate::drawing::drawn::{Drawn, DrawnPage, DrawnThing};

/// Pages put together.
#[derive(Clone, Debug)]
pub struct PutTogether {
    /// All of them as one.
    pub page: DrawnPage,
    /// What of them is not the drawing: frames, joining marks, names of pages; where it would lie in it.
    pub left_out: Vec<DrawnThing>,
    /// How it was done.
    pub told: PutTogetherTold,
}

/// Why pages cannot be put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PagesApart {
    /// Lines run off them, and nothing shows how they lie.
    #[error(
        "nothing shows how its pages lie: no shape of a drawing is on two of them, and no line goes on from one to another"
    )]
    NothingShared,
    /// All that is drawn on them is what stands on each of them.
    #[error(
        "nothing is drawn on them but what stands at the same place of each, as frames and marks of pages do"
    )]
    OnlyFurniture,
    /// There are too many.
    #[error("it has over {MOST_PAGES} pages with lines: more than any drawing is printed on")]
    TooMany,
    /// The grid that was told begins after the last page.
    #[error("the grid of pages begins at page {from}, and the file has {pages}")]
    NoSuchPage {
        /// The first page of the grid.
        from: usize,
        /// How many there are.
        pages: usize,
    },
}

/// How many pages are put together; the largest patterns have a hundred.
pub(super) const MOST_PAGES: usize = 500;

/// Whether lines are drawn on a page.
pub(super) fn has_lines(page: &DrawnPage) -> bool {
    page.things.iter().any(|thing| matches!(thing.what, Drawn::Shape { .. } | Drawn::Hidden(_)))
}
