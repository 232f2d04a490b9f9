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
use crate::allowance::way::SegmentWay;
use crate::curve::{Crossing, Curve, Motion, PathSeg, Point, Vec2};
use crate::tolerance::{MITRE_REACH, OFFSET_ACCURACY, SAME_ALLOWANCE, SAME_POINT, STRAIGHT_ON};

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
    pub fn beyond(&self, reach: f64) -> Point {
        self.line.end() + reach * self.along
    }

    /// The line run on so far beyond its end, if at all.
    fn run_on(&self, reach: f64) -> Curve {
        self.line.run_on(0.0, reach.max(0.0))
    }

    /// The arm carried rigidly.
    pub fn moved(&self, motion: &Motion) -> Arm {
        Arm {
            line: self.line.moved(motion),
            along: motion.apply_vec(self.along),
            out: motion.apply_vec(self.out),
            depth: self.depth,
        }
    }

    /// Where the line, run on or cut off, reaches a point that lies on it if it is straight; where it is curved, the first
    /// place at which it is met on the way down through that point.
    fn reach_down(&self, wanted: Point, from: Point, to: Point) -> Option<LeavingPoint> {
        if (wanted - self.line.end()).dot(self.along) >= -SAME_POINT {
            return Some(LeavingPoint { leave: self.line.length(), point: wanted });
        }
        let down = Curve::line(from, to).ok()?;
        let found =
            self.line.crossings(&down).into_iter().min_by(|a, b| a.other_at.total_cmp(&b.other_at))?;
        Some(LeavingPoint { leave: found.at, point: found.point })
    }

    /// Where the line, run on or cut off, reaches a point that lies on it if it is straight; where it is curved, the
    /// place at which it crosses the line through that point.
    fn reach(&self, wanted: Point, through: &Curve) -> Option<LeavingPoint> {
        let ahead = (wanted - self.line.end()).dot(self.along);
        if ahead >= -SAME_POINT {
            return Some(LeavingPoint { leave: self.line.length(), point: wanted });
        }
        let off = |crossing: &Crossing| (crossing.point - wanted).hypot();
        let found = self.line.crossings(through).into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some(LeavingPoint { leave: found.at, point: found.point })
    }
}

/// A point at which an arm is left, and the distance walked on its line before.
struct LeavingPoint {
    leave: f64,
    point: Point,
}

/// What of its neighbour's own allowance a line that runs on meets.
enum OnTheWay {
    /// Nothing.
    Nothing,
    /// It is passed along this stretch of the neighbour's line, which ends on the line that runs on.
    Passed(Curve),
    /// The line runs into it and ends there.
    Into(LeavingPoint),
}

/// An end squared to a seam.
pub(super) struct Squared {
    pub join: Join,
    pub end: SquaredEnd,
}

/// How much of a squared end there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SquaredEnd {
    /// All of it.
    Whole,
    /// None: the seam's line runs into the neighbour's own allowance, and ends there.
    IntoNeighbour,
}

/// Which of the two arms of a corner is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    First,
    Second,
}

/// Whether a mitre's tip may be cut off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MitreTip {
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
    /// The ends of the two lines.
    pub ends: (Point, Point),
}

impl Join {
    /// The same join seen from the other arm.
    pub fn turned(self) -> Join {
        Join {
            shape: self.shape,
            leave: (self.leave.1, self.leave.0),
            way: self.way.iter().rev().map(PathSeg::reverse).collect(),
            ends: (self.ends.1, self.ends.0),
        }
    }
}

impl Corner {
    pub fn new(at: Point, first: Arm, second: Arm) -> Corner {
        let (sin, cos) = (first.along.dot(second.out), -first.along.dot(second.along));
        Corner { at, first, second, sin, cos }
    }

    /// The corner with its arms in the other order.
    fn turned(&self) -> Corner {
        Corner { first: self.second.clone(), second: self.first.clone(), ..*self }
    }

    fn deepest(&self) -> f64 {
        self.first.depth.max(self.second.depth)
    }

    /// Whether one edge runs straight on into the other.
    fn runs_straight_on(&self) -> bool {
        self.cos > 0.0 && self.sin.abs() <= STRAIGHT_ON
    }

