//! Rounded corners.

use kurbo::{Point, Vec2};
use proptest::prelude::*;
use retrue::curve::{Curve, CurveError, blend_corner, blend_corner_to_length};

use crate::generators::gentle_cubic;

fn sides(turn: f64) -> (Curve, Curve) {
    let corner = Point::new(100.0, 20.0);
    let heading = Vec2::from_angle(turn);
    let before = Curve::line(corner - Vec2::new(90.0, 0.0), corner).unwrap();
    let after = Curve::line(corner, corner + 90.0 * heading).unwrap();
    (before, after)
}

/// Figures of the design: with 30 mm either side a tangent blend is 0.4 mm shorter than a corner of 16°, 0.6 at 20°
/// and 1.4 at 30°. A parabola of two legs `r` turning by `a` passes `r sin(a / 2) / 2` from its corner.
#[test]
fn tangent_blend_is_shorter_by_the_known_figures() {
    for (degrees, shortening) in [(16.0_f64, 0.4), (20.0, 0.6), (30.0, 1.4)] {
        for sign in [1.0, -1.0] {
            let (before, after) = sides(sign * degrees.to_radians());
            let blend = blend_corner(&before, &after, 30.0).unwrap();
            approx::assert_abs_diff_eq!(blend.shortening, shortening, epsilon = 0.06);
            approx::assert_abs_diff_eq!(blend.shortening, 60.0 - blend.curve.length(), epsilon = 1e-9);
            let sagitta = 15.0 * (degrees.to_radians() / 2.0).sin();
            approx::assert_abs_diff_eq!(blend.leaves_corner_by, sagitta, epsilon = 1e-9);
        }
    }
}

proptest! {
    /// Tangent to what it joins, at the very points where it joins.
    #[test]
    fn blend_is_tangent_to_both_sides(before in gentle_cubic(), turn in -0.6..0.6_f64, reach in 5.0..40.0) {
        let heading = before.end_tangent().atan2() + turn;
        let after = Curve::line(before.end(), before.end() + 60.0 * Vec2::from_angle(heading)).unwrap();
        let blend = blend_corner(&before, &after, reach).unwrap();
        let kept = before.stretch(0.0, before.length() - reach).unwrap();
        let rest = after.stretch(reach, after.length()).unwrap();
        let whole = kept.joined(&blend.curve).unwrap().joined(&rest).unwrap();
        prop_assert!(whole.joints().iter().all(|joint| joint.turn.abs() <= 1e-5));
        prop_assert_eq!(blend.curve.crosses_itself(), None);
    }

    /// The wished length is reached where the departure allows it, and the departure is kept in any case.
    #[test]
    fn blend_comes_near_the_wished_length(turn in 0.05..0.7_f64, longer in -0.3..1.6_f64) {
        let (before, after) = sides(turn);
        let plain = blend_corner(&before, &after, 30.0).unwrap();
        let wished = plain.curve.length() + longer * plain.shortening;
        let blend = blend_corner_to_length(&before, &after, 30.0, wished, 1.0).unwrap();
        let most_inside = plain.leaves_corner_by.max(1.0) + 1e-9;
        prop_assert!(blend.leaves_corner_by >= -1.0 - 1e-9 && blend.leaves_corner_by <= most_inside);
        let reached = (blend.curve.length() - wished).abs() <= 1e-6;
        let at_limit = blend.leaves_corner_by <= -1.0 + 1e-3 || blend.leaves_corner_by >= most_inside - 1e-3;
        prop_assert!(reached || at_limit, "{:?} wished {}", blend, wished);
        prop_assert!((blend.curve.length() - wished).abs() <= (plain.curve.length() - wished).abs() + 1e-9);
        prop_assert_eq!(blend.curve.crosses_itself(), None);
    }
}

/// A corner of 16° can be given the very length of its two sides.
#[test]
fn small_corner_keeps_its_whole_length() {
    let (before, after) = sides(16.0_f64.to_radians());
    let blend = blend_corner_to_length(&before, &after, 30.0, 60.0, 1.0).unwrap();
    approx::assert_abs_diff_eq!(blend.shortening, 0.0, epsilon = 1e-6);
    assert!(blend.leaves_corner_by.abs() <= 1.0);
}

#[test]
fn blend_longer_than_a_side_is_refused() {
    let (before, after) = sides(0.3);
    assert!(matches!(blend_corner(&before, &after, 95.0), Err(CurveError::ReachTooLong { .. })));
    assert!(matches!(blend_corner(&after, &before, 10.0), Err(CurveError::Gap { .. })));
    for reach in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(blend_corner(&before, &after, reach), Err(CurveError::BadMeasure { .. })));
    }
    assert!(blend_corner(&before, &after, 90.0).is_ok());
}
