//! Closed rings.

use kurbo::{Point, Shape};
use proptest::prelude::*;
use retrue::curve::{Curve, CurveError, Outline};

use crate::counted::kept_in;
use crate::generators::{ellipse, outline, point, sampled};

fn polygon(ring: &Outline) -> Vec<Point> {
    ring.curves().iter().flat_map(|curve| sampled(curve, 300)).collect()
}

fn shoelace(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.to_vec2().cross(b.to_vec2()) / 2.0).sum()
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/outlines.txt", 64))]

    /// Oracle: the shoelace formula over a dense polygon.
    #[test]
    fn area_is_that_of_a_dense_polygon(ring in outline()) {
        prop_assert!(ring.area() > 0.0);
        prop_assert!((ring.area() - shoelace(&polygon(&ring))).abs() <= 1e-4 * ring.area());
        prop_assert!((ring.reversed().area() + ring.area()).abs() <= 1e-6);
        prop_assert!((ring.to_path().area() - ring.area()).abs() <= 1e-6);
        prop_assert!((ring.reversed().perimeter() - ring.perimeter()).abs() <= 1e-8);
    }

    /// Oracle: turns round the point summed over a dense polygon.
    #[test]
    fn inside_is_where_the_ring_goes_round(ring in outline(), p in point()) {
        let points = polygon(&ring);
        let near = ring.curves().iter().map(|curve| curve.nearest(p).distance).fold(f64::INFINITY, f64::min);
        prop_assume!(near > 0.01);
        let turns: f64 = points
            .iter()
            .zip(points.iter().cycle().skip(1))
            .map(|(a, b)| (*a - p).cross(*b - p).atan2((*a - p).dot(*b - p)))
            .sum();
        prop_assert_eq!(ring.contains(p), turns.abs() > 1.0);
        prop_assert_eq!(ring.reversed().contains(p), ring.contains(p));
    }

    /// A line right through a ring that does not cross itself meets it an even number of times.
    #[test]
    fn line_through_goes_in_and_out(ring in outline(), heading in 0.0..6.2_f64) {
        prop_assert_eq!(ring.self_crossings(), vec![]);
        let (centre, reach) = (ring.bounds().center(), 1000.0 * kurbo::Vec2::from_angle(heading));
        let line = Curve::line(centre - reach, centre + reach).unwrap();
        let found = ring.crossings_with(&line);
        prop_assert!(found.len() >= 2 && found.len() % 2 == 0, "{:?}", found);
        for crossing in found {
            let edge = &ring.curves()[crossing.edge];
            prop_assert!((edge.point_at(crossing.at) - crossing.point).hypot() <= 1e-6);
            prop_assert!((line.point_at(crossing.line_at) - crossing.point).hypot() <= 1e-6);
        }
    }

    /// Parts of a ring cut across add up to it.
    #[test]
    fn cut_ring_adds_up(ring in outline(), heading in 0.0..6.2_f64) {
        let (centre, reach) = (ring.bounds().center(), 1000.0 * kurbo::Vec2::from_angle(heading));
        let line = Curve::line(centre - reach, centre + reach).unwrap();
        let found = ring.crossings_with(&line);
        prop_assume!(found.len() == 2 && found[0].edge != found[1].edge);
        let count = ring.curves().len();
        let (a, b) = (found[0], found[1]);
        let cut = line.stretch(a.line_at, b.line_at).unwrap();
        let walk = |from: retrue::curve::EdgeCrossing, to: retrue::curve::EdgeCrossing| {
            let mut curves = vec![ring.curves()[from.edge].stretch(from.at, ring.curves()[from.edge].length())];
            let mut edge = (from.edge + 1) % count;
            while edge != to.edge {
                curves.push(Ok(ring.curves()[edge].clone()));
                edge = (edge + 1) % count;
            }
            curves.push(ring.curves()[edge].stretch(0.0, to.at));
            curves.into_iter().flatten().collect::<Vec<Curve>>()
        };
        let close = |mut curves: Vec<Curve>, closing: Curve| {
            curves.push(closing);
            Outline::welded_within(curves, 1e-4).unwrap().area()
        };
        let sum = close(walk(a, b), cut.reversed()) + close(walk(b, a), cut);
        prop_assert!((sum - ring.area()).abs() <= 0.1);
    }
}

fn ring(corners: &[(f64, f64)]) -> Outline {
    let points: Vec<Point> = corners.iter().map(|corner| Point::from(*corner)).collect();
    let edge = |i: usize| Curve::line(points[i], points[(i + 1) % points.len()]).unwrap();
    Outline::new((0..points.len()).map(edge)).unwrap()
}

#[test]
fn bow_tie_crosses_itself_in_the_middle() {
    let found = ring(&[(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)]).self_crossings();
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].first, found[0].second), (0, 2));
    approx::assert_abs_diff_eq!(found[0].first_at, 50.0 * 2.0_f64.sqrt(), epsilon = 1e-9);
    assert!((found[0].point - Point::new(50.0, 50.0)).hypot() < 1e-9);
}

#[test]
fn corner_on_another_edge_is_a_contact() {
    let found = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (50.0, 0.0), (0.0, 50.0)]).self_crossings();
    assert!(found.iter().all(|crossing| (crossing.point - Point::new(50.0, 0.0)).hypot() < 1e-9));
    assert_eq!(found.len(), 1);
}

#[test]
fn line_through_a_corner_is_found_once() {
    let square = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
    let diagonal = Curve::line(Point::new(-10.0, -10.0), Point::new(110.0, 110.0)).unwrap();
    let found = square.crossings_with(&diagonal);
    assert_eq!(
        found.iter().map(|crossing| (crossing.edge, crossing.at)).collect::<Vec<_>>(),
        [(0, 0.0), (2, 0.0)]
    );
}

#[test]
fn open_ring_is_refused_and_small_gaps_are_welded() {
    let a = Curve::line(Point::new(0.0, 0.0), Point::new(100.0, 0.0)).unwrap();
    let b = Curve::line(Point::new(100.0, 0.3), Point::new(0.0, 100.0)).unwrap();
    let c = Curve::line(Point::new(0.0, 100.0), Point::new(0.0, 0.0)).unwrap();
    let open = [a, b, c];
    assert!(
        matches!(Outline::new(open.clone()), Err(CurveError::Gap { gap, .. }) if (gap - 0.3).abs() < 1e-9)
    );
    let welded = Outline::welded_within(open, 0.5).unwrap();
    assert_eq!(welded.curves()[0].end(), welded.curves()[1].start());
    assert_eq!(Outline::new([]), Err(CurveError::Empty));
}

/// `π a b`, within the 2.7e-4 by which a cubic misses a quarter circle.
#[test]
fn ellipse_has_its_area() {
    let area = std::f64::consts::PI * 100.0 * 60.0;
    approx::assert_relative_eq!(ellipse(200.0, 120.0).area(), area, max_relative = 6e-4);
}

/// On a straight edge the crossing of the ray lies where the line does, not where a cubic with the same ends would.
#[test]
fn inside_is_told_beside_a_slanting_straight_edge() {
    let p = Point::new;
    let line = |a, b| Curve::line(a, b).unwrap();
    let corners = [p(0.0, 0.0), p(10.0, 10.0), p(0.0, 10.0)];
    let ring = Outline::new((0..3).map(|i| line(corners[i], corners[(i + 1) % 3]))).unwrap();
    for y in 1..10 {
        let y = f64::from(y);
        assert!(ring.contains(p(y - 0.01, y)));
        assert!(!ring.contains(p(y + 0.01, y)));
    }
}