    /// Both lines run on until they meet; where one of them would have to cut into the other's allowance for that, each
    /// ends square to its own seamline.
    pub fn mitre(&self, tip: MitreTip) -> Join {
        let (from, to) = (self.first.line.end(), self.second.line.end());
        if (to - from).hypot() <= OFFSET_ACCURACY {
            return self.welded();
        }
        if self.runs_straight_on() && (self.first.depth - self.second.depth).abs() > SAME_ALLOWANCE {
            return self.jog();
        }
        let (first, second) = run_ons(self.first.depth, self.second.depth, self.sin, self.cos);
        let meeting = self.first.beyond(first);
        let near = (meeting - self.at).hypot() <= MITRE_REACH * self.deepest();
        let far = !near && tip == MitreTip::CutOff;
        if self.sin >= 0.0 && first >= -SAME_POINT && second >= -SAME_POINT {
            return if far { self.capped(meeting) } else { self.by_way_of(CutShape::Mitre, &[meeting]) };
        }
        let cuts_in = self.sin >= 0.0 && tip == MitreTip::CutOff;
        if cuts_in || (far && (first > 0.0 || second > 0.0)) {
            return self.jog();
        }
        self.crossing(first, second).unwrap_or_else(|| self.through_vertex())
    }

    /// The tip cut off square to the line from the corner to it.
    fn capped(&self, meeting: Point) -> Join {
        let to_tip = meeting - self.at;
        let axis = if to_tip.is_finite() { to_tip.normalize() } else { self.first.along };
        let reach = MITRE_REACH * self.deepest();
        let ends = [&self.first, &self.second].map(|arm| {
            let start = (arm.line.end() - self.at).dot(axis);
            arm.beyond(((reach - start) / arm.along.dot(axis)).max(0.0))
        });
        self.by_way_of(CutShape::CappedMitre, &ends)
    }

    /// Each line ends square to its own seamline, and the ends are joined.
    ///
    /// Where the corner stands in, or one edge runs straight on into the other, that is a step: the deeper line's
    /// square end runs in to the other line.
    pub fn jog(&self) -> Join {
        if self.sin >= 0.0 {
            return self.by_way_of(CutShape::Jog, &[]);
        }
        let first_is_deeper = self.first.depth >= self.second.depth;
        let join = if first_is_deeper { self.step() } else { self.turned().step().map(Join::turned) };
        join.or_else(|| self.crossing(0.0, 0.0)).unwrap_or_else(|| self.through_vertex())
    }

    /// The first line's square end, run in to the second line.
    fn step(&self) -> Option<Join> {
        let end = self.first.line.end();
        let square = Curve::line(end, self.at).ok()?;
        let met = self.second.line.crossings(&square).into_iter().max_by(|a, b| a.at.total_cmp(&b.at))?;
        let mut join = self.by_way_of(CutShape::Jog, &[]);
        join.leave.1 = met.at;
        join.way = SegmentWay::from(end).line_to(met.point).segments;
        join.ends = (end, met.point);
        Some(join)
    }

    /// The end squared to the seamline of one of the two edges, which is sewn first.
    ///
    /// The stitching line of that seam runs on until it leaves the neighbour's allowance; square to it from there
    /// stands the end of the seam's own allowance. Two pieces whose neighbouring edges continue each other across the
    /// seam then end at the same place, whatever their angles.
    ///
    /// ```text
    ///   cutting line of the seam ────────────┐
    ///                                        │ square to the seamline
    ///   seamline ───────────────● ─ ─ ─ ─ ─ ─┤ reach
    ///                            ╲            ╲
    ///                neighbour's  ╲            ╲ neighbour's
    ///                  seamline    ╲            ╲ cutting line
    /// ```
    ///
    /// `reach` is how far the end stands beyond the corner where it must stand short of that place, so that it meets
    /// the end on the other piece. The end takes nothing of the neighbour's own allowance: where it would lie within that,
    /// the neighbour's line is followed.
    pub fn square(&self, seam: Which, reach: f64) -> Option<Squared> {
        match seam {
            Which::First => self.squared_end(reach),
            Which::Second => {
                self.turned().squared_end(reach).map(|end| Squared { join: end.join.turned(), ..end })
            }
        }
    }

    fn squared_end(&self, reach: f64) -> Option<Squared> {
        let seam = &self.first;
        let end = seam.beyond(reach);
        let start = SegmentWay::from(seam.line.end());
        Some(match self.on_the_way_to(end) {
            OnTheWay::Nothing => self.squared_from(start, reach)?,
            OnTheWay::Passed(beside) => {
                let mut way = start.line_to(beside.start());
                way.follow(&beside);
                self.squared_from(way, reach)?
            }
            OnTheWay::Into(reached) => {
                let way = start.line_to(reached.point).line_to(self.second.line.point_at(reached.leave));
                let join = Join {
                    shape: CutShape::Jog,
                    leave: (seam.line.length(), reached.leave),
                    way: way.segments,
                    ends: (reached.point, reached.point),
                };
                Squared { join, end: SquaredEnd::IntoNeighbour }
            }
        })
    }

