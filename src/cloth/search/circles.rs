//! Circles that stand for a polygon where the depth of an overlap is estimated.
//!
//! The first is the largest circle within the polygon, about its pole of inaccessibility; each further one the largest
//! that fits beside those before. How deep two polygons overlap is estimated from how deep their circles do, as Gardeyn
//! et al. propose (arXiv 2509.13329): the true depth of two hollow polygons costs a hundred times as much.

use kurbo::Point;

use super::polygon::Polygon;
use super::turning::TurnAboutOrigin;
use crate::curve::polygon_area;

/// The most circles of one polygon. More follow the border more closely, but an estimate costs their product: with 16
/// the same time gave lays a percent less dense.
const MOST: usize = 8;

/// Circles are added until they cover this share of the polygon's area.
const COVERED: f64 = 0.9;

/// Circles of less than this share of the first one's radius are not added.
const SMALLEST: f64 = 0.08;

/// Points across the longer side of the box at which circles are tried before they are moved to their best place.
const GRID: usize = 28;

/// Circles are stored in groups of so many, so that their distances are worked out side by side.
const LANES: usize = 4;

/// Where a circle stands that fills up a group: so far off that it touches nothing.
const NOWHERE: f32 = 1e12;

/// Circles, in groups of [`LANES`].
#[derive(Clone, Debug, Default)]
pub(super) struct Circles {
    x: Vec<[f32; LANES]>,
    y: Vec<[f32; LANES]>,
    radius: Vec<[f32; LANES]>,
}

/// How deep circles overlap.
pub(super) struct Depth {
    /// The estimate: the sum over all pairs of depth times the smaller radius; a little where they stand apart.
    pub sum: f32,
    /// The greatest depth of one pair; negative where all stand apart.
    pub greatest: f32,
}

impl Circles {
    /// The circles of a polygon.
    pub fn of(polygon: &Polygon) -> Circles {
        let mut found = Finder::new(polygon).find();
        while !found.len().is_multiple_of(LANES) {
            found.push((Point::new(f64::from(NOWHERE), f64::from(NOWHERE)), 0.0));
        }
        let lanes = |value: fn(&(Point, f64)) -> f64| {
            found
                .chunks_exact(LANES)
                .map(|chunk| std::array::from_fn(|lane| value(&chunk[lane]) as f32))
                .collect()
        };
        Circles { x: lanes(|pole| pole.0.x), y: lanes(|pole| pole.0.y), radius: lanes(|pole| pole.1) }
    }

    /// Writes these circles, turned, over others.
    pub fn turn_into(&self, turning: TurnAboutOrigin, turned: &mut Circles) {
        turned.clone_from(self);
        for group in 0..self.x.len() {
            for lane in 0..LANES {
                let centre = Point::new(f64::from(self.x[group][lane]), f64::from(self.y[group][lane]));
                let centre = turning.turn(centre);
                turned.x[group][lane] = centre.x as f32;
                turned.y[group][lane] = centre.y as f32;
            }
        }
    }

    /// The centre of the first circle.
    pub fn middle(&self) -> Point {
        Point::new(f64::from(self.x[0][0]), f64::from(self.y[0][0]))
    }

    /// How deep these circles overlap others moved by (`x`, `y`). A pair that stands apart, or overlaps by less than
    /// `little`, counts with a depth that falls off hyperbolically, so that there is a way downhill from everywhere.
    ///
    /// Ends early, with what was found so far, once that is over what is asked in both ways.
    pub fn overlap(&self, other: &Circles, (x, y): (f32, f32), little: f32, asked: &Depth) -> Depth {
        let mut sums = [0.0f32; LANES];
        let mut depths = [f32::NEG_INFINITY; LANES];
        let square = little * little;
        for ((ox, oy), radii) in other.x.iter().zip(&other.y).zip(&other.radius) {
            for lane in 0..LANES {
                let (cx, cy, radius) = (ox[lane] + x, oy[lane] + y, radii[lane]);
                for ((px, py), pr) in self.x.iter().zip(&self.y).zip(&self.radius) {
                    for k in 0..LANES {
                        let (dx, dy) = (px[k] - cx, py[k] - cy);
                        let depth = pr[k] + radius - (dx * dx + dy * dy).sqrt();
                        depths[k] = larger(depths[k], depth);
                        let slope = square / (2.0 * little - smaller(depth, little));
                        sums[k] += larger(depth, slope) * smaller(pr[k], radius);
                    }
                }
            }
            let found = Depth {
                sum: (sums[0] + sums[1]) + (sums[2] + sums[3]),
                greatest: larger(larger(depths[0], depths[1]), larger(depths[2], depths[3])),
            };
            if found.sum > asked.sum && found.greatest > asked.greatest {
                return found;
            }
        }
        Depth {
            sum: (sums[0] + sums[1]) + (sums[2] + sums[3]),
            greatest: larger(larger(depths[0], depths[1]), larger(depths[2], depths[3])),
        }
    }
}

