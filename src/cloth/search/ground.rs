//! The sheets made ready: what bounds a lay and what lies in its way.
//!
//! ```text
//!    +-----------------+      the box, kept by moving poses into it
//!    |  \ half-plane   |      the hull of the border, a half-plane for each edge that is not the box's
//!    |   \______       |
//!    |    pocket\      |      what lies between hull and border: obstacles, as the flaws are
//!    +-----------------+
//! ```

use crate::curve::left_of;
use kurbo::{Point, Vec2};

use super::figure::{Figure, TurnedFigure};
use super::polygon::{Bounds, Polygon};
use super::problem::LaySheet;
use crate::curve::{convex_hull, polygon_area};
use crate::tolerance::LAY_APART;

/// How far the sheets lie apart in the search's own coordinates, so that items on different sheets never meet (mm).
pub(super) const SHEETS_APART: f64 = 1e6;

/// All sheets, side by side.
#[derive(Clone, Debug)]
pub(super) struct BedRow {
    pub beds: Vec<Bed>,
    /// What lies in the way on any of them.
    pub obstacles: Vec<Obstacle>,
}

/// One sheet.
#[derive(Clone, Debug)]
pub(super) struct Bed {
    /// The box of the border, moved to the sheet's place side by side.
    pub bounds: Bounds,
    /// The area of the sheet without its flaws; flaws that overlap each other count twice (mm²).
    pub area: f64,
    /// What the hull of the border forbids beyond its box.
    slopes: Vec<Slope>,
    /// The x of upright edges of the border, at which an item may fit exactly.
    pub uprights: Vec<f64>,
}

/// A half-plane: all points whose product with the normal is at most the reach.
#[derive(Clone, Copy, Debug)]
struct Slope {
    normal: Vec2,
    reach: f64,
}

/// Something to keep off.
#[derive(Clone, Debug)]
pub(super) struct Obstacle {
    pub shape: TurnedFigure,
    pub place: Vec2,
    /// The box around it where it lies.
    pub bounds: Bounds,
}

impl BedRow {
    /// Makes sheets ready.
    pub fn new(sheets: &[LaySheet]) -> BedRow {
        let mut ground = BedRow { beds: Vec::new(), obstacles: Vec::new() };
        for (i, sheet) in sheets.iter().enumerate() {
            let place = Vec2::new(i as f64 * SHEETS_APART, 0.0);
            let moved = |points: &[Point]| points.iter().map(|point| *point + place).collect::<Vec<_>>();
            let border = Polygon::new(&moved(&sheet.outline));
            let around = convex_hull(&border.points);
            for pocket in pockets(&border.points, &around) {
                ground.obstacles.push(Obstacle::new(&pocket));
            }
            let mut flawed = 0.0;
            for flaw in &sheet.flaws {
                flawed += polygon_area(flaw).abs();
                ground.obstacles.push(Obstacle::new(&moved(flaw)));
            }
            ground.beds.push(Bed {
                bounds: border.bounds,
                area: polygon_area(&border.points) - flawed,
                slopes: slopes(&around, border.bounds),
                uprights: uprights(&border),
            });
        }
        ground
    }
}

impl Bed {
    /// How far a figure at a place reaches over the half-planes of the hull: the sum of the depths (mm).
    pub fn over_slopes(&self, figure: &TurnedFigure, place: Vec2) -> f64 {
        self.slopes
            .iter()
            .map(|slope| {
                let reach = figure
                    .hull
                    .iter()
                    .map(|point| point.to_vec2().dot(slope.normal))
                    .fold(f64::NEG_INFINITY, f64::max);
                let depth = reach + place.dot(slope.normal) - slope.reach;
                if depth > LAY_APART { depth } else { 0.0 }
            })
            .sum()
    }
}

impl Obstacle {
    fn new(points: &[Point]) -> Obstacle {
        let figure = Figure::new(points, points);
        let shape = figure.turned(0.0);
        let place = figure.middle.to_vec2();
        Obstacle { bounds: shape.apart.bounds.moved(place.x, place.y), shape, place }
    }
}

/// The polygons between a border and its hull, both with positive area.
fn pockets(border: &[Point], around: &[Point]) -> Vec<Vec<Point>> {
    let on_hull: Vec<usize> = (0..border.len()).filter(|i| around.contains(&border[*i])).collect();
    let mut pockets = Vec::new();
    for (k, start) in on_hull.iter().enumerate() {
        let end = on_hull[(k + 1) % on_hull.len()];
        let steps = (end + border.len() - start) % border.len();
        let pocket: Vec<Point> = (0..=steps).map(|step| border[(start + step) % border.len()]).collect();
        if polygon_area(&pocket).abs() > LAY_APART * LAY_APART {
            pockets.push(pocket);
        }
    }
    pockets
}

/// The half-planes of the edges of a hull that are not edges of its box.
fn slopes(around: &[Point], bounds: Bounds) -> Vec<Slope> {
    (0..around.len())
        .filter_map(|i| {
            let (a, b) = (around[i], around[(i + 1) % around.len()]);
            let of_box = (a.x == b.x && (a.x == bounds.x0 || a.x == bounds.x1))
                || (a.y == b.y && (a.y == bounds.y0 || a.y == bounds.y1));
            let along = b - a;
            let normal = left_of(along) / along.hypot();
            (!of_box).then(|| Slope { normal, reach: a.to_vec2().dot(normal) })
        })
        .collect()
}

/// The x of upright edges within the box.
fn uprights(border: &Polygon) -> Vec<f64> {
    let mut found: Vec<f64> = border
        .edges()
        .filter(|(a, b)| a.x == b.x && a.x != border.bounds.x0 && a.x != border.bounds.x1)
        .map(|(a, _)| a.x)
        .collect();
    found.sort_by(f64::total_cmp);
    found.dedup();
    found
}