    /// What of the neighbour's own allowance the first line meets on its way straight on to a point.
    fn on_the_way_to(&self, end: Point) -> OnTheWay {
        let (seam, neighbour) = (&self.first, &self.second);
        let from = neighbour.line.end();
        let (ahead, height) = ((from - self.at).dot(seam.along), (from - self.at).dot(seam.out));
        let reach = (end - seam.line.end()).dot(seam.along);
        // The neighbour's allowance begins square to it at the corner, and may stand higher there than the seam's.
        let begins_above = height > seam.depth + SAME_POINT && ahead * seam.depth < reach * height;
        let level = Curve::line(seam.line.end(), end).ok();
        let crossings = level.map(|level| neighbour.line.crossings(&level)).unwrap_or_default();
        let met = crossings.into_iter().max_by(|a, b| a.at.total_cmp(&b.at));
        match (begins_above, met) {
            (false, None) => OnTheWay::Nothing,
            (false, Some(met)) => OnTheWay::Into(LeavingPoint { leave: met.at, point: met.point }),
            (true, None) => OnTheWay::Into(LeavingPoint { leave: neighbour.line.length(), point: from }),
            (true, Some(met)) => match neighbour.line.stretch(met.at, neighbour.line.length()) {
                Ok(beside) => OnTheWay::Passed(beside.reversed()),
                Err(_) => OnTheWay::Nothing,
            },
        }
    }

    /// From the end of a way to the end of the first line, square from there to the neighbour's line.
    fn squared_from(&self, way: SegmentWay, reach: f64) -> Option<Squared> {
        let (seam, neighbour) = (&self.first, &self.second);
        let own = square_reach(self.at, seam.along, neighbour)?;
        let on_stitching = |far: f64| self.at + far * seam.along;
        let end = seam.beyond(reach);
        let most = self.deepest();
        let span = MITRE_REACH * most + own.abs();
        let met_there = || {
            let stitching = Curve::line(self.at, on_stitching(own + span)).ok()?;
            neighbour.reach(on_stitching(own), &stitching)
        };
        let own_reach = (own - reach).abs() <= OFFSET_ACCURACY;
        let reached = if let Some(reached) = own_reach.then(met_there).flatten() {
            reached
        } else {
            let height = (neighbour.depth - reach * self.sin) / self.cos;
            let wanted = on_stitching(reach) + height * seam.out;
            let on_neighbour = self.cos > 0.0 || reach >= neighbour.depth * self.sin;
            if height.abs() <= most && on_neighbour {
                neighbour.reach_down(wanted, end, end - (span + most) * seam.out)?
            } else {
                // Short of where the neighbour's own allowance begins: straight to there.
                LeavingPoint { leave: neighbour.line.length(), point: neighbour.line.end() }
            }
        };
        let way = way.line_to(end).line_to(reached.point).line_to(neighbour.line.point_at(reached.leave));
        let join = Join {
            shape: CutShape::Jog,
            leave: (seam.line.length(), reached.leave),
            way: way.segments,
            ends: (end, reached.point),
        };
        Some(Squared { join, end: SquaredEnd::Whole })
    }

    /// At a hem: within its allowance the neighbour's line is the mirror image of itself above the fold, so that the
    /// hem, turned up, lies flat.
    ///
    /// ```text
    ///      cutting line │  │ seamline
    ///                  ╱  ╱      of the side
    ///   ─ ─ fold ─ ─ ─<─ ●────────────  seamline of the hem
    ///                  ╲
    ///                   ╲─────────────  cutting line of the hem
    /// ```
    pub fn turned_up(&self, hem: Which) -> Option<Join> {
        match hem {
            Which::First => self.hem_turned_up(),
            Which::Second => self.turned().hem_turned_up().map(Join::turned),
        }
    }

    fn hem_turned_up(&self) -> Option<Join> {
        let (hem, side) = (&self.first, &self.second);
        let span = MITRE_REACH * (hem.depth + side.depth) / self.sin;
        let bends = self.sin > STRAIGHT_ON;
        if !bends {
            return None;
        }
        let fold = Curve::line(self.at - span * hem.along, self.at + span * hem.along).ok()?;
        let on_fold = side.beyond(-side.depth * self.cos / self.sin);
        let reached = side.reach(on_fold, &fold)?;
        let mirror = Motion::mirror_in(self.at, self.at + hem.along).ok()?;
        let above = SegmentWay::from(reached.point)
            .line_to(side.line.point_at(reached.leave))
            .back_along(&side.line, reached.leave, span)
            .curve()?;
        let below = above.moved(&mirror).run_on(0.0, span);
        let cut = hem.run_on(span);
        let end = below.crossings(&cut).into_iter().min_by(|a, b| a.at.total_cmp(&b.at))?;
        let leave = end.other_at.min(hem.line.length());
        let mut way = SegmentWay::from(hem.line.point_at(leave)).line_to(end.point);
        way.segments.extend(below.stretch(0.0, end.at).ok()?.reversed().segments());
        way.at = reached.point;
        let way = way.line_to(side.line.point_at(reached.leave));
        Some(Join {
            shape: CutShape::Jog,
            leave: (leave, reached.leave),
            way: way.segments,
            ends: (end.point, end.point),
        })
    }

