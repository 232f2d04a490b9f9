//! Lines to be held against one another.

use kurbo::{ParamCurve, Rect};

use crate::curve::{Curve, Point};
use crate::tolerance::{RESEW_ENOUGH, RESEW_STEP};

/// The fewest places at which a segment is looked at: a short blend bends within them.
const LEAST_PLACES: f64 = 6.0;

/// Curves to which distances are measured.
#[derive(Clone, Debug, Default)]
pub(super) struct MeasuredCurves(Vec<(Curve, Rect)>);

impl MeasuredCurves {
    pub(super) fn of<'a>(curves: impl IntoIterator<Item = &'a Curve>) -> MeasuredCurves {
        MeasuredCurves(curves.into_iter().map(|curve| (curve.clone(), curve.bounds())).collect())
    }

    pub(super) fn add(&mut self, curves: impl IntoIterator<Item = Curve>) {
        self.0.extend(curves.into_iter().map(|curve| {
            let bounds = curve.bounds();
            (curve, bounds)
        }));
    }

    /// The distance from a point to the nearest of them, mm; infinite where there is none.
    pub(super) fn distance(&self, point: Point) -> f64 {
        let mut least = f64::INFINITY;
        for (curve, bounds) in &self.0 {
            if least <= RESEW_ENOUGH {
                break;
            }
            if to_box(*bounds, point) < least {
                least = least.min(curve.nearest(point).distance);
            }
        }
        least
    }
}

fn to_box(bounds: Rect, point: Point) -> f64 {
    let inside = Point::new(point.x.clamp(bounds.x0, bounds.x1), point.y.clamp(bounds.y0, bounds.y1));
    point.distance(inside)
}

/// Places along a curve, ends and joints included, no more than [`RESEW_STEP`] apart.
pub(super) fn places(curve: &Curve) -> impl Iterator<Item = Point> + '_ {
    let inner = curve.segments().iter().flat_map(|segment| {
        let reach =
            segment.start().distance(segment.end()).max(kurbo::ParamCurveArclen::arclen(segment, 0.1));
        let count = (reach / RESEW_STEP).ceil().max(LEAST_PLACES);
        (1..=count as usize).map(move |k| segment.eval(k as f64 / count))
    });
    std::iter::once(curve.start()).chain(inner)
}
