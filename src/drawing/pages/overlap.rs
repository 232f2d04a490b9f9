//! By how much pages overlap that draw their own parts of lines: what a line cut off at the edge of one page goes on as lies
//! within the next.

use kurbo::{Line, ParamCurve, ParamCurveDeriv, PathSeg, Point, Rect, Vec2};

use super::cut::{CutEnd, CutPage};
use super::window::WindowSide;
use crate::tolerance::{JOIN_TURN, LARGEST_OVERLAP, LEAST_OVERLAP, SAME_OVERLAP};

/// As many lines must agree.
const LEAST: usize = 3;

/// Ends of lines, times pages, that are looked at.
const MOST_WORK: usize = 200_000;

/// The overlap across (at the right edge of a page) or down (at the lower one) that most lines speak for, mm. `next` says whether
/// a page may lie at that side of another.
pub(super) fn most_likely(
    cut: &[Option<CutPage>],
    windows: &[Option<Rect>],
    side: WindowSide,
    next: impl Fn(usize, usize) -> bool,
) -> Option<f64> {
    let near: Vec<Vec<PathSeg>> = cut
        .iter()
        .zip(windows)
        .map(|(page, window)| near_side(page.as_ref(), *window, side.opposite()))
        .collect();
    let mut said: Vec<f64> = Vec::new();
    let mut work = MOST_WORK;
    for (from, page) in cut.iter().enumerate() {
        let ends = page.as_ref().map(|page| page.at(side)).unwrap_or_default();
        for (to, lines) in near.iter().enumerate().filter(|(to, _)| *to != from && next(from, *to)) {
            let Some(window) = windows[to] else { continue };
            for end in &ends {
                let Some(left) = work.checked_sub(1) else { return agreed(&said) };
                work = left;
                said.extend(lines.iter().flat_map(|line| goes_on_as(end, line, window, side)));
            }
        }
    }
    agreed(&said)
}

/// The parts of a page's lines that lie near a side of its window.
fn near_side(page: Option<&CutPage>, window: Option<Rect>, side: WindowSide) -> Vec<PathSeg> {
    let (Some(page), Some(window)) = (page, window) else { return Vec::new() };
    let segments = page.parts.iter().flat_map(|part| part.path.segments());
    let is_near = |segment: &PathSeg| {
        [0.0, 0.5, 1.0].iter().any(|t| side.inside_by(window, segment.eval(*t)) <= LARGEST_OVERLAP)
    };
    segments.filter(is_near).collect()
}

/// How far within its window a page's line lies as a line goes on that is cut off at the edge of the page before. A line square to
/// the edge says nothing: it lies so at each distance.
fn goes_on_as(end: &CutEnd, line: &PathSeg, window: Rect, side: WindowSide) -> Vec<f64> {
    /// The least slant of a line that tells a distance (sine).
    const SLANT: f64 = 0.1;
    let back = side.opposite();
    let way = side.outward();
    let aslant = end.out.cross(way).abs();
    if aslant < SLANT {
        return Vec::new();
    }
    let at = match side {
        WindowSide::Left | WindowSide::Right => {
            Point::new(if side == WindowSide::Right { window.x0 } else { window.x1 }, window.y0 + end.along)
        }
        WindowSide::Top | WindowSide::Bottom => {
            Point::new(window.x0 + end.along, if side == WindowSide::Bottom { window.y0 } else { window.y1 })
        }
    };
    let across = Line::new(at, at + way * LARGEST_OVERLAP);
    let crossings = line.intersect_line(across);
    let goes_on = |t: f64| {
        let tangent = tangent(line, t);
        let turn = tangent.normalize().cross(end.out).abs().clamp(0.0, 1.0).asin();
        (turn <= JOIN_TURN).then(|| back.inside_by(window, line.eval(t)))
    };
    crossings.into_iter().filter_map(|crossing| goes_on(crossing.segment_t)).collect()
}

fn tangent(line: &PathSeg, t: f64) -> Vec2 {
    match line {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    }
}

/// What most agree in: the middle of them.
fn agreed(said: &[f64]) -> Option<f64> {
    let mut said: Vec<f64> = said.iter().copied().filter(|said| *said >= LEAST_OVERLAP).collect();
    said.sort_by(f64::total_cmp);
    let mut best: &[f64] = &[];
    for first in 0..said.len() {
        let count = said[first..].partition_point(|other| other - said[first] <= SAME_OVERLAP);
        if count > best.len() {
            best = &said[first..first + count];
        }
    }
    (best.len() >= LEAST).then(|| best[best.len() / 2])
}
