//! Pages that lie beside each other by what both show where they overlap: a line that does not reach the edge of what is a page's
//! own is drawn on its neighbour as well, though nothing of it is cut off there.

use kurbo::{Line, ParamCurve, ParamCurveNearest, PathSeg, Point, Rect, Vec2};

use super::cut::CutPage;
use super::grid::Link;
use super::neighbours::beside;
use super::window::{WindowSide, own_part, within};
use crate::tolerance::{CUT_AT_FRAME, JOIN_MISS, SAME_POINT};

/// How long the lines of a strip must be together to say anything, mm.
const LEAST: f64 = 10.0;

/// Places of lines, times lines, that are compared.
const MOST_WORK: usize = 4_000_000;

/// What a page shows at one of its sides together with its neighbour, as it lies from the corner of the strip.
struct SharedStrip {
    lines: Vec<PathSeg>,
    size: Rect,
}

impl SharedStrip {
    /// What lies within the overlap at a side; none where that is nearly nothing.
    fn of(page: &CutPage, window: Rect, side: WindowSide, overlap: Vec2) -> Option<SharedStrip> {
        let mut strip = window;
        match side {
            WindowSide::Left => strip.x1 = window.x0 + overlap.x,
            WindowSide::Right => strip.x0 = window.x1 - overlap.x,
            WindowSide::Top => strip.y1 = window.y0 + overlap.y,
            WindowSide::Bottom => strip.y0 = window.y1 - overlap.y,
        }
        let to_corner = kurbo::Affine::translate(-strip.origin().to_vec2());
        let runs = page.parts.iter().flat_map(|part| within(&part.path, strip));
        let lines: Vec<PathSeg> =
            runs.flat_map(|run| (to_corner * run).segments().collect::<Vec<_>>()).collect();
        let long: f64 = lines.iter().map(chord).sum();
        (long >= LEAST).then(|| SharedStrip { lines, size: strip.size().to_rect() })
    }

    /// Places on its lines but those at its edges, where lines are cut off a little short or over.
    fn places(&self) -> impl Iterator<Item = Point> {
        const AT: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
        let inner = self.size.inset(-CUT_AT_FRAME);
        let places = self.lines.iter().flat_map(|line| AT.map(|t| line.eval(t)));
        places.filter(move |at| inner.contains(*at))
    }

    /// Whether all its lines are drawn on another as well.
    fn lies_on(&self, other: &SharedStrip) -> bool {
        let is_on = |at: Point| {
            let off = other.lines.iter().map(|line| line.nearest(at, SAME_POINT).distance_sq);
            off.fold(f64::INFINITY, f64::min) <= JOIN_MISS * JOIN_MISS
        };
        let mut places = self.places().peekable();
        places.peek().is_some() && places.all(is_on)
    }
}

fn chord(line: &PathSeg) -> f64 {
    Line::new(line.start(), line.end()).length()
}

/// The pages that lie beside each other by what both show where they overlap, where of each only one other shows the same.
/// `windows` are those of whole pages.
pub(super) fn by_strips(cut: &[Option<CutPage>], windows: &[Option<Rect>], overlap: Vec2) -> Vec<Link> {
    let mut found = Vec::new();
    let mut work = MOST_WORK;
    for (side, wide) in [(WindowSide::Right, overlap.x), (WindowSide::Bottom, overlap.y)] {
        if wide <= 2.0 * CUT_AT_FRAME {
            continue;
        }
        let at = |side: WindowSide| -> Vec<Option<SharedStrip>> {
            let pages = cut.iter().zip(windows);
            pages.map(|(page, window)| SharedStrip::of(page.as_ref()?, (*window)?, side, overlap)).collect()
        };
        let (from, to) = (at(side), at(side.opposite()));
        let mut same: Vec<(usize, usize)> = Vec::new();
        for (one, strip) in from.iter().enumerate() {
            for (other, next) in to.iter().enumerate().filter(|(other, _)| *other != one) {
                let (Some(strip), Some(next)) = (strip, next) else { continue };
                let Some(left) = work.checked_sub(strip.lines.len() * next.lines.len()) else { return found };
                work = left;
                if strip.lies_on(next) && next.lies_on(strip) {
                    same.push((one, other));
                }
            }
        }
        let only = |(one, other): &(usize, usize)| {
            let again = same.iter().filter(|pair| pair.0 == *one || pair.1 == *other);
            again.count() == 1
        };
        let own = |page: usize| windows[page].map(|window| own_part(window, overlap, |_| true));
        found.extend(same.iter().filter(|pair| only(pair)).filter_map(|&(from, to)| {
            Some(Link { from, to, shift: beside(own(from)?, own(to)?, side), votes: 1 })
        }));
    }
    found
}
