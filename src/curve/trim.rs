//! What is left of a raw offset outline once its loops are taken off.

use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Shape};
use linesweeper::topology::Topology;
use linesweeper::{BinaryOp, FillRule, binary_op_with_eps};

use super::run::check_points;
use super::segment::control_length;
use super::self_crossing::{ChainEnds, contacts};
use super::{CurveError, Motion, Radians};
use crate::tolerance::{SAME_POINT, SPECK, TRIM_SWEEP};

/// How far the outline is turned before the sweep, in radians.
///
/// The sweep runs down the sheet and is at its weakest where lines run nearly across it, which patterns are full of:
/// of 6,000 careless rings it gave up on one as drawn, on none when turned.
const TURNED: Radians = Radians(0.7);

/// The rings of the region round which a closed raw outline runs clockwise (as seen) more often than anticlockwise.
///
/// Taking the sum of turns and not merely any turn is what removes swallowtails: the loops of an offset deeper than a
/// curve allows run anticlockwise. Rings round a region come clockwise (positive area), rings round a hole in it
/// anticlockwise; the largest comes first. Curves stay curves, within 0.001 mm. Which segment came from where is not
/// kept.
///
/// # Errors
///
/// [`CurveError::NotFinite`] and [`CurveError::TooFar`] for coordinates that cannot be drawn, [`CurveError::Gap`] where
/// a subpath does not close, [`CurveError::NotTrimmed`] where the sweep gives up.
pub fn trim_positive(path: &BezPath) -> Result<Vec<BezPath>, CurveError> {
    let path = closed(path)?;
    if is_a_tangle(&path) {
        return Err(CurveError::NotTrimmed);
    }
    let there = Motion::turn_about(Point::ZERO, TURNED);
    Ok(turned_back(swept(there.to_affine() * path)?, there))
}

/// What is inside a path that goes round a place several times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindingRule {
    /// All that it goes round.
    NonZero,
    /// What it goes round an odd number of times.
    EvenOdd,
}

/// The rings round what two regions have in common, each bounded by a path whose subpaths are taken as closed. Curves stay
/// curves, within 0.001 mm.
///
/// # Errors
///
/// As [`trim_positive`].
pub fn common_rings(one: &BezPath, other: &BezPath, rule: WindingRule) -> Result<Vec<BezPath>, CurveError> {
    let there = Motion::turn_about(Point::ZERO, TURNED);
    let turned = |path: &BezPath| Ok(there.to_affine() * closed(&run_closed(path))?);
    let (one, other) = (turned(one)?, turned(other)?);
    let rule = match rule {
        WindingRule::NonZero => FillRule::NonZero,
        WindingRule::EvenOdd => FillRule::EvenOdd,
    };
    let sweep = || {
        let common = binary_op_with_eps(&one, &other, rule, BinaryOp::Intersection, TRIM_SWEEP).ok()?;
        Some(common.into_contours().map(|contour| contour.path).collect::<Vec<BezPath>>())
    };
    let rings = catch_unwind(AssertUnwindSafe(sweep)).ok().flatten().ok_or(CurveError::NotTrimmed)?;
    Ok(turned_back(rings, there))
}

/// The path with a line to the start of each subpath that does not end there.
fn run_closed(path: &BezPath) -> BezPath {
    let mut result = BezPath::new();
    for run in path.subpaths() {
        let start = run.first().and_then(PathEl::end_point);
        let end = run.iter().rev().find_map(PathEl::end_point);
        result.extend(run.iter().copied().filter(|el| !matches!(el, PathEl::ClosePath)));
        if let Some(start) = start.filter(|start| Some(*start) != end) {
            result.line_to(start);
        }
        result.close_path();
    }
    result
}

/// Rings as they lie before the turn, the largest first, without specks.
fn turned_back(mut rings: Vec<BezPath>, there: Motion) -> Vec<BezPath> {
    let back = there.inverse().to_affine();
    for ring in &mut rings {
        ring.apply_affine(back);
    }
    rings.retain(|ring| ring.is_finite() && ring.segments().next().is_some());
    rings.iter_mut().for_each(drop_specks);
    rings.sort_by(|a, b| b.area().total_cmp(&a.area()));
    rings
}

