//! What is told of how pages were put together.

use std::fmt;

use kurbo::{Affine, Rect};
use serde::Serialize;

use super::grid::Cell;
use super::window::WindowSide;
use crate::units::listed_up_to;

/// What showed how the pages lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PutTogetherBy {
    /// Shapes that are drawn on several pages.
    Shapes,
    /// Lines that are cut off at the edges of pages.
    CutLines,
    /// The frames of pages, in the grid that was told.
    Frames,
    /// The parts of the drawing that pages show, in the grid that was told.
    Parts,
    /// The edges of pages, in the grid that was told: they have no frames.
    Edges,
    /// No line runs off any page: each is a drawing of its own.
    WholePages,
}

impl fmt::Display for PutTogetherBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            PutTogetherBy::Shapes => "by the shapes that they share",
            PutTogetherBy::CutLines => "by the lines cut off at their edges",
            PutTogetherBy::Frames => "by their frames, as told",
            PutTogetherBy::Parts => "by the parts that they show, as told",
            PutTogetherBy::Edges => "edge to edge, as told",
            PutTogetherBy::WholePages => "each by itself",
        })
    }
}

/// A side of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PageSide {
    /// To the left of it.
    Left,
    /// Above it.
    Above,
    /// To the right of it.
    Right,
    /// Below it.
    Below,
}

impl fmt::Display for PageSide {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            PageSide::Left => "left of",
            PageSide::Above => "above",
            PageSide::Right => "right of",
            PageSide::Below => "below",
        })
    }
}

impl From<WindowSide> for PageSide {
    fn from(side: WindowSide) -> PageSide {
        match side {
            WindowSide::Left => PageSide::Left,
            WindowSide::Top => PageSide::Above,
            WindowSide::Right => PageSide::Right,
            WindowSide::Bottom => PageSide::Below,
        }
    }
}

/// An edge of a page at which an outline stays open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OpenAt {
    /// The page, as the file calls it.
    pub page: String,
    /// On which side of it the outline should go on.
    pub side: PageSide,
}

impl fmt::Display for OpenAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} page {}", self.side, self.page)
    }
}

/// A place in the grid without a page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct EmptyPlace {
    /// Where in the grid.
    #[serde(flatten)]
    pub cell: Cell,
    /// A page beside it, as the file calls it.
    pub beside: String,
    /// On which side of that page.
    pub side: PageSide,
}

impl fmt::Display for EmptyPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} page {}", self.side, self.beside)
    }
}

/// A page that is missing: lines lead to where it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MissingPage {
    /// Its place.
    #[serde(flatten)]
    pub place: EmptyPlace,
    /// How many lines lead there.
    pub lines: usize,
}

impl fmt::Display for MissingPage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (lines, lead) = if self.lines == 1 { ("line", "leads") } else { ("lines", "lead") };
        write!(f, "{}, where {} {lines} {lead}", self.place, self.lines)
    }
}

/// A page where it was put.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacedPage {
    /// How the file calls it.
    #[serde(rename = "page")]
    pub name: String,
    /// Its place in the grid.
    #[serde(flatten)]
    pub cell: Cell,
    /// Where what it shows lies in the drawing, mm.
    #[serde(skip)]
    pub window: Option<Rect>,
}

/// A drawing made of pages.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PagesOfDrawing {
    /// What showed how they lie.
    pub by: PutTogetherBy,
    /// How many pages it has across.
    pub columns: usize,
    /// How many down.
    pub rows: usize,
    /// By how much pages overlap, across and down, mm.
    pub overlap: [f64; 2],
    /// How many lines are cut off at an edge between two pages and do not go on on the other.
    pub unmet: usize,
    /// Edges of pages at which lines that are cut off at both ends, as an outline is, go on nowhere.
    pub open: Vec<OpenAt>,
    /// All of them.
    pub pages: Vec<PlacedPage>,
    /// Those that are missing.
    pub missing: Vec<MissingPage>,
    /// Places among them to which no line leads and for which the file has no page, not even an empty one: it was left out
    /// as blank, or is missing too.
    pub empty: Vec<EmptyPlace>,
}

/// Places without a page that are named.
const PLACES_NAMED: usize = 6;

