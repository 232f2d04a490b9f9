//! Polygons as the search needs them: boxes, and whether two cross.

use kurbo::{Point, Vec2};

use crate::curve::{crosses_ray, distance_squared, polygon_area, right_of};
use crate::tolerance::LAY_NUDGE;

/// A box along the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    pub x0: f64,
    pub y0: f64,
    pub x1: f64,
    pub y1: f64,
}

impl Bounds {
    /// The box around points.
    pub fn of(points: &[Point]) -> Bounds {
        let mut bounds =
            Bounds { x0: f64::INFINITY, y0: f64::INFINITY, x1: f64::NEG_INFINITY, y1: f64::NEG_INFINITY };
        for point in points {
            bounds.x0 = bounds.x0.min(point.x);
            bounds.y0 = bounds.y0.min(point.y);
            bounds.x1 = bounds.x1.max(point.x);
            bounds.y1 = bounds.y1.max(point.y);
        }
        bounds
    }

    /// The box moved.
    pub fn moved(self, x: f64, y: f64) -> Bounds {
        Bounds { x0: self.x0 + x, y0: self.y0 + y, x1: self.x1 + x, y1: self.y1 + y }
    }

    /// Whether two boxes have more than their borders in common.
    #[inline]
    pub fn overlaps(self, other: Bounds) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    /// Whether two boxes have anything in common, be it their borders.
    #[inline]
    fn touches(self, other: Bounds) -> bool {
        self.x0 <= other.x1 && other.x0 <= self.x1 && self.y0 <= other.y1 && other.y0 <= self.y1
    }

    /// What two boxes have in common, and a hair around it, so that no rounding leaves out an edge on its border.
    fn common(self, other: Bounds) -> Bounds {
        Bounds {
            x0: self.x0.max(other.x0) - LAY_NUDGE,
            y0: self.y0.max(other.y0) - LAY_NUDGE,
            x1: self.x1.min(other.x1) + LAY_NUDGE,
            y1: self.y1.min(other.y1) + LAY_NUDGE,
        }
    }

    /// Across.
    pub fn width(self) -> f64 {
        self.x1 - self.x0
    }

    /// Along.
    pub fn height(self) -> f64 {
        self.y1 - self.y0
    }

    /// The middle.
    pub fn centre(self) -> Point {
        Point::new((self.x0 + self.x1) / 2.0, (self.y0 + self.y1) / 2.0)
    }
}

/// A simple polygon with positive area.
#[derive(Clone, Debug)]
pub(super) struct Polygon {
    pub points: Vec<Point>,
    pub bounds: Bounds,
    /// The box around each [`BLOCK`] edges in a row, so that far ones are passed over together.
    blocks: Vec<Bounds>,
}

/// How many edges share a box: with fewer the boxes take as long to look at as the edges.
const BLOCK: usize = 8;

impl Polygon {
    /// The polygon of these points, in either direction; points that repeat the one before are dropped.
    pub fn new(points: &[Point]) -> Polygon {
        let mut kept: Vec<Point> = Vec::with_capacity(points.len());
        for point in points {
            if kept.last() != Some(point) {
                kept.push(*point);
            }
        }
        while kept.len() > 1 && kept.first() == kept.last() {
            kept.pop();
        }
        if polygon_area(&kept) < 0.0 {
            kept.reverse();
        }
        let mut polygon = Polygon { bounds: Bounds::of(&kept), points: kept, blocks: Vec::new() };
        polygon.measure();
        polygon
    }

    /// Writes boxes anew after its points have moved.
    pub fn measure(&mut self) {
        self.bounds = Bounds::of(&self.points);
        self.blocks.clear();
        let mut before = self.points.last().copied();
        for ends in self.points.chunks(BLOCK) {
            let mut block = Bounds::of(ends);
            if let Some(before) = before {
                block.x0 = block.x0.min(before.x);
                block.y0 = block.y0.min(before.y);
                block.x1 = block.x1.max(before.x);
                block.y1 = block.y1.max(before.y);
            }
            self.blocks.push(block);
            before = ends.last().copied();
        }
    }