/// The sweep itself. It asserts its own invariants, and a failed one must not end the program of a user whose drawing
/// led to it; nothing outlives the call that could be left half done.
fn swept(path: BezPath) -> Result<Vec<BezPath>, CurveError> {
    let sweep = || {
        let topology = Topology::<i32>::from_path(&path, TRIM_SWEEP).ok()?;
        let contours = topology.contours(|winding| *winding > 0);
        Some(contours.into_contours().map(|contour| contour.path).collect())
    };
    catch_unwind(AssertUnwindSafe(sweep)).ok().flatten().ok_or(CurveError::NotTrimmed)
}

/// Takes out segments too short to mean anything, which the sweep leaves where a loop came off and which may double back;
/// what follows is drawn from where they began. No point moves by more than [`SPECK`].
fn drop_specks(ring: &mut BezPath) {
    let segments: Vec<PathSeg> = ring.segments().collect();
    let mut kept: Vec<PathSeg> = Vec::with_capacity(segments.len());
    for segment in segments {
        let from = kept.last().map_or(segment.start(), ParamCurve::end);
        let speck = control_length(&segment) <= SPECK && (segment.end() - from).hypot() <= SPECK;
        if !speck {
            kept.push(starting_at(&segment, from));
        }
    }
    let Some(start) = kept.first().map(ParamCurve::start) else { return };
    if let Some(last) = kept.last_mut() {
        *last = starting_at(&last.reverse(), start).reverse();
    }
    let mut freed = BezPath::from_path_segments(kept.into_iter());
    freed.close_path();
    *ring = freed;
}

/// A segment drawn from another start; its first control point goes along.
fn starting_at(segment: &PathSeg, start: Point) -> PathSeg {
    let by = start - segment.start();
    match *segment {
        PathSeg::Line(line) => PathSeg::Line(kurbo::Line::new(start, line.p1)),
        PathSeg::Quad(quad) => PathSeg::Quad(kurbo::QuadBez::new(start, quad.p1 + by, quad.p2)),
        PathSeg::Cubic(cubic) => {
            PathSeg::Cubic(kurbo::CubicBez::new(start, cubic.p1 + by, cubic.p2, cubic.p3))
        }
    }
}

/// Crossings of one ring with itself that are swept at most; some 40 µs each. The offset of a careless outline has dozens,
/// that of a saw whose teeth are far narrower than its allowance has one for each two of them.
const MOST_CROSSINGS: usize = 20_000;

fn is_a_tangle(path: &BezPath) -> bool {
    let runs = path.subpaths().map(drawn);
    let crossings = |run: Vec<PathSeg>| contacts(&run, ChainEnds::Closed).take(MOST_CROSSINGS + 1).count();
    runs.map(crossings).any(|count| count > MOST_CROSSINGS)
}

/// Whether a path crosses or touches itself anywhere but where one segment follows another; each subpath is taken as
/// closed. Coordinates that cannot be drawn count as crossing.
pub fn path_crosses_itself(path: &BezPath) -> bool {
    let runs: Vec<Vec<PathSeg>> = path.subpaths().map(drawn).collect();
    if runs.iter().flatten().any(|segment| check_points(segment).is_err()) {
        return true;
    }
    let between = |i: usize, j: usize| {
        let pair: Vec<PathSeg> = runs[i].iter().chain(&runs[j]).copied().collect();
        contacts(&pair, ChainEnds::Open)
            .any(|contact| contact.first < runs[i].len() && contact.second >= runs[i].len())
    };
    runs.iter().any(|run| contacts(run, ChainEnds::Closed).next().is_some())
        || (0..runs.len()).any(|i| (i + 1..runs.len()).any(|j| between(i, j)))
}

/// The segments of a subpath that have length, with the one that closes it.
pub(super) fn drawn(run: &[PathEl]) -> Vec<PathSeg> {
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