    /// The two lines cut where they cross, run on so far as they must. They are expected to cross so far beyond their
    /// ends as if they were straight; of several crossings the nearest to there is taken, since one line run on may meet
    /// a bend of the other far from the corner.
    fn crossing(&self, first: f64, second: f64) -> Option<Join> {
        let more = MITRE_REACH * self.deepest();
        let (a, b) = (self.first.run_on(first + more), self.second.run_on(second + more));
        let expected = (self.first.line.length() + first, self.second.line.length() + second);
        let off =
            |crossing: &Crossing| (crossing.at - expected.0).abs() + (crossing.other_at - expected.1).abs();
        let found = a.crossings(&b).into_iter().min_by(|x, y| off(x).total_cmp(&off(y)))?;
        let leave = (found.at.min(self.first.line.length()), found.other_at.min(self.second.line.length()));
        let way = SegmentWay::from(self.first.line.point_at(leave.0))
            .line_to(found.point)
            .line_to(self.second.line.point_at(leave.1));
        let ends = (found.point, found.point);
        Some(Join { shape: CutShape::Mitre, leave, way: way.segments, ends })
    }

    /// The two ends all but meet: no way between them.
    fn welded(&self) -> Join {
        Join { way: Vec::new(), ..self.by_way_of(CutShape::Mitre, &[]) }
    }

    /// By way of the corner itself, which keeps the winding that trimming goes by.
    pub fn through_vertex(&self) -> Join {
        let ends = (self.first.line.end(), self.second.line.end());
        Join { ends, ..self.by_way_of(CutShape::Mitre, &[self.at]) }
    }

    /// By way of the corner itself, after the line of a seam has run on so far beyond it and back along its stitching line.
    ///
    /// ```text
    ///   line ──────────┬──> end
    ///   seamline ──────● <──┘
    /// ```
    pub fn ended_by_vertex(&self, seam: Which, reach: f64) -> Join {
        match seam {
            Which::First => self.run_on_by_vertex(reach.max(0.0)),
            Which::Second => self.turned().run_on_by_vertex(reach.max(0.0)).turned(),
        }
    }

    fn run_on_by_vertex(&self, reach: f64) -> Join {
        let end = self.first.beyond(reach);
        let ends = (end, self.second.line.end());
        let way = [end, self.at + reach * self.first.along, self.at];
        Join { ends, ..self.by_way_of(CutShape::Mitre, &way) }
    }

    /// From the end of one line by way of points to that of the other.
    fn by_way_of(&self, shape: CutShape, points: &[Point]) -> Join {
        let (from, to) = (self.first.line.end(), self.second.line.end());
        let way = points.iter().fold(SegmentWay::from(from), |way, point| way.line_to(*point)).line_to(to);
        let ends = (points.first().copied().unwrap_or(from), points.last().copied().unwrap_or(to));
        Join { shape, leave: (self.first.line.length(), self.second.line.length()), way: way.segments, ends }
    }
}

/// How far two lines at depths `a` and `b` run on until they meet; negative where they have met before.
pub(super) fn run_ons(a: f64, b: f64, sin: f64, cos: f64) -> (f64, f64) {
    ((b - a * cos) / sin, (a - b * cos) / sin)
}

/// How far a seam's stitching line, which arrives in a unit direction, runs on beyond its corner until it leaves the neighbour's allowance; nothing where
/// the corner does not stand out. Where the neighbour bends along with it so that it never does, as an armhole may, as
/// far as if the neighbour were straight.
pub(super) fn square_reach(at: Point, seam: Vec2, neighbour: &Arm) -> Option<f64> {
    let (sin, cos) = (seam.dot(neighbour.out), -seam.dot(neighbour.along));
    if sin <= STRAIGHT_ON {
        return None;
    }
    let straight = neighbour.depth / sin;
    if cos <= 0.0 || neighbour.depth <= SAME_POINT || neighbour.line.is_straight(SAME_POINT) {
        return Some(straight);
    }
    let stitching = Curve::line(at, at + MITRE_REACH * straight * seam).ok()?;
    let reached = neighbour.reach(at + straight * seam, &stitching);
    Some(reached.map_or(straight, |reached| (reached.point - at).dot(seam)))
}