    /// The edges, each [`BLOCK`] in a row only where their box touches another, the one that leads to the first point first.
    fn edges_near(&self, near_by: Bounds) -> impl Iterator<Item = (Point, Point)> + '_ {
        let blocks = self.blocks.iter().enumerate().filter(move |(_, block)| block.touches(near_by));
        blocks.flat_map(|(number, _)| {
            let from = number * BLOCK;
            let to = (from + BLOCK).min(self.points.len());
            let before = if from == 0 { self.points.len() - 1 } else { from - 1 };
            let starts =
                std::iter::once(self.points[before]).chain(self.points[from..to - 1].iter().copied());
            starts.zip(self.points[from..to].iter().copied())
        })
    }

    /// The edges, the one that leads to the first point first.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let last = self.points.last().copied();
        last.into_iter()
            .chain(self.points[..self.points.len().saturating_sub(1)].iter().copied())
            .zip(self.points.iter().copied())
    }

    /// Whether a point lies within.
    pub fn contains(&self, point: Point) -> bool {
        self.edges().filter(|edge| crosses_ray(point, *edge)).count() % 2 == 1
    }

    /// The distance of a point to the border.
    pub fn distance(&self, point: Point) -> f64 {
        self.edges().map(|edge| distance_squared(point, edge)).fold(f64::INFINITY, f64::min).sqrt()
    }

    /// The polygon drawn in by a hair: every edge moved inward by `depth`, which must be far shorter than the polygon's
    /// own features; points of sharp corners move by no more than four times as much.
    pub fn drawn_in(&self, depth: f64) -> Polygon {
        let count = self.points.len();
        let points: Vec<Point> = (0..count)
            .map(|i| {
                let here = self.points[i];
                let before = inward(self.points[(i + count - 1) % count], here);
                let after = inward(here, self.points[(i + 1) % count]);
                let bisector = (before + after) / (1.0 + before.dot(after)).max(0.1);
                let length = bisector.hypot();
                here + bisector * (depth * if length > 4.0 { 4.0 / length } else { 1.0 })
            })
            .collect();
        let mut polygon = Polygon { bounds: Bounds::of(&points), points, blocks: Vec::new() };
        polygon.measure();
        polygon
    }

    /// Whether the border crosses that of another polygon moved by `shift`.
    ///
    /// The other is moved by a hair more, so that edges in one line and corners on edges, which no rounding error could
    /// bring about but lays put against one border do, are not met with.
    pub fn crosses(&self, other: &Polygon, shift: Vec2, near: &mut Vec<(Point, Point)>) -> bool {
        let shift = shift + Vec2::new(LAY_NUDGE, 2.3 * LAY_NUDGE);
        let common = self.bounds.common(other.bounds.moved(shift.x, shift.y));
        near.clear();
        near.extend(self.edges_near(common).filter(|(a, b)| touches(*a, *b, common)));
        if near.is_empty() {
            return false;
        }
        let common = common.moved(-shift.x, -shift.y);
        other.edges_near(common).filter(|(from, to)| touches(*from, *to, common)).any(|(from, to)| {
            let (c, d) = (from + shift, to + shift);
            near.iter().any(|(a, b)| segments_cross(*a, *b, c, d))
        })
    }
}

/// The unit vector to the inside of an edge of a polygon with positive area.
fn inward(from: Point, to: Point) -> Vec2 {
    let along = to - from;
    right_of(along) / along.hypot()
}

/// Whether the box of a segment touches another box.
#[inline]
fn touches(a: Point, b: Point, bounds: Bounds) -> bool {
    a.x.min(b.x) <= bounds.x1
        && a.x.max(b.x) >= bounds.x0
        && a.y.min(b.y) <= bounds.y1
        && a.y.max(b.y) >= bounds.y0
}

/// Whether two segments cross.
#[inline]
fn segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let ab = b - a;
    if (ab.cross(c - a) >= 0.0) == (ab.cross(d - a) >= 0.0) {
        return false;
    }
    let cd = d - c;
    (cd.cross(a - c) >= 0.0) != (cd.cross(b - c) >= 0.0)
}
