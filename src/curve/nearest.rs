//! The nearest place on a curve.

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

/// The same place by its segment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    /// The segment.
    pub index: usize,
    /// Its parameter there, from 0 to 1.
    pub t: f64,
    /// The place itself.
    pub place: Point,
    /// How far the point is from it, mm.
    pub distance: f64,
}

impl Curve {
    /// The place nearest to a point; the first of several that are equally near.
    pub fn nearest(&self, point: Point) -> Nearest {
        let Foot { index, t, place, distance } = self.foot(point);
        Nearest { at: self.walked_to(index, t), distance, point: place }
    }

    /// The place nearest to a point, without the way to it.
    pub(super) fn foot(&self, point: Point) -> Foot {
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
        Foot { index, t, place, distance: (point - place).hypot() }
    }

    /// A segment that passes a point within a distance in mm, looked for from a likely one to both sides.
    pub(super) fn passing(&self, point: Point, within: f64, likely: usize) -> Option<usize> {
        let most = within * within;
        let passes = |index: &usize| {
            let segment = &self.segments()[*index];
            box_distance_squared(segment::control_box(segment), point) <= most
                && segment.nearest(point, PARAMETER_ACCURACY).distance_sq <= most
        };
        let (before, after) = (0..likely, likely..self.segments().len());
        let farthest = before.len().max(after.len());
        let both = |away: usize| [after.clone().nth(away), before.clone().rev().nth(away)];
        (0..farthest).flat_map(both).flatten().find(passes)
    }

    /// The distance walked to a parameter of a segment.
    pub(super) fn walked_to(&self, index: usize, t: f64) -> f64 {
        if t >= 1.0 {
            self.walked()[index]
        } else {
            self.walked_before(index) + segment::length_to(&self.segments()[index], t)
        }
    }
}

fn box_distance_squared(rect: Rect, point: Point) -> f64 {
    let inside = Point::new(point.x.clamp(rect.x0, rect.x1), point.y.clamp(rect.y0, rect.y1));
    (point - inside).hypot2()
}
