//! The nearest place on a curve, and how far two curves lie apart.

use kurbo::{ParamCurveNearest, Point, Rect};

use super::{Curve, segment};
use crate::tolerance::PARAMETER_ACCURACY;

/// The place on a curve that is nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The distance walked to it, in mm.
    pub at: f64,
    /// How far the point is from it, in mm.
    pub distance: f64,
    /// The place itself.
    pub point: Point,
}

/// How many samples of each segment [`Curve::distance_to`] takes before it refines around their peaks.
const SAMPLES: u32 = 24;

/// How often [`Curve::distance_to`] narrows the bracket around a peak; each time by a third.
const REFINEMENTS: u32 = 24;

impl Curve {
    /// The place nearest to a point; the first of several that are equally near.
    pub fn nearest(&self, point: Point) -> Nearest {
        let mut best = (f64::INFINITY, 0, 0.0);
        for (index, segment) in self.segments().iter().enumerate() {
            if box_distance_squared(segment::control_box(segment), point) >= best.0 {
                continue;
            }
            let found = segment.nearest(point, PARAMETER_ACCURACY);
            if found.distance_sq < best.0 {
                best = (found.distance_sq, index, found.t.clamp(0.0, 1.0));
            }
        }
        let (_, index, t) = best;
        let place = segment::point(&self.segments()[index], t);
        Nearest { at: self.walked_to(index, t), distance: (point - place).hypot(), point: place }
    }

    /// The distance walked to a parameter of a segment.
    pub(super) fn walked_to(&self, index: usize, t: f64) -> f64 {
        if t >= 1.0 {
            self.walked()[index]
        } else {
            self.walked_before(index) + segment::length_to(&self.segments()[index], t)
        }
    }

    /// The greatest distance in mm of a point of either curve from the other (the Hausdorff distance): zero where they
    /// are the same line, however they are divided and whichever way they run.
    ///
    /// Found from samples and refined around their peaks; a spike narrower than a twenty-fourth of a segment may be
    /// missed.
    pub fn distance_to(&self, other: &Curve) -> f64 {
        self.farthest_from(other).max(other.farthest_from(self))
    }

    fn farthest_from(&self, other: &Curve) -> f64 {
        let distance_at = |s: f64| other.nearest(self.point_at(s)).distance;
        let places = self.sample_places();
        let distances: Vec<f64> = places.iter().map(|s| distance_at(*s)).collect();
        let sampled = distances.iter().copied().fold(0.0, f64::max);
        let last = places.len() - 1;
        let peak = |k: usize| {
            let (low, high) = (k.saturating_sub(1), (k + 1).min(last));
            let may_exceed = distances[k] + (places[high] - places[low]) / 2.0 > sampled;
            let is_peak = distances[k] >= distances[low] && distances[k] >= distances[high];
            (is_peak && may_exceed).then_some((places[low], places[high]))
        };
        let refined = (0..=last).filter_map(peak).map(|(low, high)| greatest_between(distance_at, low, high));
        refined.fold(sampled, f64::max)
    }

    /// Both ends, and even steps along each segment.
    fn sample_places(&self) -> Vec<f64> {
        let steps = (0..self.segments().len()).flat_map(|index| {
            let before = self.walked_before(index);
            let step = (self.walked()[index] - before) / f64::from(SAMPLES);
            (1..=SAMPLES).map(move |k| before + step * f64::from(k))
        });
        std::iter::once(0.0).chain(steps).collect()
    }
}

/// The greatest value of a function with one peak between two places, by thirds.
fn greatest_between(value: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..REFINEMENTS {
        let third = (high - low) / 3.0;
        if value(low + third) < value(high - third) {
            low += third;
        } else {
            high -= third;
        }
    }
    value((low + high) / 2.0)
}

fn box_distance_squared(rect: Rect, point: Point) -> f64 {
    let inside = Point::new(point.x.clamp(rect.x0, rect.x1), point.y.clamp(rect.y0, rect.y1));
    (point - inside).hypot2()
}
