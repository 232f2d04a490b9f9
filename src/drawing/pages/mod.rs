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
mod outcome;
mod overlap;
mod overview;
mod paper;
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
pub use outcome::{PagesApart, PutTogether};
pub use told::{
    EmptyPlace, MissingPage, OpenAt, PageSide, PagesOfDrawing, PlacedPage, PutTogetherBy, PutTogetherTold,
};

use super::drawn::DrawnPage;
use outcome::{MOST_PAGES, has_lines};

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
