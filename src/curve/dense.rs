//! Lines drawn so densely that they are a curve in all but name.
//!
//! A drawing program that flattens its curves leaves thousands of points on an edge. Beside each of their joints an offset
//! would run on or double back, to no end: the corners are far smaller than its own accuracy.

use kurbo::{ParamCurve, PathSeg, Point};

use super::{Curve, fit_through, segment, turn_between};
use crate::tolerance::{DENSE_KEPT, FINEST_ACCURACY};

/// Lines in a row from which a curve is laid through them.
const FEWEST_LINES: usize = 16;

/// The segments with each dense run of lines as the few cubics that hold its points within an accuracy in mm; ends and
/// directions there stay. A run that no fewer cubics hold stays as it is.
pub(super) fn as_curves(segments: &[PathSeg], accuracy: f64) -> Vec<PathSeg> {
    let mut made = Vec::new();
    for run in segments.chunk_by(|a, b| is_smooth(a, b, accuracy)) {
        match through(run, accuracy) {
            Some(curve) => made.extend_from_slice(curve.segments()),
            None => made.extend_from_slice(run),
        }
    }
    made
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
