//! Taking off the loops of a cutting line where an allowance has no room.

use kurbo::{BezPath, PathEl};

use crate::allowance::beside::{Beside, Ring, cut_depth};
use crate::allowance::{AllowanceError, Trim, TrimCause};
use crate::curve::{Curve, CurveError, Point, Vec2, path_crosses_itself, trim_positive};
use crate::tolerance::{CROSSINGS_APART, TRIM_STEP, TRIM_TOLD};

/// One closed loop, and where it leaves the line beside its edge.
///
/// A line that does not cross itself is returned as it came. Otherwise the largest loop is kept.
pub(super) fn freed_of_loops(ring: &Ring<'_>, raw: BezPath) -> Result<(BezPath, Vec<Trim>), AllowanceError> {
    if !path_crosses_itself(&raw) {
        return Ok((raw, Vec::new()));
    }
    let failed = |source| AllowanceError::Around { piece: ring.piece.name().clone(), source };
    let mut loops = trim_positive(&raw).map_err(failed)?.into_iter();
    let Some(kept) = loops.next().map(|kept| without_crumbs(&kept)) else {
        return Err(failed(CurveError::NotTrimmed));
    };
    let (raw, left) = (Curve::from_path(&raw).map_err(failed)?, Curve::from_path(&kept).map_err(failed)?);
    let outline: Vec<Point> = ring
        .piece
        .outline()
        .curves()
        .iter()
        .flat_map(|curve| samples(curve, 0.0, curve.length()))
        .map(|at| at.point)
        .collect();
    let mut trims = Vec::new();
    for beside in &ring.lines {
        trims.extend(trims_of(ring, beside, &raw, &left, &outline));
    }
    Ok((kept, trims))
}

/// The loop without the segments of next to no length that the sweep leaves at crossings.
fn without_crumbs(path: &BezPath) -> BezPath {
    let mut kept = BezPath::new();
    let mut at = Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => at = to,
            PathEl::LineTo(to) if (to - at).hypot() <= CROSSINGS_APART => continue,
            PathEl::CurveTo(a, b, to)
                if [a, b, to].iter().all(|point| (*point - at).hypot() <= CROSSINGS_APART) =>
            {
                continue;
            }
            PathEl::LineTo(to) | PathEl::CurveTo(_, _, to) | PathEl::QuadTo(_, to) => at = to,
            PathEl::ClosePath => {}
        }
        kept.push(*element);
    }
    closed_exactly(kept)
}

/// The loop with its last end laid on its start where only a crumb lay between them.
fn closed_exactly(path: BezPath) -> BezPath {
    let mut elements = path.elements().to_vec();
    let start = elements.first().and_then(PathEl::end_point);
    let last = elements.iter_mut().rev().find(|element| !matches!(element, PathEl::ClosePath));
    if let (Some(start), Some(PathEl::LineTo(to) | PathEl::CurveTo(_, _, to))) = (start, last)
        && (*to - start).hypot() <= CROSSINGS_APART
    {
        *to = start;
    }
    BezPath::from_vec(elements)
}

/// A place on an edge.
pub(super) struct Sample {
    pub at: f64,
    pub point: Point,
    pub out: Vec2,
}

/// Places along a stretch of an edge, its ends included, a step of the trim apart.
pub(super) fn samples(curve: &Curve, from: f64, to: f64) -> impl Iterator<Item = Sample> + '_ {
    let count = ((to - from) / TRIM_STEP).ceil().max(1.0);
    (0..=count as usize).map(move |index| {
        let at = from + (to - from) * index as f64 / count;
        Sample { at, point: curve.point_at(at), out: curve.normal_outward(at) }
    })
}

/// The stretches beside which the line was on the raw loop and is not on what is left of it.
fn trims_of(ring: &Ring<'_>, beside: &Beside, raw: &Curve, left: &Curve, outline: &[Point]) -> Vec<Trim> {
    let depth = cut_depth(ring.piece, beside.edge);
    let curve = &ring.piece.edge(beside.edge).curve;
    let mut trims: Vec<Trim> = Vec::new();
    let mut open = false;
    for sample in samples(curve, beside.from, beside.to) {
        let wanted = sample.point + depth * sample.out;
        let lost = left.nearest(wanted).distance > TRIM_TOLD && raw.nearest(wanted).distance <= TRIM_TOLD;
        if lost {
            let kept = room(&sample, depth, outline);
            match trims.last_mut().filter(|_| open) {
                Some(trim) => {
                    trim.to = sample.at;
                    trim.kept = trim.kept.min(kept);
                }
                None => trims.push(Trim {
                    edge: beside.edge,
                    from: sample.at,
                    to: sample.at,
                    kept,
                    cause: TrimCause::Hollow,
                }),
            }
        }
        open = lost;
    }
    trims.retain(|trim| trim.to > trim.from && trim.kept < depth - TRIM_TOLD);
    trims
}

/// The depth to which an allowance at a place reaches before it runs into that of another: the radius of the largest
/// circle that touches the outline there from outside and holds none of it, at most the depth asked for.
fn room(sample: &Sample, depth: f64, outline: &[Point]) -> f64 {
    let radius = |other: &Point| {
        let apart = *other - sample.point;
        let ahead = apart.dot(sample.out);
        if ahead > TRIM_TOLD { apart.hypot2() / (2.0 * ahead) } else { f64::INFINITY }
    };
    outline.iter().map(radius).fold(depth, f64::min)
}
