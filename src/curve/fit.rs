//! Few smooth cubics through dense samples.
//!
//! A spline that passes through every sample gives the shape; as few cubics as hold the wished distance are fitted to
//! it. Where the fit does not hold at every sample, or runs to and fro along the line and so is longer than the spline,
//! the spline itself is the answer, which holds by construction.

use kurbo::simplify::SimplifyBezPath;
use kurbo::{Point, Vec2, fit_to_bezpath};

use super::smooth::{SplineEnd, spline};
use super::{Curve, CurveError, MeasureKind};
use crate::tolerance::{FINEST_ACCURACY, SAME_POINT, SMOOTH_JOINT};

/// What share of the wished distance a fit is asked for, in turn: the fewest cubics first, finer where they do not hold.
const FITS_TRIED: &[f64] = &[0.5, 0.25, 0.1, 0.02];

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
    let through = spline(samples, spline_end(start_tangent, first)?, spline_end(end_tangent, last)?)?;
    if through.segments().len() == 1 {
        return Ok(through);
    }
    let tangents = (through.start_tangent(), through.end_tangent());
    if start_tangent.is_none() && end_tangent.is_none() && through.is_straight(within.min(SAME_POINT)) {
        return Curve::line(first, last);
    }
    let good = |curve: &Curve| {
        (curve.length() - through.length()).abs() <= within && holds(curve, samples, tangents, within)
    };
    let fitted = FITS_TRIED.iter().find_map(|share| {
        let fitted = fit_to_bezpath(&SimplifyBezPath::new(through.to_path()), within * share);
        Curve::from_path(&fitted).and_then(|curve| curve.with_ends(first, last)).ok().filter(good)
    });
    Ok(fitted.unwrap_or(through))
}

fn spline_end(tangent: Option<Vec2>, at: Point) -> Result<SplineEnd, CurveError> {
    match tangent {
        None => Ok(SplineEnd::Parabolic),
        Some(along) if !along.is_finite() => Err(CurveError::NotFinite),
        Some(along) if along.hypot() <= SAME_POINT => Err(CurveError::NoDirection { at }),
        Some(along) => Ok(SplineEnd::Along(along.normalize())),
    }
}

fn holds(curve: &Curve, samples: &[Point], tangents: (Vec2, Vec2), within: f64) -> bool {
    let mut likely = 0;
    let is_near = |sample: &Point| {
        let foot = curve.foot_near(*sample, likely);
        likely = foot.index;
        foot.distance <= within
    };
    curve.start_tangent().cross(tangents.0).abs() <= SMOOTH_JOINT
        && curve.end_tangent().cross(tangents.1).abs() <= SMOOTH_JOINT
        && curve.joints().iter().all(|joint| joint.turn.abs() <= SMOOTH_JOINT)
        && samples.iter().all(is_near)
}
