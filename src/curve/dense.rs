//! Lines drawn so densely that they are a curve in all but name.
//!
//! A drawing program that flattens its curves leaves thousands of points on an edge. Beside each of their joints an offset
//! would run on or double back, to no end: the corners are far smaller than its own accuracy.

use kurbo::{Line, ParamCurve, ParamCurveNearest, PathSeg, Point};

use super::{Curve, fit_through, segment, turn_between};
use crate::tolerance::{CROWDED, CROWDED_KEPT, DENSE_KEPT, FINEST_ACCURACY};

/// Lines in a row from which a curve is laid through them.
const FEWEST_LINES: usize = 16;

/// How many lines in a row are thinned at once: the time that one takes grows by the square of it where none can go.
const THINNED_AT_ONCE: usize = 256;

/// A line in fewer segments, and what that took of the accuracy it was asked for.
pub(super) struct Fewer {
    pub(super) segments: Vec<PathSeg>,
    /// A share of the accuracy.
    pub(super) taken: f64,
}

/// The segments with each dense run of lines as the few cubics that hold its points within an accuracy in mm; ends and
/// directions there stay. A run that no fewer cubics hold stays as it is, unless its points are so crowded that what was
/// rounded off them turns it to and fro: of those the fewest are kept that hold the others.
pub(super) fn as_curves(segments: &[PathSeg], accuracy: f64) -> Fewer {
    let mut fewer = Fewer { segments: Vec::new(), taken: 0.0 };
    for stretch in segments.chunk_by(|a, b| is_crowded(a) == is_crowded(b)) {
        let smooth = stretch.chunk_by(|a, b| is_smooth(a, b, accuracy));
        if is_crowded(&stretch[0]) && stretch.len() >= FEWEST_LINES && smooth.clone().nth(1).is_some() {
            let lines = stretch.chunks(THINNED_AT_ONCE).flat_map(|run| thinned(run, CROWDED_KEPT * accuracy));
            fewer.add(lines, CROWDED_KEPT);
            continue;
        }
        smooth.for_each(|run| match through(run, accuracy) {
            Some(curve) => fewer.add(curve.segments().iter().copied(), DENSE_KEPT),
            None => fewer.add(run.iter().copied(), 0.0),
        });
    }
    fewer
}

impl Fewer {
    fn add(&mut self, segments: impl Iterator<Item = PathSeg>, taken: f64) {
        self.segments.extend(segments);
        self.taken = self.taken.max(taken);
    }
}

fn is_crowded(segment: &PathSeg) -> bool {
    matches!(segment, PathSeg::Line(line) if (line.p1 - line.p0).hypot() < CROWDED)
}

/// Lines in a row with the fewest of their points that hold all others within a distance in mm: of what lies between two that
/// are kept the farthest is kept too, where it lies farther off (Douglas and Peucker 1973).
fn thinned(run: &[PathSeg], within: f64) -> Vec<PathSeg> {
    let points: Vec<Point> =
        run.iter().take(1).map(PathSeg::start).chain(run.iter().map(PathSeg::end)).collect();
    let mut kept = vec![points.len() - 1];
    let mut from = 0;
    let mut lines = Vec::new();
    while let Some(&to) = kept.last() {
        let line = Line::new(points[from], points[to]);
        let off = |at: usize| line.nearest(points[at], FINEST_ACCURACY).distance_sq;
        let farthest = (from + 1..to).map(|at| (at, off(at))).max_by(|a, b| a.1.total_cmp(&b.1));
        match farthest.filter(|(_, off)| *off > within * within) {
            Some((at, _)) => kept.push(at),
            None => {
                lines.push(PathSeg::Line(line));
                from = to;
                kept.pop();
            }
        }
    }
    lines
}

/// Whether two lines meet at a corner that a curve through their points rounds by less than the accuracy.
fn is_smooth(a: &PathSeg, b: &PathSeg, accuracy: f64) -> bool {
    let (PathSeg::Line(first), PathSeg::Line(second)) = (a, b) else { return false };
    let (along, on) = (first.p1 - first.p0, second.p1 - second.p0);
    let turn = turn_between(along, on).0.abs();
    turn < std::f64::consts::FRAC_PI_4
        && along.hypot().max(on.hypot()) * (turn / 2.0).tan() <= DENSE_KEPT * accuracy
}

fn through(run: &[PathSeg], accuracy: f64) -> Option<Curve> {
    let (first, last) = (run.first()?, run.last()?);
    if run.len() < FEWEST_LINES {
        return None;
    }
    let points: Vec<Point> = std::iter::once(first.start()).chain(run.iter().map(ParamCurve::end)).collect();
    let ends = (segment::start_tangent(first), segment::end_tangent(last));
    let within = (DENSE_KEPT * accuracy).max(FINEST_ACCURACY);
    let curve = fit_through(&points, Some(ends.0), Some(ends.1), within).ok()?;
    (curve.segments().len() < run.len()).then_some(curve)
}
