//! Places along a curve, given as the distance walked from its start in mm.

use kurbo::{ParamCurve, PathSeg, Point, Vec2};

use super::segment::{self, WithinSegment};
use super::{Curve, CurveError, left_of, turn_between};
use crate::tolerance::{SAME_CUT, SAME_POINT};

/// A place where two segments of a curve meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// The distance walked to it.
    pub at: f64,
    /// How far travel turns there, in radians within −π..=π, positive clockwise as seen.
    pub turn: f64,
}

/// A place as a segment and the parameter on it.
#[derive(Clone, Copy)]
struct Spot {
    index: usize,
    t: f64,
}

/// A place met on the way along a curve.
#[derive(Clone, Copy, Debug)]
pub struct Met {
    index: usize,
    t: f64,
    /// The place itself.
    pub point: Point,
    /// Unit normal there, to the outside of an outline that runs clockwise as seen.
    pub outward: Vec2,
}

impl Met {
    fn on(index: usize, on: &PathSeg, t: f64) -> Met {
        Met { index, t, point: segment::point(on, t), outward: left_of(segment::tangent(on, t)) }
    }
}

/// A stretch of a segment that all but runs straight.
#[derive(Clone, Copy, Debug)]
pub struct Chord {
    /// Where it begins.
    pub from: Met,
    /// Where it ends.
    pub to: Met,
}

impl Chord {
    /// The distance between its ends, mm.
    pub fn length(&self) -> f64 {
        (self.to.point - self.from.point).hypot()
    }
}

/// Which of the two segments that meet at a joint is meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum JointSegment {
    Arriving,
    Leaving,
}

impl Curve {
    /// The point at a distance walked from the start, which is clamped to the length. The ends are exact.
    pub fn point_at(&self, s: f64) -> Point {
        let index = self.index_at(s);
        segment::point(&self.segments()[index], self.parameter(index, s))
    }

    /// The points at the ends of so many stretches of one length each, the curve's ends among them. Each is found from the
    /// one before, which costs less than [`Curve::point_at`].
    pub fn points_evenly(&self, stretches: usize) -> Vec<Point> {
        let mut last = (0, WithinSegment::default());
        let mut point = |s: f64| {
            let index = self.index_at(s);
            let (on, before) = (&self.segments()[index], self.walked_before(index));
            let from = if last.0 == index { last.1 } else { WithinSegment::default() };
            last = (index, segment::reached(on, from, s - before, self.walked()[index] - before));
            segment::point(on, last.1.t)
        };
        // The last share is one, so that the end is met in spite of rounding.
        (0..=stretches).map(|i| point(self.length() * (i as f64 / stretches as f64))).collect()
    }

    /// Unit direction of travel; at a joint that of the segment that leaves it.
    pub fn tangent_at(&self, s: f64) -> Vec2 {
        self.tangent_on(s, JointSegment::Leaving)
    }

    /// Unit direction of travel; at a joint that of the segment that arrives.
    pub fn tangent_before(&self, s: f64) -> Vec2 {
        self.tangent_on(s, JointSegment::Arriving)
    }

    fn tangent_on(&self, s: f64, side: JointSegment) -> Vec2 {
        let spot = self.spot(s, side);
        segment::tangent(&self.segments()[spot.index], spot.t)
    }

    /// Unit normal `(t.y, −t.x)` of [`Curve::tangent_at`]: to the outside of an outline that runs clockwise as seen.
    pub fn normal_outward(&self, s: f64) -> Vec2 {
        let tangent = self.tangent_at(s);
        left_of(tangent)
    }

    /// Curvature in 1/mm, positive where travel bends clockwise as seen; at a joint that of the segment that leaves.
    pub fn curvature_at(&self, s: f64) -> f64 {
        let spot = self.spot(s, JointSegment::Leaving);
        segment::curvature(&self.segments()[spot.index], spot.t)
    }

    /// The stretch between two distances walked.
    ///
    /// A cut within [`SAME_POINT`] of a joint is made at the joint. Stretches that share a cut share the point bit for
    /// bit, and so do whole ends. What would be left of a segment beside a cut and be shorter than [`SAME_CUT`] goes to its
    /// neighbour: the direction of so short an end would be a matter of rounding.
    ///
    /// # Errors
    ///
    /// [`CurveError::OutOfRange`] unless `0 <= from < to <= length`, by more than [`SAME_POINT`] in each case.
    pub fn stretch(&self, from: f64, to: f64) -> Result<Curve, CurveError> {
        let length = self.length();
        let within = from >= -SAME_POINT && to <= length + SAME_POINT && to - from > SAME_POINT;
        let (first, last) = (self.spot(from, JointSegment::Leaving), self.spot(to, JointSegment::Arriving));
        let ordered = (first.index, first.t) < (last.index, last.t);
        if !(within && ordered) {
            return Err(CurveError::OutOfRange { from, to, length });
        }
        let pieces = (first.index..=last.index).map(|index| {
            let begin = if index == first.index { first.t } else { 0.0 };
            let end = if index == last.index { last.t } else { 1.0 };
            segment::part(&self.segments()[index], begin, end)
        });
        Ok(Curve::measured(without_slivers(pieces.collect())))
    }

