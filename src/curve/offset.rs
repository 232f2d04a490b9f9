//! Parallel curves.
//!
//! Each segment is offset by itself, where lines are so dense that they are a curve the curve through them; the offsets
//! are then joined at the joints of the curve. On the outside of a
//! corner they part and run on to their meeting; on the inside they cross and are cut there.
//!
//! ```text
//!      ┌───── meeting            ────────┐  curve
//!      │  ┌──── curve            ───┐    │
//!      │  │                    cut  │    │
//! ```

use kurbo::{BezPath, CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};

use super::crossing::segment_hits;
use super::dense::as_curves;
use super::{Curve, CurveError, MeasureKind, left_of, segment, turn_between};
use crate::tolerance::{CORNER_REACH, FINEST_ACCURACY, KEPT_ACCURACY, LARGEST_COORDINATE, SAME_POINT};

/// The curve that runs beside another at a distance in mm, within an accuracy in mm.
///
/// A positive distance lies on the side of [`Curve::normal_outward`]: outside of an outline that runs clockwise as
/// seen, on the left-hand side of travel as seen. Direction of travel is kept, and both ends stand square to the
/// curve's own. At corners inside the curve the two sides run on to their meeting (cut off beyond
/// [`CORNER_REACH`] times the distance) or are cut where they cross.
///
/// Where the curve bends more sharply than the distance allows, its swallowtail is left in: close the outline and use
/// [`super::trim_positive`].
///
/// # Errors
///
/// [`CurveError::BadMeasure`] for a distance that is not finite or for an accuracy under [`FINEST_ACCURACY`],
/// [`CurveError::TooFar`] where it would leave the sheet, [`CurveError::NoOffset`] where nothing comes out.
pub fn offset(curve: &Curve, distance: f64, accuracy: f64) -> Result<Curve, CurveError> {
    if !(accuracy >= FINEST_ACCURACY && accuracy.is_finite()) {
        return Err(CurveError::BadMeasure { what: MeasureKind::Accuracy, value: accuracy });
    }
    if distance.is_nan() || distance.abs() > LARGEST_COORDINATE {
        return Err(CurveError::BadMeasure { what: MeasureKind::Distance, value: distance });
    }
    if distance.abs() <= SAME_POINT {
        return Ok(curve.clone());
    }
    let fewer = as_curves(curve.segments(), accuracy);
    let accuracy = (1.0 - fewer.taken) * accuracy;
    let sources: Vec<PathSeg> = fewer.segments.iter().flat_map(|piece| regular(piece, accuracy)).collect();
    let mut whole: Vec<PathSeg> = Vec::new();
    for (index, source) in sources.iter().enumerate() {
        let beside = one_beside(source, distance, accuracy);
        if index == 0 {
            whole = beside;
        } else {
            OffsetJoin::new(&sources[index - 1], source, distance, accuracy).append(&mut whole, beside);
        }
    }
    match Curve::new(whole) {
        Err(CurveError::Empty | CurveError::NotFinite | CurveError::Gap { .. }) => {
            Err(CurveError::NoOffset { distance })
        }
        made => made,
    }
}

/// The segment as what the offset of cubics can take: cubics that are straight, or smaller than the accuracy, become
/// lines; one that doubles back on its own chord becomes the lines between its turning points.
fn regular(piece: &PathSeg, accuracy: f64) -> Vec<PathSeg> {
    let line = |from: Point, to: Point| PathSeg::Line(Line::new(from, to));
    let PathSeg::Cubic(cubic) = piece else {
        return vec![*piece];
    };
    let mut points = vec![cubic.p0, cubic.p3];
    if !segment::runs_straight(piece, SAME_POINT) && segment::control_length(piece) > accuracy {
        if !doubles_back(cubic) {
            return vec![*piece];
        }
        points.splice(1..1, turning_points(cubic));
    }
    let pairs = points.windows(2).filter(|pair| (pair[1] - pair[0]).hypot() > SAME_POINT);
    pairs.map(|pair| line(pair[0], pair[1])).collect()
}

/// Whether all control points lie on one line, however they are ordered on it.
fn doubles_back(cubic: &CubicBez) -> bool {
    let axis = axis_of(cubic);
    [cubic.p1, cubic.p2, cubic.p3].into_iter().all(|p| (p - cubic.p0).cross(axis).abs() <= SAME_POINT)
}

/// Unit direction to the control point that is farthest from the start.
fn axis_of(cubic: &CubicBez) -> Vec2 {
    let apart = [cubic.p1 - cubic.p0, cubic.p2 - cubic.p0, cubic.p3 - cubic.p0];
    let farthest = apart.into_iter().max_by(|a, b| a.hypot2().total_cmp(&b.hypot2())).unwrap_or_default();
    if farthest.hypot() > SAME_POINT { farthest.normalize() } else { Vec2::new(1.0, 0.0) }
}

/// Where a cubic on one line turns back, in order of travel.
fn turning_points(cubic: &CubicBez) -> Vec<Point> {
    let axis = axis_of(cubic);
    let along = |p: Point| Point::new((p - cubic.p0).dot(axis), 0.0);
    let flat = CubicBez::new(along(cubic.p0), along(cubic.p1), along(cubic.p2), along(cubic.p3));
    let turns = kurbo::ParamCurveExtrema::extrema(&flat);
    turns.iter().filter(|t| **t > 0.0 && **t < 1.0).map(|t| cubic.eval(*t)).collect()
}

