//! Joining curves end to end, moving their ends, running them on.

use kurbo::{Line, ParamCurve, PathSeg, Point};

use super::run::check_point;
use super::segment::{Handles, with_ends};
use super::{Curve, CurveError};
use crate::tolerance::{SAME_POINT, WELD};

impl Curve {
    /// This curve and then the next as one, where their ends meet within [`SAME_POINT`].
    ///
    /// # Errors
    ///
    /// [`CurveError::Gap`] where they do not meet.
    pub fn joined(&self, next: &Curve) -> Result<Curve, CurveError> {
        self.joined_within(next, SAME_POINT)
    }

    /// This curve and then the next as one, where their ends meet within a distance in mm.
    ///
    /// Ends that differ are welded at their midpoint, each with its control point.
    ///
    /// # Errors
    ///
    /// [`CurveError::Gap`] where they do not meet, [`CurveError::Empty`] where welding leaves a curve without length.
    pub fn joined_within(&self, next: &Curve, weld: f64) -> Result<Curve, CurveError> {
        let (from, to) = (self.end(), next.start());
        let gap = (to - from).hypot();
        if gap.is_nan() || gap > weld {
            return Err(CurveError::Gap { from, to, gap });
        }
        let mut segments: Vec<PathSeg>;
        if from == to {
            segments = self.segments().to_vec();
            segments.extend_from_slice(next.segments());
        } else {
            let meeting = from.midpoint(to);
            segments = self.with_ends(self.start(), meeting)?.segments().to_vec();
            segments.extend_from_slice(next.with_ends(meeting, next.end())?.segments());
        }
        Ok(Curve::measured(segments))
    }

    /// The stretch from one distance walked to a later one; past the end it goes on from the start, as a closed curve does.
    ///
    /// # Errors
    ///
    /// As [`Curve::stretch`], and [`CurveError::Gap`] where it goes over ends that are not one within [`WELD`].
    pub fn onward(&self, from: f64, to: f64) -> Result<Curve, CurveError> {
        let length = self.length();
        if to <= length {
            return self.stretch(from, to);
        }
        match (self.stretch(from, length), self.stretch(0.0, to - length)) {
            (Ok(tail), Ok(head)) => tail.joined_within(&head, WELD),
            (one, other) => one.or(other),
        }
    }

    /// The curve with its ends moved to two points, each with its control point. An end that does not move stays bit
    /// for bit.
    ///
    /// # Errors
    ///
    /// [`CurveError::Empty`] where nothing with length is left, [`CurveError::NotFinite`] and [`CurveError::TooFar`]
    /// for points that cannot be drawn.
    pub fn with_ends(&self, start: Point, end: Point) -> Result<Curve, CurveError> {
        check_point(start)?;
        check_point(end)?;
        let mut segments = self.segments().to_vec();
        let last = segments.len() - 1;
        segments[0] = with_ends(&segments[0], start, segments[0].end(), Handles::Carry);
        segments[last] = with_ends(&segments[last], segments[last].start(), end, Handles::Carry);
        let whole = Curve::new(segments)?;
        let exact = whole.start() == start && whole.end() == end;
        Ok(if exact { whole } else { whole.pinned(start, end) })
    }

    /// The curve with ends that are off by no more than [`SAME_POINT`] set bit for bit.
    fn pinned(self, start: Point, end: Point) -> Curve {
        let mut segments = self.segments().to_vec();
        let last = segments.len() - 1;
        segments[0] = with_ends(&segments[0], start, segments[0].end(), Handles::Keep);
        segments[last] = with_ends(&segments[last], segments[last].start(), end, Handles::Keep);
        Curve::measured(segments)
    }

    /// The curve run on straight along its tangents by two lengths in mm. A length of [`SAME_POINT`] or less, or one
    /// that is not finite, adds nothing on its side.
    pub fn run_on(&self, before: f64, after: f64) -> Curve {
        let adds = |reach: f64| reach.is_finite() && reach > SAME_POINT;
        let mut segments = Vec::with_capacity(self.segments().len() + 2);
        if adds(before) {
            let from = self.start() - before * self.start_tangent();
            segments.push(PathSeg::Line(Line::new(from, self.start())));
        }
        segments.extend_from_slice(self.segments());
        if adds(after) {
            let to = self.end() + after * self.end_tangent();
            segments.push(PathSeg::Line(Line::new(self.end(), to)));
        }
        Curve::measured(segments)
    }
}
