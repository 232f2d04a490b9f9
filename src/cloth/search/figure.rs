//! An item made ready for many comparisons, and how much two of them overlap.

use kurbo::{Point, Vec2};

use super::circles::{Circles, Depth};
use super::polygon::{Bounds, Polygon};
use super::turning::TurnAboutOrigin;
use crate::curve::{convex_hull, polygon_area};
use crate::tolerance::{LAY_APART, LAY_DRAWN_IN};

/// An item about the middle of its own box.
#[derive(Clone, Debug)]
pub(super) struct Figure {
    /// Where that middle lies in the item's own coordinates.
    pub middle: Point,
    /// The convex hull of the outline, exactly.
    around: Vec<Point>,
    /// The outline drawn in by a hair, kept off flaws and pockets of the border; none where `apart` serves as well.
    body: Option<Polygon>,
    /// The clearance drawn in by a hair, kept off other items.
    apart: Polygon,
    circles: Circles,
    /// What an overlap counts: the square root of the root of the hull's area, so that large items count more.
    importance: f64,
    /// The share of the item's extent below which an overlap counts as little (mm).
    pub little: f64,
    /// The lesser extent of the box (mm).
    pub extent: f64,
    /// The area of the outline (mm²).
    pub area: f64,
}

/// A figure at some turn.
#[derive(Clone, Debug)]
pub(super) struct TurnedFigure {
    /// The turn in degrees.
    pub degrees: f64,
    /// The box of the outline, which stays within the sheet.
    pub bounds: Bounds,
    /// The convex hull of the outline.
    pub hull: Vec<Point>,
    body: Option<Polygon>,
    pub apart: Polygon,
    circles: Circles,
    importance: f64,
    little: f64,
}

impl Figure {
    /// The figure of an item.
    pub fn new(outline: &[Point], clearance: &[Point]) -> Figure {
        let bounds = Bounds::of(outline);
        let middle = bounds.centre();
        let centred = |points: &[Point]| {
            Polygon::new(&points.iter().map(|point| *point - middle.to_vec2()).collect::<Vec<_>>())
        };
        let whole = centred(outline);
        let apart = centred(clearance).drawn_in(LAY_DRAWN_IN);
        let body = (outline != clearance).then(|| whole.drawn_in(LAY_DRAWN_IN));
        let around = convex_hull(&apart.points);
        Figure {
            middle,
            circles: Circles::of(&apart),
            importance: polygon_area(&around).abs().sqrt().sqrt(),
            little: apart.bounds.width().hypot(apart.bounds.height()) * LITTLE,
            extent: bounds.width().min(bounds.height()),
            area: polygon_area(&whole.points).abs(),
            around: convex_hull(&whole.points),
            body,
            apart,
        }
    }

    /// The figure turned.
    pub fn turned(&self, degrees: f64) -> TurnedFigure {
        let mut turned = TurnedFigure {
            degrees: f64::NAN,
            bounds: self.apart.bounds,
            hull: Vec::new(),
            body: None,
            apart: self.apart.clone(),
            circles: Circles::default(),
            importance: self.importance,
            little: self.little,
        };
        self.turn_into(degrees, &mut turned);
        turned
    }

    /// Writes the figure, turned, over another.
    pub fn turn_into(&self, degrees: f64, turned: &mut TurnedFigure) {
        let turning = TurnAboutOrigin::new(degrees);
        turned.degrees = degrees;
        turned.hull.clear();
        turned.hull.extend(self.around.iter().map(|point| turning.turn(*point)));
        turned.bounds = Bounds::of(&turned.hull);
        turn_polygon(&self.apart, turning, &mut turned.apart);
        turned.body = self.body.as_ref().map(|body| {
            let mut copy = body.clone();
            turn_polygon(body, turning, &mut copy);
            copy
        });
        self.circles.turn_into(turning, &mut turned.circles);
        turned.importance = self.importance;
        turned.little = self.little;
    }
}

/// The share of the box's diagonal below which the depth of an overlap counts as little.
const LITTLE: f64 = 0.01;

impl TurnedFigure {
    /// What keeps off flaws and pockets.
    pub fn body(&self) -> &Polygon {
        self.body.as_ref().unwrap_or(&self.apart)
    }

    /// How much this figure overlaps another that lies `shift` from it; 0 where they do not. An estimate of the depth
    /// that grows with the items; where it is over `enough`, any number over that.
    pub fn overlap(
        &self,
        other: &TurnedFigure,
        shift: Vec2,
        enough: f64,
        near: &mut Vec<(Point, Point)>,
    ) -> f64 {
        self.overlap_of(&self.apart, other, shift, enough, near)
    }

    /// How much this figure lies over an obstacle that lies `shift` from it.
    pub fn over_obstacle(&self, obstacle: &TurnedFigure, shift: Vec2, near: &mut Vec<(Point, Point)>) -> f64 {
        self.overlap_of(self.body(), obstacle, shift, f64::INFINITY, near)
    }

    /// How much a figure of an extent counts that reaches over a slope of the border by a depth.
    pub fn over_border(&self, depth: f64, extent: f64) -> f64 {
        (depth * extent + self.little * self.little).sqrt() * self.importance * self.importance
    }

    fn overlap_of(
        &self,
        polygon: &Polygon,
        other: &TurnedFigure,
        shift: Vec2,
        enough: f64,
        near: &mut Vec<(Point, Point)>,
    ) -> f64 {
        let little = self.little.max(other.little);
        let importance = self.importance * other.importance;
        let surely = LAY_APART.max(little * SURELY) as f32;
        let asked = Depth { sum: (enough / importance).powi(2) as f32, greatest: surely };
        let shifted = (shift.x as f32, shift.y as f32);
        let depth = self.circles.overlap(&other.circles, shifted, little as f32, &asked);
        if depth.greatest <= surely
            && !polygon.crosses(&other.apart, shift, near)
            && !polygon.contains(other.circles.middle() + shift)
            && !other.apart.contains(self.circles.middle() - shift)
        {
            return 0.0;
        }
        (f64::from(depth.sum) + little * little).sqrt() * importance
    }
}

/// The share of a little depth over which circles surely overlap, whatever the rounding of their places.
const SURELY: f64 = 0.1;

/// Writes a polygon, turned, over another.
fn turn_polygon(polygon: &Polygon, turning: TurnAboutOrigin, turned: &mut Polygon) {
    turned.points.clear();
    turned.points.extend(polygon.points.iter().map(|point| turning.turn(*point)));
    turned.measure();
}
