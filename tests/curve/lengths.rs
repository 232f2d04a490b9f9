//! Lengths, places along a curve, stretches and joins.

use crate::counted::kept_in;
use kurbo::{PathSeg, Point};
use proptest::prelude::*;
use retrue::curve::{Curve, CurveError};
use retrue::tolerance::{LENGTH_ACCURACY, SAME_POINT};

use crate::generators::{off_polygon, sampled, wild_run};

/// Length by `lyon_geom`'s own flattening, in f64.
fn lyon_length(curve: &Curve) -> f64 {
    let measure = |segment: &PathSeg| match segment {
        PathSeg::Line(line) => (line.p1 - line.p0).hypot(),
        _ => {
            let c = segment.to_cubic();
            let [from, ctrl1, ctrl2, to] = [c.p0, c.p1, c.p2, c.p3].map(|p| lyon_geom::point(p.x, p.y));
            lyon_geom::CubicBezierSegment::<f64> { from, ctrl1, ctrl2, to }.approximate_length(1e-7)
        }
    };
    curve.segments().iter().map(measure).sum()
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/lengths.txt", 256))]

    /// Oracle: `lyon_geom`.
    #[test]
    fn length_is_that_of_another_library(curve in wild_run()) {
        prop_assert!((curve.length() - lyon_length(&curve)).abs() <= 1e-2_f64.min(1e-5 * curve.length()));
    }

    /// A place is as far along as it says: the stretch before it has that length.
    #[test]
    fn stretch_before_a_place_is_as_long_as_the_walk(curve in wild_run(), share in 0.001..0.999) {
        let s = share * curve.length();
        let (before, after) = curve.split_at(s).unwrap();
        prop_assert!((before.length() - s).abs() <= 2.0 * SAME_POINT);
        prop_assert!((before.length() + after.length() - curve.length()).abs() <= 2.0 * LENGTH_ACCURACY);
        prop_assert_eq!(before.end(), after.start());
        prop_assert_eq!(before.start(), curve.start());
        prop_assert_eq!(after.end(), curve.end());
        prop_assert!((before.end() - curve.point_at(s)).hypot() <= 2.0 * SAME_POINT);
    }

    /// Places found one from another are those that are found each by itself.
    #[test]
    fn points_evenly_along_are_where_each_is_by_itself(curve in wild_run(), stretches in 1..400_usize) {
        let points = curve.points_evenly(stretches);
        prop_assert_eq!(points.len(), stretches + 1);
        prop_assert_eq!((points[0], points[stretches]), (curve.start(), curve.end()));
        for (i, point) in points.iter().enumerate() {
            let alone = curve.point_at(curve.length() * (i as f64 / stretches as f64));
            prop_assert!((*point - alone).hypot() <= 2.0 * LENGTH_ACCURACY);
        }
    }

    /// Cutting and joining again gives the same line.
    #[test]
    fn joining_stretches_gives_the_curve_back(curve in wild_run(), share in 0.01..0.99) {
        let (before, after) = curve.split_at(share * curve.length()).unwrap();
        let whole = before.joined(&after).unwrap();
        prop_assert!((whole.length() - curve.length()).abs() <= 2.0 * LENGTH_ACCURACY);
        let points = sampled(&whole, 400);
        for point in sampled(&curve, 7) {
            prop_assert!(whole.nearest(point).distance <= 1e-8);
            prop_assert!(off_polygon(point, &points) <= 0.05);
        }
    }

    /// Oracle: dense sampling.
    #[test]
    fn nearest_is_no_farther_than_any_sample(curve in wild_run(), share in 0.0..1.0, off in -90.0..90.0) {
        let s = share * curve.length();
        let point = curve.point_at(s) + off * curve.normal_outward(s);
        let near = curve.nearest(point);
        for sample in sampled(&curve, 200) {
            prop_assert!(near.distance <= (sample - point).hypot() + 1e-9);
        }
        prop_assert!(near.distance <= f64::abs(off) + 1e-6);
        prop_assert!((curve.point_at(near.at) - near.point).hypot() <= 1e-6);
        prop_assert!((near.distance - (point - near.point).hypot()).abs() <= 1e-12);
    }

    /// Travelling back meets the same places in reverse.
    #[test]
    fn reversed_curve_meets_the_same_places(curve in wild_run(), share in 0.0..1.0) {
        let back = curve.reversed();
        let s = share * curve.length();
        prop_assert!((back.length() - curve.length()).abs() <= 1e-9);
        prop_assert!((back.point_at(curve.length() - s) - curve.point_at(s)).hypot() <= 1e-6);
        prop_assert!((back.swept_area() + curve.swept_area()).abs() <= 1e-6);
        prop_assert_eq!(back.reversed(), curve);
    }

    /// The tangent is the limit of chords, away from joints and cusps.
    #[test]
    fn tangent_is_the_limit_of_chords(curve in wild_run(), share in 0.05..0.95) {
        let s = share * curve.length();
        let step = 1e-3;
        let at_joint = curve.joints().iter().any(|joint| f64::abs(joint.at - s) < 2.0 * step);
        prop_assume!(!at_joint && curve.curvature_at(s).abs() < 1.0);
        let chord = (curve.point_at(s + step) - curve.point_at(s - step)) / (2.0 * step);
        prop_assert!((curve.tangent_at(s) - chord).hypot() <= 0.01);
        let bend = curve.tangent_at(s - step).cross(curve.tangent_at(s + step)) / (2.0 * step);
        prop_assert!((bend - curve.curvature_at(s)).abs() <= 0.05 + 0.05 * bend.abs());
    }

    /// Oracle: dense samples. The distance peaks where the nearest place changes, so samples miss a peak by up to half
    /// their step.
    #[test]
    fn distance_between_curves_is_that_of_samples(a in wild_run(), b in wild_run()) {
        let (mine, theirs) = (sampled(&a, 250), sampled(&b, 250));
        let worst = |from: &[Point], to: &[Point]| from.iter().map(|p| off_polygon(*p, to)).fold(0.0, f64::max);
        let brute = worst(&mine, &theirs).max(worst(&theirs, &mine));
        let steps = mine.windows(2).chain(theirs.windows(2)).map(|pair| (pair[1] - pair[0]).hypot());
        let step = steps.fold(0.0, f64::max);
        let found = a.distance_to(&b);
        prop_assert!(found >= brute - 0.1 && found <= brute + step / 2.0 + 0.1, "{} against {}", found, brute);
        prop_assert!(a.distance_to(&a.reversed()) <= 1e-7);
    }
}