/// The larger of two numbers neither of which is NaN: one instruction, where [`f32::max`] takes four.
#[inline]
fn larger(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// The smaller of two numbers neither of which is NaN.
#[inline]
fn smaller(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// Looks for the circles of one polygon.
struct Finder<'a> {
    polygon: &'a Polygon,
    /// Points within the polygon, each with the largest circle about it that is still free.
    grid: Vec<(Point, f64)>,
    found: Vec<(Point, f64)>,
    step: f64,
}

impl<'a> Finder<'a> {
    fn new(polygon: &'a Polygon) -> Finder<'a> {
        let bounds = polygon.bounds;
        let step = bounds.width().max(bounds.height()) / GRID as f64;
        let (columns, rows) = ((bounds.width() / step).ceil(), (bounds.height() / step).ceil());
        let mut grid = Vec::new();
        for row in 0..rows as usize {
            for column in 0..columns as usize {
                let point = Point::new(
                    bounds.x0 + bounds.width() * (column as f64 + 0.5) / columns,
                    bounds.y0 + bounds.height() * (row as f64 + 0.5) / rows,
                );
                if polygon.contains(point) {
                    grid.push((point, polygon.distance(point)));
                }
            }
        }
        if grid.is_empty() {
            grid.extend(within_corner(polygon).map(|point| (point, polygon.distance(point))));
        }
        Finder { polygon, grid, found: Vec::new(), step }
    }

    fn find(mut self) -> Vec<(Point, f64)> {
        let wanted = polygon_area(&self.polygon.points).abs() * COVERED;
        let mut covered = 0.0;
        while self.found.len() < MOST && covered < wanted {
            let Some(best) = self.grid.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else { break };
            let (centre, radius) = self.moved_to_best(best);
            if self.found.first().is_some_and(|(_, first)| radius < first * SMALLEST) {
                break;
            }
            covered += std::f64::consts::PI * radius * radius;
            self.found.push((centre, radius));
            for (point, free) in &mut self.grid {
                *free = free.min((*point - centre).hypot() - radius);
            }
        }
        self.found
    }

    fn free(&self, point: Point) -> f64 {
        if !self.polygon.contains(point) {
            return f64::NEG_INFINITY;
        }
        self.found
            .iter()
            .map(|(centre, radius)| (point - *centre).hypot() - radius)
            .fold(self.polygon.distance(point), f64::min)
    }

    fn moved_to_best(&self, start: (Point, f64)) -> (Point, f64) {
        let (mut centre, mut radius) = start;
        let mut step = self.step / 2.0;
        while step > self.step / 64.0 {
            let better = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
                .into_iter()
                .map(|(x, y)| Point::new(centre.x + x * step, centre.y + y * step))
                .map(|point| (point, self.free(point)))
                .find(|(_, free)| *free > radius);
            match better {
                Some(found) => (centre, radius) = found,
                None => step /= 2.0,
            }
        }
        (centre, radius)
    }
}

/// A point within a polygon so thin that no point of the grid is.
fn within_corner(polygon: &Polygon) -> Option<Point> {
    let count = polygon.points.len();
    let corner = |i: usize| polygon.points[i % count];
    (0..count)
        .map(|i| corner(i).midpoint(corner(i + 1)).lerp(corner(i + 2), 0.25))
        .find(|point| polygon.contains(*point))
        .or(polygon.points.first().copied())
}
