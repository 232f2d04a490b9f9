//! Few smooth cubics through dense samples.
//!
//! A spline that passes through the samples gives the shape; as few cubics as hold the wished distance are fitted to
//! it. Where the fit does not hold at every sample, or runs to and fro along the line and so is longer than the spline,
//! the spline itself is the answer, which holds by construction.

use kurbo::simplify::SimplifyBezPath;
use kurbo::{BezPath, Point, Vec2, fit_to_bezpath};

use super::smooth::{SplineEnd, spline};
use super::{Curve, CurveError, MeasureKind};
use crate::tolerance::{FINEST_ACCURACY, SAME_POINT, SMOOTH_JOINT};

/// What share of the wished distance a fit is asked for, in turn: the fewest cubics first, finer where they do not hold.
const FITS_TRIED: &[f64] = &[0.5, 0.25, 0.1, 0.02];

/// How many times the wished distance the knots of a spline may lie apart that leaves samples between them out. Such samples
/// are so dense that a shift by as little turns the line by half a degree.
const KNOTS_APART: f64 = 100.0;

/// Of so many samples at least a spline is laid through every second.
const FEWEST_KNOTS: usize = 16;

/// A curve that begins and ends at the first and last sample, passes every sample within a distance in mm, and has no
/// corner inside. With end tangents given (of any length) it leaves and arrives along them.
///
/// Samples should lie on a smooth line and be dense: where the line has a corner, fit the stretches before and after.
///
/// # Errors
///
/// [`CurveError::BadMeasure`] for a distance under [`FINEST_ACCURACY`]; [`CurveError::Empty`] with fewer than two
/// distinct samples; [`CurveError::NoDirection`] for a tangent without length; else as [`Curve::new`].
pub fn fit_through(
    samples: &[Point],
    start_tangent: Option<Vec2>,
    end_tangent: Option<Vec2>,
    within: f64,
) -> Result<Curve, CurveError> {
    if !(within >= FINEST_ACCURACY && within.is_finite()) {
        return Err(CurveError::BadMeasure { what: MeasureKind::Accuracy, value: within });
    }
    let (Some(&first), Some(&last)) = (samples.first(), samples.last()) else {
        return Err(CurveError::Empty);
    };
    let ends = (spline_end(start_tangent, first)?, spline_end(end_tangent, last)?);
    let through = spline_through(samples, ends, within)?;
    if through.segments().len() == 1 {
        return Ok(through);
    }
    let tangents = (through.start_tangent(), through.end_tangent());
    if start_tangent.is_none() && end_tangent.is_none() && through.is_straight(within.min(SAME_POINT)) {
        return Curve::line(first, last);
    }
    if is_rough(&through, within) {
        return Ok(through);
    }
    let good = |curve: &Curve| {
        curve.length() - through.length() <= within
            && leaves_and_arrives(curve, tangents)
            && curve.joints().iter().all(|joint| joint.turn.abs() <= SMOOTH_JOINT)
            && passes_all(curve, samples, within)
    };
    for share in FITS_TRIED {
        let fitted = fit_to_bezpath(&SimplifyBezPath::new(through.to_path()), within * share);
        let Ok(curve) = Curve::from_path(&fitted).and_then(|curve| curve.with_ends(first, last)) else {
            continue;
        };
        if curve.segments().len() >= through.segments().len() {
            // A finer fit has more cubics still.
            break;
        }
        if good(&curve) {
            return Ok(curve);
        }
    }
    Ok(through)
}

/// Whether hardly fewer cubics fit a long spline, as one through the teeth of a saw: asked of a few stretches of it first,
/// since all of it takes as long as it has teeth.
fn is_rough(through: &Curve, within: f64) -> bool {
    /// How many stretches are asked, and how many cubics each has.
    const STRETCHES: usize = 8;
    const CUBICS: usize = 16;
    let segments = through.segments();
    let apart = segments.len() / STRETCHES;
    let hardly_fewer = |from: usize| {
        let stretch = BezPath::from_path_segments(segments[from..from + CUBICS].iter().copied());
        let fitted = fit_to_bezpath(&SimplifyBezPath::new(stretch), FITS_TRIED[0] * within);
        2 * fitted.segments().count() >= CUBICS
    };
    apart > 2 * CUBICS && (0..STRETCHES).all(|stretch| hardly_fewer(stretch * apart))
}

/// The spline through the fewest samples that passes all within half of a distance: through evenly many of them where they
/// lie so densely that what was rounded off them turns the line to and fro, else through each.
fn spline_through(samples: &[Point], ends: (SplineEnd, SplineEnd), within: f64) -> Result<Curve, CurveError> {
    let way: f64 = samples.windows(2).map(|pair| (pair[1] - pair[0]).hypot()).sum();
    let most = KNOTS_APART * within * samples.len() as f64 / way;
    let steps = (1..usize::BITS).map(|power| 1_usize << power);
    let steps: Vec<usize> =
        steps.take_while(|step| *step as f64 <= most && step * FEWEST_KNOTS <= samples.len()).collect();
    for step in steps.into_iter().rev() {
        let sparse = spline(&every(samples, step, ends), ends.0, ends.1)?;
        if passes_all(&sparse, samples, within / 2.0) {
            return Ok(sparse);
        }
    }
    spline(samples, ends.0, ends.1)
}

/// Every so many samples, with the first and the last; denser toward an end whose direction is given.
fn every(samples: &[Point], step: usize, ends: (SplineEnd, SplineEnd)) -> Vec<Point> {
    let last = samples.len() - 1;
    let is_near = |from_end: usize, end: SplineEnd| match end {
        SplineEnd::Along(_) => from_end.is_power_of_two(),
        SplineEnd::Natural | SplineEnd::Parabolic => false,
    };
    let is_kept = |at: usize| match (at, last - at) {
        (0, _) | (_, 0) => true,
        (from_start, _) if from_start < step => is_near(from_start, ends.0),
        (_, from_last) if from_last < step => is_near(from_last, ends.1),
        _ => at.is_multiple_of(step),
    };
    (0..=last).filter(|at| is_kept(*at)).map(|at| samples[at]).collect()
}

fn spline_end(tangent: Option<Vec2>, at: Point) -> Result<SplineEnd, CurveError> {
    match tangent {
        None => Ok(SplineEnd::Parabolic),
        Some(along) if !along.is_finite() => Err(CurveError::NotFinite),
        Some(along) if along.hypot() <= SAME_POINT => Err(CurveError::NoDirection { at }),
        Some(along) => Ok(SplineEnd::Along(along.normalize())),
    }
}

/// Whether a curve runs along two directions at its ends.
fn leaves_and_arrives(curve: &Curve, tangents: (Vec2, Vec2)) -> bool {
    curve.start_tangent().cross(tangents.0).abs() <= SMOOTH_JOINT
        && curve.end_tangent().cross(tangents.1).abs() <= SMOOTH_JOINT
}

/// Whether a curve passes each sample within a distance in mm. One segment after the other is asked, as the samples follow
/// one another.
fn passes_all(curve: &Curve, samples: &[Point], within: f64) -> bool {
    let mut likely = 0;
    samples.iter().all(|sample| {
        let passing = curve.passing(*sample, within, likely);
        likely = passing.unwrap_or(likely);
        passing.is_some()
    })
}
