//! Where the ends of cut lines meet on a sheet, and lines carried on to there.

use kurbo::{BezPath, PathSeg, Point, Rect, Vec2};

use super::cut::{CutEnd, CutPage, WhichEnd};
use super::window::{WindowSide, way_out};
use crate::tolerance::{CUT_AT_FRAME, LEAST_CUT_ANGLE, SHORT_PART};

/// A place on the side of what is a page's own, both on the sheet.
pub(super) fn on_side(own: Rect, side: WindowSide, along: f64) -> Point {
    match side {
        WindowSide::Left => Point::new(own.x0, along),
        WindowSide::Right => Point::new(own.x1, along),
        WindowSide::Top => Point::new(along, own.y0),
        WindowSide::Bottom => Point::new(along, own.y1),
    }
}

/// A part from the end at which it is entered, its ends moved to where it meets others.
pub(super) fn between(
    path: &BezPath,
    enter: WhichEnd,
    from: Option<Point>,
    to: Option<Point>,
) -> Vec<PathSeg> {
    let mut segments: Vec<PathSeg> = path.segments().collect();
    if enter == WhichEnd::End {
        segments = reversed(&segments);
    }
    if let Some(from) = from {
        segments = reversed(&segments);
        carried_on(&mut segments, from);
        segments = reversed(&segments);
    }
    if let Some(to) = to {
        carried_on(&mut segments, to);
    }
    segments
}

fn reversed(segments: &[PathSeg]) -> Vec<PathSeg> {
    segments.iter().rev().map(PathSeg::reverse).collect()
}

/// Corners that pages lose which cut lines short: two lines of a page that end at one side and, carried on straight, meet
/// at it. On the sheet.
pub(super) fn corners_at<'a>(
    unmet: &[&'a CutEnd],
    cut: &CutPage,
    side: WindowSide,
    window: Rect,
    origin: Vec2,
) -> Vec<(&'a CutEnd, &'a CutEnd, Point)> {
    /// Ends at one side that are looked at.
    const MOST: usize = 100;
    let unmet = &unmet[..unmet.len().min(MOST)];
    let place = |end: &CutEnd| cut.parts[end.part].place(end.end);
    let mut used = vec![false; unmet.len()];
    let mut corners = Vec::new();
    for (i, one) in unmet.iter().enumerate() {
        for (j, two) in unmet.iter().enumerate().skip(i + 1) {
            let (Some(from), Some(to)) = (place(one), place(two)) else { continue };
            let crossed = one.out.cross(two.out);
            if used[i] || used[j] || crossed.abs() < LEAST_CUT_ANGLE {
                continue;
            }
            let ahead = (to - from).cross(two.out) / crossed;
            let behind = (to - from).cross(one.out) / crossed;
            let corner = from + one.out * ahead;
            let is_at_side = side.inside_by(window, corner).abs() <= CUT_AT_FRAME;
            if ahead >= 0.0 && behind >= 0.0 && is_at_side {
                (used[i], used[j]) = (true, true);
                corners.push((*one, *two, corner + origin));
            }
        }
    }
    corners
}

/// A line to its new end: carried on straight where it was cut short, else with its end moved.
fn carried_on(segments: &mut Vec<PathSeg>, to: Point) {
    let Some(last) = segments.last_mut() else { return };
    let end = kurbo::ParamCurve::end(last);
    let is_ahead = way_out(last).is_some_and(|out| (to - end).dot(out) > SHORT_PART);
    if is_ahead && !matches!(last, PathSeg::Line(_)) {
        segments.push(PathSeg::Line(kurbo::Line::new(end, to)));
    } else {
        *last = with_end(last, to);
    }
}

/// A segment with its end moved, and the handle at it.
fn with_end(segment: &PathSeg, to: Point) -> PathSeg {
    match *segment {
        PathSeg::Line(mut line) => {
            line.p1 = to;
            PathSeg::Line(line)
        }
        PathSeg::Quad(mut quad) => {
            quad.p2 = to;
            PathSeg::Quad(quad)
        }
        PathSeg::Cubic(mut cubic) => {
            cubic.p2 += to - cubic.p3;
            cubic.p3 = to;
            PathSeg::Cubic(cubic)
        }
    }
}
