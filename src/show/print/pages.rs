//! Pages, and what they show.

use std::collections::BTreeSet;

use kurbo::{Rect, Size, Vec2};

use crate::canvas::Drawing;
use crate::curve::Point;
use crate::show::piece::PieceDrawing;
use crate::show::print::paper::Throw;
use crate::show::print::tiles::Tile;
use crate::truing::Verdict;

/// What of an area a page shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShownArea {
    /// The area, of [`Print::areas`].
    pub area: usize,
    /// The page's place in its grid, if it is put together with others.
    pub tile: Option<Tile>,
    /// The part of the area, mm.
    pub rect: Rect,
}

/// A page, in true millimetres from its upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its name.
    pub label: String,
    /// Its size. On paper it is stretched by [`Print::stretch`].
    pub page: Size,
    /// The part in which the pattern is drawn.
    pub window: Rect,
    /// The pattern; what lies outside the window is not to be seen.
    pub content: Drawing,
    /// Bars, names, marks.
    pub furniture: Drawing,
    /// What the page shows; none of a map.
    pub shown: Option<ShownArea>,
    /// What begins on the page, and where.
    pub bookmarks: Vec<(String, Point)>,
}

/// Pieces laid out beside one another.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedArea {
    /// The pieces in their places, mm.
    pub pieces: Vec<PieceDrawing>,
    /// How wide and high it is put together, mm.
    pub size: Size,
    /// How many pages show it.
    pub pages: usize,
    /// How many pages come before these: the map, and what it has no room for.
    pub before: usize,
    /// How many pages of its grid are blank and left out.
    pub blank: usize,
}

/// A pattern on pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Print {
    /// The title.
    pub title: String,
    /// The pages.
    pub pages: Vec<Page>,
    /// What they show.
    pub areas: Vec<PrintedArea>,
    /// Whether the pattern is true.
    pub verdict: Verdict,
    /// By how much pages are stretched so that they come out true.
    pub stretch: Vec2,
    /// Letters in names that the face does not have; a question mark stands for each.
    pub missing: BTreeSet<char>,
    /// How it is thrown, if it is for a projector.
    pub throw: Option<Throw>,
}