fn corner() -> Curve {
    Curve::polyline(&[Point::new(0.0, 0.0), Point::new(30.0, 0.0), Point::new(30.0, 40.0)]).unwrap()
}

#[test]
fn joints_turn_clockwise_as_seen() {
    let joints = corner().joints();
    assert_eq!(joints.len(), 1);
    approx::assert_abs_diff_eq!(joints[0].at, 30.0);
    approx::assert_abs_diff_eq!(joints[0].turn, std::f64::consts::FRAC_PI_2);
}

#[test]
fn tangents_at_a_joint_are_told_apart() {
    let curve = corner();
    assert_eq!(curve.tangent_before(30.0), kurbo::Vec2::new(1.0, 0.0));
    assert_eq!(curve.tangent_at(30.0), kurbo::Vec2::new(0.0, 1.0));
    assert_eq!(curve.normal_outward(10.0), kurbo::Vec2::new(0.0, -1.0));
}

#[test]
fn stretch_cut_at_a_joint_has_no_sliver() {
    let curve = corner();
    let after = curve.stretch(30.0 - SAME_POINT / 2.0, 70.0).unwrap();
    assert_eq!(after.segments().len(), 1);
    assert_eq!(after.start(), Point::new(30.0, 0.0));
}

#[test]
fn stretch_beyond_the_curve_is_refused() {
    let curve = corner();
    for (from, to) in [(-1.0, 5.0), (5.0, 71.0), (5.0, 5.0), (6.0, 5.0), (f64::NAN, 5.0), (5.0, f64::NAN)] {
        assert!(matches!(curve.stretch(from, to), Err(CurveError::OutOfRange { .. })), "{from} {to}");
    }
}

#[test]
fn welding_moves_both_ends_to_the_middle() {
    let a = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0)).unwrap();
    let b = Curve::line(Point::new(10.2, 0.0), Point::new(20.0, 0.0)).unwrap();
    assert!(matches!(a.joined(&b), Err(CurveError::Gap { .. })));
    let whole = a.joined_within(&b, 0.5).unwrap();
    approx::assert_abs_diff_eq!(whole.length(), 20.0, epsilon = 1e-12);
    approx::assert_abs_diff_eq!(whole.segments()[0].to_cubic().p3.x, 10.1, epsilon = 1e-12);
}

#[test]
fn running_on_adds_to_the_length_along_the_tangents() {
    let long = corner().run_on(5.0, 7.0);
    approx::assert_abs_diff_eq!(long.length(), 82.0, epsilon = 1e-12);
    assert_eq!(long.start(), Point::new(-5.0, 0.0));
    assert_eq!(long.end(), Point::new(30.0, 47.0));
}

/// The sagitta of an arc and the tolerance asked for tell a straight line from a bowed one.
#[test]
fn straightness_is_measured_from_the_chord() {
    let bowed = Curve::smooth_through(&[Point::new(0.0, 0.0), Point::new(50.0, 1.0), Point::new(100.0, 0.0)])
        .unwrap();
    assert!(!bowed.is_straight(0.5));
    assert!(bowed.is_straight(1.5));
    let back =
        Curve::polyline(&[Point::new(0.0, 0.0), Point::new(50.0, 0.0), Point::new(40.0, 0.0)]).unwrap();
    assert!(!back.is_straight(1.0));
}