    /// The two stretches before and after a distance walked.
    ///
    /// # Errors
    ///
    /// As [`Curve::stretch`]: a cut at either end leaves nothing on one side.
    pub fn split_at(&self, s: f64) -> Result<(Curve, Curve), CurveError> {
        Ok((self.stretch(0.0, s)?, self.stretch(s, self.length())?))
    }

    /// The places where two segments meet, in order.
    pub fn joints(&self) -> Vec<Joint> {
        let turn = |pair: &[PathSeg]| {
            turn_between(segment::end_tangent(&pair[0]), segment::start_tangent(&pair[1])).0
        };
        self.segments()
            .windows(2)
            .zip(self.walked())
            .map(|(pair, at)| Joint { at: *at, turn: turn(pair) })
            .collect()
    }

    /// The curve in stretches of one segment each that leave the straight line between their ends by no more than a
    /// distance in mm, in order.
    pub fn chords(&self, within: f64) -> impl Iterator<Item = Chord> + '_ {
        self.segments().iter().enumerate().flat_map(move |(index, on)| {
            // A stretch of parameter h leaves its chord by at most h²/8 of the greatest second derivative.
            let count = (segment::sharpest(on) / (8.0 * within)).sqrt().ceil().max(1.0);
            let at = move |place: usize| Met::on(index, on, place as f64 / count);
            (1..=count as usize).scan(at(0), move |from, place| {
                let to = at(place);
                Some(Chord { from: std::mem::replace(from, to), to })
            })
        })
    }

    /// Places between two shares of a chord, both included, at most a step in mm apart as the chord is long.
    pub fn met_between(
        &self,
        chord: &Chord,
        shares: std::ops::RangeInclusive<f64>,
        step: f64,
    ) -> impl Iterator<Item = Met> + '_ {
        let (low, high) = (*shares.start(), *shares.end());
        let count = ((high - low) * chord.length() / step).ceil().max(1.0);
        let Chord { from, to } = *chord;
        (0..=count as usize).map(move |place| {
            let share = low + (high - low) * place as f64 / count;
            Met::on(from.index, &self.segments()[from.index], from.t + share * (to.t - from.t))
        })
    }

    /// The place at a distance walked from the start; at a joint that of the segment that leaves it.
    pub fn met_at(&self, s: f64) -> Met {
        let spot = self.spot(s, JointSegment::Leaving);
        Met::on(spot.index, &self.segments()[spot.index], spot.t)
    }

    /// The distance walked to a place met.
    pub fn walked_at(&self, met: &Met) -> f64 {
        self.walked_to(met.index, met.t)
    }

    /// The segment that holds a distance walked.
    fn index_at(&self, s: f64) -> usize {
        self.walked().partition_point(|end| *end < s).min(self.segments().len() - 1)
    }

    fn parameter(&self, index: usize, s: f64) -> f64 {
        let before = self.walked_before(index);
        segment::parameter_at(&self.segments()[index], s - before, self.walked()[index] - before)
    }

    /// The place of a distance walked, snapped to a joint within [`SAME_POINT`].
    fn spot(&self, s: f64, side: JointSegment) -> Spot {
        let index = self.index_at(s);
        let last = self.segments().len() - 1;
        let joint_before = index > 0 && s - self.walked_before(index) <= SAME_POINT;
        let joint_after = index < last && self.walked()[index] - s <= SAME_POINT;
        match side {
            JointSegment::Leaving if joint_before => Spot { index, t: 0.0 },
            JointSegment::Arriving if joint_before => Spot { index: index - 1, t: 1.0 },
            JointSegment::Leaving if joint_after => Spot { index: index + 1, t: 0.0 },
            JointSegment::Arriving if joint_after => Spot { index, t: 1.0 },
            _ if s <= SAME_POINT => Spot { index, t: 0.0 },
            _ if s >= self.length() - SAME_POINT => Spot { index, t: 1.0 },
            _ => Spot { index, t: self.parameter(index, s) },
        }
    }
}

/// Segments that follow one another, slivers at either end given to their neighbours; the ends stay where they are.
fn without_slivers(mut segments: Vec<PathSeg>) -> Vec<PathSeg> {
    let is_sliver = |segment: &PathSeg| segment::control_length(segment) < SAME_CUT;
    while let [first, next, ..] = segments[..]
        && is_sliver(&first)
    {
        segments[1] = segment::with_ends(&next, first.start(), next.end(), segment::Handles::Carry);
        segments.remove(0);
    }
    while let [.., next, last] = segments[..]
        && is_sliver(&last)
    {
        segments.pop();
        let at = segments.len() - 1;
        segments[at] = segment::with_ends(&next, next.start(), last.end(), segment::Handles::Carry);
    }
    segments
}
