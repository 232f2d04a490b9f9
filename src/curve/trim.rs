//! What is left of a raw offset outline once its loops are taken off.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg};
use linesweeper::topology::Topology;

use super::run::check_points;
use super::segment::control_length;
use super::self_crossing::{Chain, contacts};
use super::{CurveError, Measure};
use crate::tolerance::{FINEST_ACCURACY, SAME_POINT};

/// The rings of the region round which a closed raw outline runs clockwise (as seen) more often than anticlockwise.
///
/// Taking the sum of turns and not merely any turn is what removes swallowtails: the loops of an offset deeper than a
/// curve allows run anticlockwise. Rings round a region come clockwise (positive area), rings round a hole in it
/// anticlockwise; the largest comes first. Curves stay curves, within the accuracy in mm. Which segment came from
/// where is not kept.
///
/// # Errors
///
/// [`CurveError::NotFinite`] and [`CurveError::TooFar`] for coordinates that cannot be drawn,
/// [`CurveError::BadMeasure`] for an accuracy under [`FINEST_ACCURACY`], [`CurveError::Gap`] where a subpath does not
/// close, [`CurveError::NotTrimmed`] where the sweep fails.
pub fn trim_positive(path: &BezPath, accuracy: f64) -> Result<Vec<BezPath>, CurveError> {
    if !(accuracy >= FINEST_ACCURACY && accuracy.is_finite()) {
        return Err(CurveError::BadMeasure { what: Measure::Accuracy, value: accuracy });
    }
    let path = closed(path)?;
    let topology = Topology::<i32>::from_path(&path, accuracy).map_err(|_| CurveError::NotTrimmed)?;
    let contours = topology.contours(|winding| *winding > 0);
    let mut rings: Vec<BezPath> = contours.into_contours().map(|contour| contour.path).collect();
    rings.retain(|ring| ring.is_finite() && ring.segments().next().is_some());
    let size = |ring: &BezPath| kurbo::Shape::area(ring);
    rings.sort_by(|a, b| size(b).total_cmp(&size(a)));
    Ok(rings)
}

/// Whether a path crosses or touches itself anywhere but where one segment follows another; each subpath is taken as
/// closed. Segments with coordinates that are not finite count as crossing.
pub fn path_crosses_itself(path: &BezPath) -> bool {
    let runs: Vec<Vec<PathSeg>> = path.subpaths().map(drawn).collect();
    if runs.iter().flatten().any(|segment| !segment.is_finite()) {
        return true;
    }
    let between = |i: usize, j: usize| {
        let pair: Vec<PathSeg> = runs[i].iter().chain(&runs[j]).copied().collect();
        contacts(&pair, Chain::Open)
            .any(|contact| contact.first < runs[i].len() && contact.second >= runs[i].len())
    };
    runs.iter().any(|run| contacts(run, Chain::Closed).next().is_some())
        || (0..runs.len()).any(|i| (i + 1..runs.len()).any(|j| between(i, j)))
}

/// The segments of a subpath that have length, with the one that closes it.
fn drawn(run: &[PathEl]) -> Vec<PathSeg> {
    let closing = match run.last() {
        Some(PathEl::ClosePath) | None => None,
        Some(_) => Some(PathEl::ClosePath),
    };
    let segments = kurbo::segments(run.iter().copied().chain(closing));
    segments.filter(|segment| control_length(segment) > SAME_POINT || !segment.is_finite()).collect()
}

/// The path checked, with each subpath closed exactly.
fn closed(path: &BezPath) -> Result<BezPath, CurveError> {
    path.segments().try_for_each(|segment| check_points(&segment))?;
    let mut result = BezPath::new();
    for run in path.subpaths() {
        let segments: Vec<PathSeg> = kurbo::segments(run.iter().copied()).collect();
        let (Some(first), Some(last)) = (segments.first(), segments.last()) else {
            continue;
        };
        let (from, to) = (last.end(), first.start());
        let gap = (to - from).hypot();
        if gap > SAME_POINT {
            return Err(CurveError::Gap { from, to, gap });
        }
        result.extend(run.iter().copied().filter(|el| !matches!(el, PathEl::ClosePath)));
        result.close_path();
    }
    Ok(result)
}
