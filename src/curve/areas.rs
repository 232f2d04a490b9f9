//! How much area rings cover, once, more than once, or beyond other rings.

use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{BezPath, Point, Shape};
use linesweeper::topology::{BinaryWindingNumber, Topology};

use super::{CurveError, Motion, Radians};
use crate::tolerance::{SWEEP_FLATTENING, SWEEP_MISSED, TRIM_SWEEP};

/// How far rings are turned before each try of the sweep, in radians. The sweep is at its weakest where lines run nearly
/// across it, and a ring on which it gives up in one direction it sweeps in another.
const TURNED: [Radians; 4] = [Radians(0.7), Radians(0.31), Radians(1.13), Radians(-0.52)];

/// The area in mm² of all places that count, by how often the first rings and how often the second run round them.
///
/// Each ring counts as clockwise, however it is drawn. Edges may lie along one another. Every sweep is held against the
/// areas of the rings, which are known exactly: one that misses them is done again another way.
///
/// # Errors
///
/// [`CurveError::NotTrimmed`] where the sweep gives up, whichever way it runs.
pub fn area_where(
    first: &[BezPath],
    second: &[BezPath],
    counts: impl Fn(i32, i32) -> bool,
) -> Result<f64, CurveError> {
    let rings = [together(first), together(second)];
    let flat = || rings.each_ref().map(flattened);
    let mut best: Option<(f64, f64)> = None;
    for rings in [&|| rings.clone(), &flat as &dyn Fn() -> [BezPath; 2]] {
        let rings = rings();
        for turned in TURNED {
            let Some((area, missed)) = swept(&rings, turned, &counts) else { continue };
            if best.is_none_or(|(_, least)| missed < least) {
                best = Some((area, missed));
            }
            if missed <= SWEEP_MISSED {
                return Ok(area);
            }
        }
    }
    best.map(|(area, _)| area).ok_or(CurveError::NotTrimmed)
}

/// The area that counts, and by how much the sweep misses the area of all rings.
fn swept(rings: &[BezPath; 2], turned: Radians, counts: &impl Fn(i32, i32) -> bool) -> Option<(f64, f64)> {
    let turn = Motion::turn_about(Point::ZERO, turned).to_affine();
    let sweep = || {
        let [a, b] = rings.clone().map(|ring| turn * ring);
        let topology = Topology::<BinaryWindingNumber>::from_paths_binary(&a, &b, TRIM_SWEEP).ok()?;
        let area = |inside: &dyn Fn(&BinaryWindingNumber) -> bool| {
            let contours = topology.contours(inside);
            contours.contours().map(|contour| contour.path.area()).sum::<f64>().abs()
        };
        let all = |of: fn(&BinaryWindingNumber) -> i32| {
            (1..)
                .map(|times| area(&|winding| of(winding) >= times))
                .take_while(|area| *area > 0.0)
                .sum::<f64>()
        };
        let missed = (all(|winding| winding.shape_a) - a.area()).abs()
            + (all(|winding| winding.shape_b) - b.area()).abs();
        Some((area(&|winding| counts(winding.shape_a, winding.shape_b)), missed))
    };
    let found = catch_unwind(AssertUnwindSafe(sweep)).ok().flatten();
    found.filter(|(area, missed)| area.is_finite() && missed.is_finite())
}

fn flattened(path: &BezPath) -> BezPath {
    let mut flat = BezPath::new();
    kurbo::flatten(path, SWEEP_FLATTENING, |element| flat.push(element));
    flat
}

/// All rings as one path, each clockwise.
fn together(rings: &[BezPath]) -> BezPath {
    let mut all = BezPath::new();
    for ring in rings {
        match ring.area() < 0.0 {
            true => all.extend(ring.reverse_subpaths()),
            false => all.extend(ring.iter()),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> BezPath {
        kurbo::Rect::new(x, y, x + side, y + side).to_path(0.1)
    }

    #[test]
    fn squares_that_overlap_and_touch_are_counted_as_often_as_they_lie() {
        let squares = [square(0.0, 0.0, 10.0), square(10.0, 0.0, 10.0), square(15.0, 5.0, 10.0)];
        let once = area_where(&squares, &[], |first, _| first > 0).unwrap();
        let twice = area_where(&squares, &[], |first, _| first > 1).unwrap();
        let beyond = area_where(&squares, &squares[..1], |first, second| first > 0 && second == 0).unwrap();
        assert!((once - 275.0).abs() < 1e-6 && (twice - 25.0).abs() < 1e-6, "{once} {twice}");
        assert!((beyond - 175.0).abs() < 1e-6, "{beyond}");
    }

    #[test]
    fn a_ring_counts_as_clockwise_whichever_way_it_is_drawn() {
        let there_and_back = [square(0.0, 0.0, 10.0), square(0.0, 0.0, 10.0).reverse_subpaths()];
        assert!((area_where(&there_and_back, &[], |first, _| first == 2).unwrap() - 100.0).abs() < 1e-6);
    }

    #[test]
    fn a_hole_does_not_count() {
        let (ring, hole) = ([square(0.0, 0.0, 10.0)], [square(2.0, 2.0, 5.0)]);
        let left = area_where(&ring, &hole, |first, second| first > 0 && second == 0).unwrap();
        assert!((left - 75.0).abs() < 1e-6, "{left}");
    }
}