/// How pages were put together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PutTogetherTold {
    /// The drawings that they make.
    pub drawings: Vec<PagesOfDrawing>,
    /// How far lines or shapes miss each other where pages meet, at the most, mm.
    pub miss: f64,
    /// What the pages that belong to none are called.
    pub left_out: Vec<String>,
}

impl PutTogetherTold {
    /// The same of a drawing that is as much larger, across and down.
    pub(crate) fn scale(&mut self, across: f64, down: f64) {
        let map = Affine::scale_non_uniform(across, down);
        self.miss *= across.max(down);
        for drawing in &mut self.drawings {
            drawing.overlap = [drawing.overlap[0] * across, drawing.overlap[1] * down];
            for page in &mut drawing.pages {
                page.window = page.window.map(|window| map.transform_rect_bbox(window));
            }
        }
    }

    /// The pages that are missing from all drawings.
    pub fn missing(&self) -> impl Iterator<Item = &MissingPage> {
        self.drawings.iter().flat_map(|drawing| &drawing.missing)
    }

    /// The edges of pages at which outlines stay open.
    pub fn open(&self) -> impl Iterator<Item = &OpenAt> {
        self.drawings.iter().flat_map(|drawing| &drawing.open)
    }

    /// What was done, in a line; and in another what is left out, where any page is.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let told = self.drawings.iter().filter(|drawing| drawing.by != PutTogetherBy::WholePages);
        let Some(first) = told.clone().next() else {
            let why = match self.open().next() {
                None => "no line runs off any of them",
                Some(_) => "nothing shows how they lie",
            };
            let pages = self.drawings.len();
            return self.with_left_out(format!("{pages} pages laid beside one another: {why}"));
        };
        let is_one_way = told.clone().all(|drawing| drawing.by == first.by);
        let by = if is_one_way { format!(" {}", first.by) } else { String::new() };
        let drawings = self.drawings.iter().map(|drawing| match drawing.by {
            by if is_one_way || by == PutTogetherBy::WholePages => drawing.told(),
            by => format!("{}, {by}", drawing.told()),
        });
        let told: Vec<String> = drawings.collect();
        let parts = match told.len() {
            1 => String::new(),
            many => format!(
                "{many} sets of pages, laid beside each other since no line leads from one to another: "
            ),
        };
        let miss = format!("at joins lines miss each other by at most {:.3} mm", self.miss);
        let unmet = match self.drawings.iter().map(|drawing| drawing.unmet).sum::<usize>() {
            0 => String::new(),
            1 => ", and 1 line goes on nowhere".to_owned(),
            many => format!(", and {many} lines go on nowhere"),
        };
        self.with_left_out(format!("pages put together{by}: {parts}{}; {miss}{unmet}", told.join("; ")))
    }

    fn with_left_out(&self, line: String) -> Vec<String> {
        let mut lines = vec![line];
        let empty: Vec<String> =
            self.drawings.iter().flat_map(|drawing| &drawing.empty).map(ToString::to_string).collect();
        if !empty.is_empty() {
            let named = listed_up_to(PLACES_NAMED, &empty);
            lines.push(format!(
                "no page lies {named}, and no line leads there: look whether one is missing, or it was left out as blank"
            ));
        }
        let pages = self.left_out.join(", ");
        match self.left_out.len() {
            0 => {}
            1 => lines.push(format!(
                "page {pages} belongs to no drawing and is left out; where a piece is on it, bring it in as a file of its own"
            )),
            _ => lines.push(format!(
                "pages {pages} belong to no drawing and are left out; where pieces are on them, bring them in as files of \
                 their own"
            )),
        }
        lines
    }
}

impl PagesOfDrawing {
    fn told(&self) -> String {
        let pages = match self.pages.len() {
            1 => return "1 page".to_owned(),
            many => format!("{many} pages"),
        };
        let overlap = match self.overlap {
            [across, down] if (across - down).abs() < 0.05 => format!("{:.1} mm", across.abs()),
            [across, down] => format!("{:.1} mm across and {:.1} mm down", across.abs(), down.abs()),
        };
        let blank = self.columns * self.rows - self.pages.len();
        let without = match blank {
            0 => String::new(),
            1 => ", 1 place without a page".to_owned(),
            many => format!(", {many} places without a page"),
        };
        format!("{} x {} (columns x rows), {pages}{without}, overlap {overlap}", self.columns, self.rows)
    }
}
