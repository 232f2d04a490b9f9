//! Putting pages together: from the pages of a file, each with its part of a drawing, to one page with all of it.
//!
//! Three ways, the surest first. Where pages draw the whole and hide what lies beyond their edges, a shape that is on two
//! pages shows exactly how they lie; a shape at the same place of three pages is the pages' furniture and shows nothing.
//! Else lines that are cut off at the edge of one page go on at the edge of the next. Else, in a grid that was told, the
//! pages lie frame to frame. Pages on papers of several sizes are put together each by themselves, but where what they show
//! goes on from one to another.
//!
//! ```text
//! pages ── papers ──> pages that may be of one drawing
//!       ── shapes, window ──> links ── grid ──> sheets of placed pages ── joined, together ──> one page, and what is told
//! ```

mod around_corners;
mod by_lines;
mod choice;
mod cut;
mod fill;
mod furniture;
mod grid;
mod joined;
mod laid;
mod links;
mod meeting;
mod neighbours;
mod order;
mod overlap;
mod overview;
mod papers;
mod shapes;
mod shown;
mod strips;
mod taken;
#[cfg(test)]
mod tests;
mod together;
mod told;
mod way;
mod window;

pub use choice::{PageChoice, PageChoiceError, PageGrid, PageOrder};
pub use grid::Cell;
pub use told::{
    EmptyPlace, MissingPage, OpenAt, PageSide, PagesOfDrawing, PlacedPage, PutTogetherBy, PutTogetherTold,
};

use super::drawn::{Drawn, DrawnPage, DrawnThing};

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
const MOST_PAGES: usize = 500;

/// Puts pages together.
///
/// # Errors
///
/// [`PagesApart`]: nothing shows how they lie, there are too many, or the grid told does not begin within the file.
pub fn put_together(pages: &[DrawnPage], choice: &PageChoice) -> Result<PutTogether, PagesApart> {
    if pages.iter().filter(|page| has_lines(page)).count() > MOST_PAGES {
        return Err(PagesApart::TooMany);
    }
    match choice {
        PageChoice::Auto => {
            let drawn_on: Vec<&DrawnPage> = pages.iter().filter(|page| has_lines(page)).collect();
            shown::as_shown(&drawn_on)
        }
        PageChoice::Grid(grid) => {
            let from = pages.get(grid.from - 1..).filter(|pages| !pages.is_empty());
            let from = from.ok_or(PagesApart::NoSuchPage { from: grid.from, pages: pages.len() })?;
            let before: Vec<&DrawnPage> = pages[..grid.from - 1].iter().collect();
            Ok(shown::as_told(&from.iter().collect::<Vec<_>>(), &before, &grid.cells(), &grid.blank_cells()))
        }
    }
}

fn has_lines(page: &DrawnPage) -> bool {
    page.things.iter().any(|thing| matches!(thing.what, Drawn::Shape { .. } | Drawn::Hidden(_)))
}
