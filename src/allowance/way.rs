//! Ways from one cutting line to the next.

use crate::curve::{Curve, PathSeg, Point};
use crate::tolerance::SAME_POINT;

/// A way made of segments.
pub(super) struct SegmentWay {
    pub at: Point,
    pub segments: Vec<PathSeg>,
}

impl SegmentWay {
    pub fn from(at: Point) -> SegmentWay {
        SegmentWay { at, segments: Vec::new() }
    }

    /// Straight to a point.
    pub fn line_to(mut self, to: Point) -> SegmentWay {
        if (to - self.at).hypot() > SAME_POINT {
            self.segments.push(PathSeg::Line(kurbo::Line::new(self.at, to)));
            self.at = to;
        }
        self
    }

    /// Back along a line from a distance walked, at most so far.
    pub fn back_along(mut self, line: &Curve, from: f64, most: f64) -> SegmentWay {
        if let Ok(part) = line.stretch((from - most).max(0.0), from) {
            self.follow(&part.reversed());
        }
        self
    }

    /// Along a whole curve that begins here.
    pub fn follow(&mut self, curve: &Curve) {
        self.segments.extend_from_slice(curve.segments());
        self.at = curve.end();
    }

    /// The way as a curve, if it has length.
    pub fn curve(self) -> Option<Curve> {
        Curve::new(self.segments).ok()
    }
}
