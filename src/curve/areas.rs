//! How much area rings cover, once, more than once, or beyond other rings.

use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{BezPath, Point, Shape};
use linesweeper::topology::{BinaryWindingNumber, Topology};

use super::{CurveError, Motion, Radians};
use crate::tolerance::TRIM_SWEEP;

/// How far rings are turned before each try of the sweep, in radians. The sweep is at its weakest where lines run nearly
/// across it, and a ring on which it gives up in one direction it sweeps in another.
const TURNED: [Radians; 4] = [Radians(0.7), Radians(0.31), Radians(1.13), Radians(-0.52)];

/// The area in mm² of all places that count, by how often the first rings and how often the second run round them.
///
/// Each ring counts as clockwise, however it is drawn. Edges may lie along one another; what the sweep moves them by is
/// under a millionth of a millimetre.
///
/// # Errors
///
/// [`CurveError::NotTrimmed`] where the sweep gives up, whichever way it runs.
pub fn area_where(
    first: &[BezPath],
    second: &[BezPath],
    counts: impl Fn(i32, i32) -> bool,
) -> Result<f64, CurveError> {
    let (first, second) = (together(first), together(second));
    let swept = |turned: Radians| {
        let turn = Motion::turn_about(Point::ZERO, turned).to_affine();
        let sweep = || {
            let (a, b) = (turn * first.clone(), turn * second.clone());
            let topology = Topology::<BinaryWindingNumber>::from_paths_binary(&a, &b, TRIM_SWEEP).ok()?;
            let contours = topology.contours(|winding| counts(winding.shape_a, winding.shape_b));
            Some(contours.contours().map(|contour| contour.path.area()).sum::<f64>())
        };
        catch_unwind(AssertUnwindSafe(sweep)).ok().flatten().filter(|area| area.is_finite())
    };
    TURNED.into_iter().find_map(swept).map(f64::abs).ok_or(CurveError::NotTrimmed)
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
