//! The part of a drawing that is seen through a window.

use kurbo::{BezPath, Line, ParamCurve, PathSeg, Rect, Shape};

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

/// A segment, divided where it meets the sides of a rectangle.
fn parts(segment: PathSeg, window: Rect) -> Vec<PathSeg> {
    if window.contains_rect(segment.bounding_box()) {
        return vec![segment];
    }
    let Rect { x0, y0, x1, y1 } = window;
    let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)].map(Point::from);
    let sides = corners.windows(2).map(|ends| Line::new(ends[0], ends[1]));
    let mut at: Vec<f64> =
        sides.flat_map(|side| segment.intersect_line(side)).map(|hit| hit.segment_t).collect();
    at.extend([0.0, 1.0]);
    at.sort_by(f64::total_cmp);
    at.dedup();
    at.windows(2).map(|ends| segment.subsegment(ends[0]..ends[1])).collect()
}

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
        assert_eq!(seen.strokes[0].path.bounding_box(), Rect::new(0.0, 3.0, 10.0, 3.0));
        let half = seen.strokes[1].path.perimeter(1e-6);
        assert!((half - 4.0 * std::f64::consts::PI).abs() < 1e-3, "{half}");
    }
}
