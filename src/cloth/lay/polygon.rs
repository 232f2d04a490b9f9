//! Polygons as the search needs them: boxes, and whether two cross.

use kurbo::{Point, Vec2};

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
}

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
        if area(&kept) < 0.0 {
            kept.reverse();
        }
        Polygon { bounds: Bounds::of(&kept), points: kept }
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
        let mut inside = false;
        for (a, b) in self.edges() {
            if (a.y > point.y) != (b.y > point.y)
                && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x
            {
                inside = !inside;
            }
        }
        inside
    }

    /// The distance of a point to the border.
    pub fn distance(&self, point: Point) -> f64 {
        self.edges().map(|(a, b)| distance_squared(point, a, b)).fold(f64::INFINITY, f64::min).sqrt()
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
        Polygon { bounds: Bounds::of(&points), points }
    }

    /// Whether the border crosses that of another polygon moved by `shift`.
    ///
    /// The other is moved by a hair more, so that edges in one line and corners on edges, which no rounding error could
    /// bring about but lays put against one border do, are not met with.
    pub fn crosses(&self, other: &Polygon, shift: Vec2, near: &mut Vec<(Point, Point)>) -> bool {
        let shift = shift + Vec2::new(LAY_NUDGE, 2.3 * LAY_NUDGE);
        let common = self.bounds.common(other.bounds.moved(shift.x, shift.y));
        near.clear();
        near.extend(self.edges().filter(|(a, b)| touches(*a, *b, common)));
        if near.is_empty() {
            return false;
        }
        let common = common.moved(-shift.x, -shift.y);
        let mut from = match other.points.last() {
            Some(last) => *last,
            None => return false,
        };
        for to in &other.points {
            if touches(from, *to, common) {
                let (c, d) = (from + shift, *to + shift);
                if near.iter().any(|(a, b)| segments_cross(*a, *b, c, d)) {
                    return true;
                }
            }
            from = *to;
        }
        false
    }
}

/// The unit vector to the inside of an edge of a polygon with positive area.
fn inward(from: Point, to: Point) -> Vec2 {
    let along = to - from;
    Vec2::new(-along.y, along.x) / along.hypot()
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

/// The area by the shoelace formula; positive where the border runs clockwise as seen with y down.
pub(super) fn area(points: &[Point]) -> f64 {
    let Some(origin) = points.first() else { return 0.0 };
    let doubled: f64 = points.windows(2).map(|pair| (pair[0] - *origin).cross(pair[1] - *origin)).sum();
    doubled / 2.0
}

/// The square of the distance of a point to a segment.
pub(super) fn distance_squared(point: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let square = along.hypot2();
    let share = if square > 0.0 { ((point - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (point - (a + along * share)).hypot2()
}

/// The convex hull, with positive area and without points on its edges (monotone chain, Andrew 1979).
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Point> = Vec::new();
    for pass in 0..2 {
        let start = hull.len();
        for point in &sorted {
            while hull.len() >= start + 2 {
                let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
                if (b - a).cross(*point - a) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(*point);
        }
        hull.pop();
        if pass == 0 {
            sorted.reverse();
        }
    }
    hull
}
