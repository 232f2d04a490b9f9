//! How far two curves lie apart at the most.
//!
//! Stretches of the one curve are halved, the one that may lie furthest from the other first, until none can lie further
//! than what was found. What a stretch can come to is bounded in two ways, of which the less holds:
//!
//! ```text
//!   a ●────stretch────● b      no further than both ends and half of the way between them,
//!     │╲             ╱│        and no further than the control points of a part of the other
//!     ●──part beside──●        curve stand from its own, whichever part that is
//! ```

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use kurbo::{ParamCurve, PathSeg, Point, Vec2};

use super::nearest::Foot;
use super::{Curve, segment};
use crate::tolerance::APART_ACCURACY;

impl Curve {
    /// The greatest distance in mm of a point of either curve from the other (the Hausdorff distance): zero where they
    /// are the same line, however they are divided and whichever way they run.
    ///
    /// It is that of a place of one of them, and short of the greatest by less than [`APART_ACCURACY`].
    pub fn distance_to(&self, other: &Curve) -> f64 {
        self.farthest_from(other).max(other.farthest_from(self))
    }

    fn farthest_from(&self, other: &Curve) -> f64 {
        let sides = BothCurves { own: self, other };
        let mut open: BinaryHeap<SegmentStretch> = (0..self.segments().len())
            .map(|index| sides.stretch(index, sides.place(index, 0.0), sides.place(index, 1.0)))
            .collect();
        let mut found = open.iter().map(SegmentStretch::seen).fold(0.0, f64::max);
        while let Some(stretch) = open.pop().filter(|stretch| stretch.most > found + APART_ACCURACY) {
            let middle = sides.place(stretch.index, f64::midpoint(stretch.from.t, stretch.to.t));
            found = found.max(middle.foot.distance);
            open.push(sides.stretch(stretch.index, stretch.from, middle));
            open.push(sides.stretch(stretch.index, middle, stretch.to));
        }
        found
    }
}

/// The curve whose places are looked at, and the one that they lie off.
struct BothCurves<'a> {
    own: &'a Curve,
    other: &'a Curve,
}

/// A place on a segment, and the nearest on the other curve.
#[derive(Clone, Copy)]
struct PlaceOff {
    t: f64,
    foot: Foot,
}

/// A stretch of a segment, and the most that any place of it can lie off, mm.
struct SegmentStretch {
    index: usize,
    from: PlaceOff,
    to: PlaceOff,
    most: f64,
}

impl SegmentStretch {
    /// How far off it is known to lie.
    fn seen(&self) -> f64 {
        self.from.foot.distance.max(self.to.foot.distance)
    }
}

impl BothCurves<'_> {
    fn place(&self, index: usize, t: f64) -> PlaceOff {
        PlaceOff { t, foot: self.other.foot(segment::point(&self.own.segments()[index], t)) }
    }

    fn stretch(&self, index: usize, from: PlaceOff, to: PlaceOff) -> SegmentStretch {
        let part = even_controls(&self.own.segments()[index], from.t, to.t);
        let way: f64 = part.windows(2).map(|pair| (pair[1] - pair[0]).hypot()).sum();
        let by_the_way = f64::midpoint(from.foot.distance + to.foot.distance, way);
        let beside = self.beside(&part, from.foot, to.foot).into_iter().flatten();
        SegmentStretch { index, from, to, most: beside.fold(by_the_way, f64::min) }
    }

    /// How far the control points of a stretch stand from those of parts of the other curve: from where its start is
    /// nearest, to where its end is nearest, and from the one to the other.
    fn beside(&self, part: &[Point; 4], from: Foot, to: Foot) -> [Option<f64>; 3] {
        let way = part[3] - part[0];
        let ahead = self.moved_on(from, way).map(|t| self.off(part, from.index, (from.t, t)));
        let back = self.moved_on(to, -way).map(|t| self.off(part, to.index, (t, to.t)));
        let between = (from.index == to.index).then(|| self.off(part, from.index, (from.t, to.t)));
        [ahead, back, between]
    }

    /// The parameter to which a foot moves when its place does; none where the other curve has no direction there.
    fn moved_on(&self, foot: Foot, by: Vec2) -> Option<f64> {
        let speed = segment::derivative(&self.other.segments()[foot.index], foot.t);
        let moved = foot.t + by.dot(speed) / speed.hypot2();
        moved.is_finite().then(|| moved.clamp(0.0, 1.0))
    }

    fn off(&self, part: &[Point; 4], index: usize, (from, to): (f64, f64)) -> f64 {
        let theirs = even_controls(&self.other.segments()[index], from, to);
        part.iter().zip(theirs).map(|(own, theirs)| (*own - theirs).hypot()).fold(0.0, f64::max)
    }
}

/// The control points of a part of a segment as a cubic that is travelled at the segment's own pace; backward where it ends
/// before it begins.
fn even_controls(segment: &PathSeg, from: f64, to: f64) -> [Point; 4] {
    match segment {
        PathSeg::Line(line) => {
            let (a, b) = (line.eval(from), line.eval(to));
            [a, a.lerp(b, 1.0 / 3.0), a.lerp(b, 2.0 / 3.0), b]
        }
        _ => {
            let part = segment.to_cubic().subsegment(from..to);
            [part.p0, part.p1, part.p2, part.p3]
        }
    }
}

impl PartialEq for SegmentStretch {
    fn eq(&self, other: &SegmentStretch) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for SegmentStretch {}

impl PartialOrd for SegmentStretch {
    fn partial_cmp(&self, other: &SegmentStretch) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for SegmentStretch {
    fn cmp(&self, other: &SegmentStretch) -> Ordering {
        self.most.total_cmp(&other.most)
    }
}