/// The offset of one regular segment; never empty.
fn one_beside(source: &PathSeg, distance: f64, accuracy: f64) -> Vec<PathSeg> {
    let (from, to) = beside_ends(source, distance);
    match source {
        PathSeg::Cubic(cubic) => {
            let mut path = BezPath::new();
            kurbo::offset::offset_cubic(*cubic, -distance, KEPT_ACCURACY * accuracy, &mut path);
            let mut made: Vec<PathSeg> = path.segments().collect();
            let last = made.len().saturating_sub(1);
            if made.is_empty() || !path.is_finite() {
                return vec![PathSeg::Line(Line::new(from, to))];
            }
            made[0] = segment::with_ends(&made[0], from, made[0].end(), segment::Handles::Keep);
            made[last] = segment::with_ends(&made[last], made[last].start(), to, segment::Handles::Keep);
            made
        }
        _ => vec![PathSeg::Line(Line::new(from, to))],
    }
}

fn beside_ends(source: &PathSeg, distance: f64) -> (Point, Point) {
    let (arriving, leaving) = (segment::start_tangent(source), segment::end_tangent(source));
    (source.start() + distance * outward(arriving), source.end() + distance * outward(leaving))
}

fn outward(tangent: Vec2) -> Vec2 {
    left_of(tangent)
}

/// How the offsets of two segments that follow one another are joined.
struct OffsetJoin {
    corner: Point,
    arriving: Vec2,
    leaving: Vec2,
    turn: f64,
    distance: f64,
    accuracy: f64,
}

impl OffsetJoin {
    fn new(before: &PathSeg, after: &PathSeg, distance: f64, accuracy: f64) -> OffsetJoin {
        let (arriving, leaving) = (segment::end_tangent(before), segment::start_tangent(after));
        OffsetJoin {
            corner: before.end(),
            arriving,
            leaving,
            turn: turn_between(arriving, leaving).0,
            distance,
            accuracy,
        }
    }

    fn append(&self, whole: &mut Vec<PathSeg>, next: Vec<PathSeg>) {
        let from = self.corner + self.distance * outward(self.arriving);
        let to = self.corner + self.distance * outward(self.leaving);
        if (to - from).hypot() <= self.accuracy / 2.0 {
            weld(whole, next, from.midpoint(to));
        } else if self.turn * self.distance > 0.0 {
            self.run_on(whole, from, to);
            whole.extend(next);
        } else {
            self.cut(whole, next, from, to);
        }
    }

    /// On the outside of the corner: both sides run on to their meeting, or are cut off square to the corner's axis.
    fn run_on(&self, whole: &mut Vec<PathSeg>, from: Point, to: Point) {
        let reach = self.distance.abs() * (self.turn.abs() / 2.0).tan().abs();
        let most = CORNER_REACH * self.distance.abs();
        let line = |a: Point, b: Point| PathSeg::Line(Line::new(a, b));
        if reach <= most {
            let tip = (from + reach * self.arriving).midpoint(to - reach * self.leaving);
            whole.extend([line(from, tip), line(tip, to)]);
        } else {
            let (first, second) = (from + most * self.arriving, to - most * self.leaving);
            whole.extend([line(from, first), line(first, second), line(second, to)]);
        }
    }

    /// On the inside of the corner: both sides are cut where they cross. Sides too short to cross are led through the
    /// corner itself, which keeps the winding that trimming goes by.
    fn cut(&self, whole: &mut Vec<PathSeg>, next: Vec<PathSeg>, from: Point, to: Point) {
        if let Some(cut) = crossing_of(whole, &next) {
            whole.truncate(cut.before + 1);
            whole[cut.before] = segment::part(&whole[cut.before], 0.0, cut.t);
            let first = segment::part(&next[cut.after], cut.u, 1.0);
            let meeting = whole[cut.before].end();
            whole.push(segment::with_ends(&first, meeting, first.end(), segment::Handles::Keep));
            whole.extend(next.into_iter().skip(cut.after + 1));
        } else {
            let line = |a: Point, b: Point| PathSeg::Line(Line::new(a, b));
            whole.extend([line(from, self.corner), line(self.corner, to)]);
            whole.extend(next);
        }
    }
}

struct JoinCrossing {
    before: usize,
    t: f64,
    after: usize,
    u: f64,
}

/// How many segments back from a corner its cut is looked for: an armhole's offset has three.
const LOOK_BACK: usize = 16;

/// Where the end of one run crosses the beginning of the next, nearest to the corner.
fn crossing_of(whole: &[PathSeg], next: &[PathSeg]) -> Option<JoinCrossing> {
    let reach = |index: usize| (index, &whole[index]);
    let tail = (0..whole.len()).rev().take(LOOK_BACK).map(reach);
    tail.flat_map(|(before, a)| {
        next.iter().enumerate().take(LOOK_BACK).map(move |(after, b)| (before, a, after, b))
    })
    .flat_map(|(before, a, after, b)| {
        segment_hits(a, b).into_iter().map(move |hit| JoinCrossing { before, t: hit.t, after, u: hit.u })
    })
    .find(|cut| (cut.before, cut.t) > (0, 0.0) && (cut.after, cut.u) < (next.len() - 1, 1.0))
}

/// Joins two runs whose ends all but meet.
fn weld(whole: &mut Vec<PathSeg>, mut next: Vec<PathSeg>, meeting: Point) {
    if let Some(last) = whole.last_mut() {
        *last = segment::with_ends(last, last.start(), meeting, segment::Handles::Carry);
    }
    if let Some(first) = next.first_mut() {
        *first = segment::with_ends(first, meeting, first.end(), segment::Handles::Carry);
    }
    whole.extend(next);
}
