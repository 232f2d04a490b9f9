//! The line inside a stretch of a cutting line.

use kurbo::{Line, PathSeg};

use crate::allowance::take_off::DrawnEdge;
use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::run_on::met;
use crate::allowance::take_off::span::without_specks;
use crate::curve::{Curve, CurveError, Joint, offset};
use crate::tolerance::{DRAWN_SPECK, MITRE_REACH, SAME_POINT, TAKE_OFF_ACCURACY};

/// The line inside a stretch of a cutting line, at the edge's allowance.
///
/// Each smooth run is brought inward by itself. At a kink that turns outward two runs are cut where they cross, and a run
/// that has no room between its neighbours falls away; at one that turns inward both run on with the bend they have.
pub(super) fn inside(line: &Curve, edge: &DrawnEdge) -> Result<Curve, TakeOffError> {
    let allowance = edge.allowance.mm();
    let failed = |source| TakeOffError::Inside { edge: edge.name.clone(), allowance, source };
    let mut runs: Vec<Curve> = Vec::new();
    for run in smooth_runs(line, allowance).map_err(failed)? {
        let next = offset(&run, -allowance, TAKE_OFF_ACCURACY).map_err(failed)?;
        add(&mut runs, without_specks(&next), 2.0 * MITRE_REACH * allowance);
    }
    Curve::new(runs.iter().flat_map(Curve::segments).copied()).map_err(failed)
}

/// Adds a run to those before; a run that it does not meet falls away, the shorter of the two.
fn add(runs: &mut Vec<Curve>, next: Curve, reach: f64) {
    while let Some(last) = runs.pop() {
        if let Some(met) = met(&last, &next, reach) {
            runs.extend([met.first, met.second]);
            return;
        }
        if last.length() >= next.length() {
            runs.push(last);
            return;
        }
    }
    runs.push(next);
}

/// The stretches of a line between the joints at which lines inside would part, lines that run straight on made one; specks at
/// its ends, left by rounding, are no stretches.
fn smooth_runs(line: &Curve, allowance: f64) -> Result<Vec<Curve>, CurveError> {
    let line = Curve::new(merged(without_specks(line).segments()))?;
    let parts = |joint: &Joint| {
        let from_ends = joint.at.min(line.length() - joint.at);
        from_ends > DRAWN_SPECK && joint.turn.abs() * allowance > TAKE_OFF_ACCURACY / 2.0
    };
    let joints = line.joints().into_iter().filter(parts).map(|joint| joint.at);
    let ends: Vec<f64> = joints.chain([line.length()]).collect();
    let starts = std::iter::once(0.0).chain(ends.iter().copied());
    starts.zip(&ends).map(|(from, to)| line.stretch(from, *to)).collect()
}

fn merged(segments: &[PathSeg]) -> Vec<PathSeg> {
    let mut merged: Vec<PathSeg> = Vec::with_capacity(segments.len());
    for segment in segments {
        match (merged.last_mut(), segment) {
            (Some(PathSeg::Line(last)), PathSeg::Line(next)) if runs_straight_on(*last, *next) => {
                last.p1 = next.p1;
            }
            _ => merged.push(*segment),
        }
    }
    merged
}

fn runs_straight_on(last: Line, next: Line) -> bool {
    let (along, on) = (last.p1 - last.p0, next.p1 - last.p0);
    let ahead = next.p1 - next.p0;
    along.dot(ahead) > 0.0
        && (last.p1 - last.p0).cross(on).abs() <= SAME_POINT * on.hypot().min(along.hypot())
}
