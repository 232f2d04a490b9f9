//! The part of a drawing that is seen through a window.

use std::ops::Range;

use kurbo::common::solve_itp;
use kurbo::{BezPath, ParamCurve, ParamCurveExtrema, PathSeg, Rect, Shape};

use crate::canvas::{Drawing, Stroke};
use crate::curve::Point;

impl Drawing {
    /// What lies within a rectangle: strokes cut at its sides; of fills and labels those that lie whole in it.
    #[must_use]
    pub fn within(&self, window: Rect) -> Drawing {
        let strokes =
            self.strokes.iter().map(|stroke| Stroke { path: cut_to(&stroke.path, window), ..*stroke });
        let mut seen = self.clone();
        seen.strokes = strokes.filter(|stroke| !stroke.path.is_empty()).collect();
        seen.fills.retain(|fill| window.contains_rect(fill.path.bounding_box()));
        seen.labels.retain(|label| window.contains_rect(label.bounds()));
        seen
    }
}

/// The stretches of a path within a rectangle.
fn cut_to(path: &BezPath, window: Rect) -> BezPath {
    let mut cut = BezPath::new();
    let mut end: Option<Point> = None;
    for part in path.segments().flat_map(|segment| parts(segment, window)) {
        if !window.contains(part.eval(0.5)) {
            continue;
        }
        if end != Some(part.start()) {
            cut.move_to(part.start());
        }
        cut.push(part.as_path_el());
        end = Some(part.end());
    }
    cut
}

/// A segment, divided where it crosses the sides of a rectangle.
fn parts(segment: PathSeg, window: Rect) -> Vec<PathSeg> {
    if window.contains_rect(Shape::bounding_box(&segment)) {
        return vec![segment];
    }
    let Rect { x0, y0, x1, y1 } = window;
    let mut at = vec![0.0, 1.0];
    // Where it runs one way only, it crosses a side once or not at all: none is missed, however flat it is.
    for range in segment.extrema_ranges() {
        at.extend([range.start, range.end]);
        at.extend([x0, x1].iter().filter_map(|side| crossing(range.clone(), |t| segment.eval(t).x - side)));
        at.extend([y0, y1].iter().filter_map(|side| crossing(range.clone(), |t| segment.eval(t).y - side)));
    }
    at.sort_by(f64::total_cmp);
    at.dedup();
    at.windows(2).map(|ends| segment.subsegment(ends[0]..ends[1])).collect()
}

/// Where a measure that only grows or only falls over a range passes nothing.
fn crossing(range: Range<f64>, off: impl Fn(f64) -> f64) -> Option<f64> {
    let (first, last) = (off(range.start), off(range.end));
    if !first.is_finite() || !last.is_finite() || (first < 0.0) == (last < 0.0) {
        return None;
    }
    let sign = if last < first { -1.0 } else { 1.0 };
    let (first, last) = (first * sign, last * sign);
    Some(solve_itp(|t| sign * off(t), range.start, range.end, CUT_WITHIN, 1, 0.2, first, last))
}

/// How closely the place of a segment is found at which it is cut, as a share of the segment: under a thousandth of a
/// millimetre on the longest line of a piece.
const CUT_WITHIN: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::canvas::LineKind;

    #[test]
    fn lines_end_at_the_window() {
        let mut drawing = Drawing::default();
        drawing.line(LineKind::CuttingLine, Point::new(-5.0, 3.0), Point::new(25.0, 3.0));
        drawing.line(LineKind::CuttingLine, Point::new(-5.0, 30.0), Point::new(25.0, 30.0));
        let circle = kurbo::Circle::new((0.0, 5.0), 4.0).to_path(1e-6);
        drawing.stroke(LineKind::Seamline, circle);
        let seen = drawing.within(Rect::new(0.0, 0.0, 10.0, 10.0));
        assert_eq!(seen.strokes.len(), 2);
        let level = seen.strokes[0].path.bounding_box();
        assert!(level.x0.abs() < 1e-6 && (level.x1 - 10.0).abs() < 1e-6, "{level:?}");
        assert_eq!((level.y0, level.y1), (3.0, 3.0));
        let half = seen.strokes[1].path.perimeter(1e-6);
        assert!((half - 4.0 * std::f64::consts::PI).abs() < 1e-3, "{half}");
    }
}
