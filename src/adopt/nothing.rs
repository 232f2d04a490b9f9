//! Why nothing was found that could be a piece.

use kurbo::{Point, Rect};

use crate::adopt::arrange::Arranged;
use crate::adopt::outlines::FoundOutline;
use crate::adopt::stroke::DrawnThings;
use crate::curve::Curve;
use crate::tolerance::{CUT_AT_FRAME, LEAST_FRAME, LEAST_OUTLINE, ON_OUTLINE};

/// Why a drawing shows no outline of a piece.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(tag = "why", rename_all = "kebab-case")]
pub enum NoOutline {
    /// Lines end at the frames or edges of pages: the drawing goes on on another page.
    CutAtPages {
        /// How many lines.
        lines: usize,
        /// At how many frames or edges of pages.
        pages: usize,
    },
    /// Lines were cut off by clip paths.
    CutByClips,
    /// There are lines, but none closes.
    Open {
        /// How many lines long enough for an outline.
        lines: usize,
    },
    /// All that is closed is too small for a piece.
    TooSmall {
        /// Width and height of the largest, mm.
        largest: [f64; 2],
    },
    /// All lines are frames and marks of pages.
    OnlyFurniture {
        /// How many lines.
        lines: usize,
    },
    /// There is a picture made of pixels, and no line.
    Picture,
    /// There is writing, and no line.
    Writing,
    /// Nothing is seen at all.
    Empty,
}

impl NoOutline {
    /// Why nothing was found; none where something was. `page` is the edge of the sheet, where it is stated, `furniture` how
    /// many lines were taken for frames and marks of pages.
    pub(super) fn of(
        drawn: &DrawnThings,
        arranged: &Arranged,
        page: Option<Rect>,
        (clipped, furniture): (ByClips, usize),
    ) -> Option<NoOutline> {
        let frames: Vec<(Option<usize>, Rect)> = arranged
            .outlines
            .iter()
            .enumerate()
            .filter_map(|(at, outline)| Some((Some(at), frame(outline)?)))
            .chain(page.map(|page| (None, page)))
            .collect();
        let open = arranged.lines.iter().map(|line| &line.curve);
        let open: Vec<&Curve> =
            open.filter(|line| line.start() != line.end() && line.length() >= LEAST_OUTLINE).collect();
        let at_frame = |line: &Curve| {
            frames.iter().position(|(_, frame)| is_on(*frame, line.start()) || is_on(*frame, line.end()))
        };
        let cut: Vec<(&Curve, usize)> =
            open.iter().filter_map(|line| Some((*line, at_frame(line)?))).collect();
        let goes_on =
            cut.len() >= MOST_BY_CHANCE && cut.iter().any(|(line, _)| !line.is_straight(ON_OUTLINE));
        let is_page = |at: usize| {
            goes_on
                && frames.iter().enumerate().any(|(frame, (outline, _))| {
                    *outline == Some(at) && cut.iter().any(|(_, at)| *at == frame)
                })
        };
        let is_check = |at: usize| {
            super::scale::checks(drawn, arranged, None)
                .iter()
                .any(|check| check.letter == arranged.outlines[at].letter)
        };
        if (0..arranged.outlines.len()).any(|at| !is_page(at) && !is_check(at)) {
            return None;
        }
        if goes_on {
            let mut pages: Vec<usize> = cut.iter().map(|(_, frame)| *frame).collect();
            pages.sort_unstable();
            pages.dedup();
            return Some(NoOutline::CutAtPages { lines: cut.len(), pages: pages.len() });
        }
        if !arranged.outlines.is_empty() {
            return None;
        }
        let closed = arranged.lines.iter().map(|line| &line.curve).filter(|line| line.start() == line.end());
        let area = |line: &&Curve| line.bounds().area();
        let largest = closed.max_by(|a, b| area(a).total_cmp(&area(b)));
        Some(match (largest, drawn.pictures) {
            _ if !open.is_empty() && clipped == ByClips::Cut => NoOutline::CutByClips,
            _ if !open.is_empty() => NoOutline::Open { lines: open.len() },
            (Some(line), _) => {
                NoOutline::TooSmall { largest: [line.bounds().width(), line.bounds().height()] }
            }
            (None, 1..) => NoOutline::Picture,
            _ if !drawn.texts.is_empty() || !drawn.writing.is_empty() => NoOutline::Writing,
            _ if !arranged.lines.is_empty() => NoOutline::Open { lines: arranged.lines.len() },
            _ if furniture > 0 => NoOutline::OnlyFurniture { lines: furniture },
            _ => NoOutline::Empty,
        })
    }
}

/// As many lines may end at a frame by chance.
const MOST_BY_CHANCE: usize = 3;

/// Whether clip paths cut off lines of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ByClips {
    /// They did.
    Cut,
    /// Every line is whole.
    Whole,
}

/// The rectangle of an outline that may be the frame of a page: upright, and large enough.
fn frame(outline: &FoundOutline) -> Option<Rect> {
    let bounds = outline.bounds();
    let straight = outline.edges.len() == 4 && outline.edges.iter().all(|edge| edge.is_straight(ON_OUTLINE));
    let upright =
        (bounds.area() - outline.ring.area()).abs() <= ON_OUTLINE * (bounds.width() + bounds.height());
    let large = bounds.width().min(bounds.height()) >= LEAST_FRAME;
    (straight && upright && large).then_some(bounds)
}

/// Whether a line that ends at a place is cut off by a frame.
fn is_on(frame: Rect, at: Point) -> bool {
    let inner = frame.inflate(-CUT_AT_FRAME, -CUT_AT_FRAME);
    frame.inflate(CUT_AT_FRAME, CUT_AT_FRAME).contains(at) && !inner.contains(at)
}
