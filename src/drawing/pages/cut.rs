//! The lines of a page as its window cuts them off.

use kurbo::{BezPath, ParamCurve, Point, Rect, Vec2};

use super::furniture;
use super::shapes::Shapes;
use super::window::{WindowSide, ends, side_at, within};
use crate::drawing::drawn::{Drawn, DrawnPage, SeenAs};

/// A line, or a part of one, that is cut off at a side.
#[derive(Clone, Debug)]
pub(super) struct CutEnd {
    pub side: WindowSide,
    /// Where it meets the side, from the left or from above, mm.
    pub along: f64,
    /// The way out of the page.
    pub out: Vec2,
    /// Which of the page's parts.
    pub part: usize,
    /// Which end of it.
    pub end: WhichEnd,
}

/// An end of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum WhichEnd {
    Start,
    End,
}

/// Which part of which page of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct PartOf(pub usize, pub usize);

/// A run of a line that lies within its page's window.
#[derive(Clone, Debug)]
pub(super) struct PartOfCut {
    pub thing: usize,
    pub path: BezPath,
}

impl PartOfCut {
    /// Where it ends.
    pub fn place(&self, end: WhichEnd) -> Option<Point> {
        match end {
            WhichEnd::Start => self.path.segments().next().map(|first| first.start()),
            WhichEnd::End => self.path.segments().last().map(|last| last.end()),
        }
    }
}

/// The lines of a page as its window shows them.
#[derive(Clone, Debug, Default)]
pub(super) struct CutPage {
    pub parts: Vec<PartOfCut>,
    pub ends: Vec<CutEnd>,
}

impl CutPage {
    /// Those of some lines of a page that are not its furniture.
    pub fn of(
        page: &DrawnPage,
        at: usize,
        shapes: &Shapes,
        window: Rect,
        is_asked: impl Fn(usize) -> bool,
    ) -> CutPage {
        let mut cut = CutPage::default();
        for (thing, drawn) in page.things.iter().enumerate() {
            let Drawn::Shape { path, paint } = &drawn.what else { continue };
            let is_line = paint.seen_as() == SeenAs::Line;
            if is_line && is_asked(thing) && !furniture::is_left_out(page, (at, thing), shapes, Some(window))
            {
                cut.add(path, thing, window);
            }
        }
        cut
    }

    fn add(&mut self, path: &BezPath, thing: usize, window: Rect) {
        for run in path.subpaths() {
            for part in within(&BezPath::from_vec(run.to_vec()), window) {
                let ends = ends(part.elements());
                for (at, (place, out)) in ends.into_iter().enumerate() {
                    let Some(side) = side_at(window, place, out) else { continue };
                    let rest = side.inside_by(window, place) / out.dot(side.outward());
                    let end = if at == 0 { WhichEnd::Start } else { WhichEnd::End };
                    let along = side.along(window, place + out * rest);
                    self.ends.push(CutEnd { side, along, out, part: self.parts.len(), end });
                }
                self.parts.push(PartOfCut { thing, path: part });
            }
        }
    }

    /// The ends at a side.
    pub fn at(&self, side: WindowSide) -> Vec<&CutEnd> {
        self.ends.iter().filter(|end| end.side == side).collect()
    }
}
