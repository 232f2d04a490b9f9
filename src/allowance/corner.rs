//! The shapes in which two cutting lines are joined at a corner.
//!
//! Both lines are seen as arriving at the corner, each as an [`Arm`]; all shapes are then alike from either side.
//!
//! ```text
//!              out ^
//!   ───line────────┼──> run on        along
//!   ───seamline────● corner ───────────────>
//!                  │
//! ```

use crate::allowance::CutShape;
use crate::curve::{Curve, PathSeg, Point, Vec2};
use crate::tolerance::{MITRE_REACH, SAME_POINT, STRAIGHT_ON};

/// One of the two cutting lines that come together at a corner.
#[derive(Clone, Debug)]
pub(super) struct Arm {
    /// The line beside the edge, arriving at the corner.
    pub line: Curve,
    /// Unit direction in which the seamline arrives.
    pub along: Vec2,
    /// Unit normal to the outside of the seamline at the corner.
    pub out: Vec2,
    /// The allowance, mm.
    pub depth: f64,
}

impl Arm {
    /// The point of the line's run-on so far beyond its end.
    fn beyond(&self, reach: f64) -> Point {
        self.line.end() + reach * self.along
    }
}

/// Whether a mitre's tip may be cut off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tip {
    /// Where it is further off than the mitre's reach.
    CutOff,
    /// Never: at a fold the line must reach the fold's own.
    Kept,
}

/// Two arms at their corner.
#[derive(Clone, Debug)]
pub(super) struct Corner {
    pub at: Point,
    pub first: Arm,
    pub second: Arm,
    /// Sine of the angle by which the outline turns, positive where the corner stands out.
    pub sin: f64,
    /// Its cosine.
    pub cos: f64,
}

/// How two lines are joined: where each is left, and the way from the first to the second.
#[derive(Clone, Debug)]
pub(super) struct Join {
    pub shape: CutShape,
    /// Distances walked on the arriving lines at which they are left.
    pub leave: (f64, f64),
    pub way: Vec<PathSeg>,
    pub ends: (Point, Point),
}

impl Corner {
    pub fn new(at: Point, first: Arm, second: Arm) -> Corner {
        let (sin, cos) = (first.along.dot(second.out), -first.along.dot(second.along));
        Corner { at, first, second, sin, cos }
    }

    /// How far the two lines run on until they meet; negative where they have met before.
    fn run_ons(&self) -> (f64, f64) {
        let (a, b) = (self.first.depth, self.second.depth);
        ((b - a * self.cos) / self.sin, (a - b * self.cos) / self.sin)
    }

    /// Both lines run on until they meet.
    pub fn mitre(&self, tip: Tip) -> Join {
        let deepest = self.first.depth.max(self.second.depth);
        if (self.first.line.end() - self.second.line.end()).hypot() <= SAME_POINT {
            return self.through(CutShape::Mitre, &[]);
        }
        if self.sin.abs() <= STRAIGHT_ON {
            return self.jog();
        }
        let (first, second) = self.run_ons();
        let meeting = self.first.beyond(first);
        let far = (meeting - self.at).hypot() > MITRE_REACH * deepest && tip == Tip::CutOff;
        if self.sin > 0.0 && first >= -SAME_POINT && second >= -SAME_POINT {
            return if far { self.capped(meeting) } else { self.through(CutShape::Mitre, &[meeting]) };
        }
        let unequal = first > 0.0 || second > 0.0;
        if far && unequal {
            return self.jog();
        }
        self.crossing(first, second).unwrap_or_else(|| self.through_vertex())
    }

    /// The tip cut off square to the line from the corner to it.
    fn capped(&self, meeting: Point) -> Join {
        let axis = (meeting - self.at).normalize();
        let reach = MITRE_REACH * self.first.depth.max(self.second.depth);
        let ends = [&self.first, &self.second].map(|arm| {
            let start = (arm.line.end() - self.at).dot(axis);
            arm.beyond(((reach - start) / arm.along.dot(axis)).max(0.0))
        });
        Join { ends: (ends[0], ends[1]), ..self.through(CutShape::CappedMitre, &ends) }
    }

    /// Each line ends square to its own seamline.
    pub fn jog(&self) -> Join {
        self.through(CutShape::Jog, &[])
    }

    /// The two lines cut where they cross, run on so far as they must.
    fn crossing(&self, first: f64, second: f64) -> Option<Join> {
        let run = |arm: &Arm, reach: f64| arm.line.run_on(0.0, reach.max(0.0) + arm.depth);
        let (a, b) = (run(&self.first, first), run(&self.second, second));
        let off =
            |crossing: &crate::curve::Crossing| a.length() - crossing.at + b.length() - crossing.other_at;
        let found = a.crossings(&b).into_iter().min_by(|x, y| off(x).total_cmp(&off(y)))?;
        let mut join = self.through(CutShape::Mitre, &[found.point]);
        join.leave.0 = found.at.min(join.leave.0);
        join.leave.1 = found.other_at.min(join.leave.1);
        let mut way = Way::from(self.first.line.point_at(join.leave.0));
        way.line_to(found.point);
        way.line_to(self.second.line.point_at(join.leave.1));
        join.way = way.segments;
        Some(join)
    }

    /// By way of the corner itself, which keeps the winding that trimming goes by.
    pub fn through_vertex(&self) -> Join {
        let mut join = self.through(CutShape::Mitre, &[self.at]);
        join.ends = (self.first.line.end(), self.second.line.end());
        join
    }

    /// From the end of one line by way of points to that of the other.
    fn through(&self, shape: CutShape, points: &[Point]) -> Join {
        let (from, to) = (self.first.line.end(), self.second.line.end());
        let mut way = Way::from(from);
        points.iter().for_each(|point| way.line_to(*point));
        way.line_to(to);
        let ends = (points.first().copied().unwrap_or(from), points.last().copied().unwrap_or(to));
        Join { shape, leave: (self.first.line.length(), self.second.line.length()), way: way.segments, ends }
    }
}

/// A way made of segments.
struct Way {
    at: Point,
    segments: Vec<PathSeg>,
}

impl Way {
    fn from(at: Point) -> Way {
        Way { at, segments: Vec::new() }
    }

    fn line_to(&mut self, to: Point) {
        if (to - self.at).hypot() > SAME_POINT {
            self.segments.push(PathSeg::Line(kurbo::Line::new(self.at, to)));
            self.at = to;
        }
    }
}
