//! Rigid motions.

use crate::counted::kept_in;
use kurbo::{Point, Vec2};
use proptest::prelude::*;
use retrue::curve::{CurveError, Motion, Radians};

use crate::generators::{point, wild_run};

fn motion() -> impl Strategy<Value = Motion> {
    (point(), point(), point(), point(), any::<bool>()).prop_filter_map(
        "two directions",
        |(a, b, c, d, mirrored)| {
            if mirrored {
                Motion::carry_mirrored((a, b), (c, d)).ok()
            } else {
                Motion::carry((a, b), (c, d)).ok()
            }
        },
    )
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/motions.txt", 256))]

    #[test]
    fn motion_keeps_lengths_and_areas(m in motion(), curve in wild_run()) {
        let moved = curve.moved(&m);
        prop_assert!((moved.length() - curve.length()).abs() <= 1e-8);
        for (a, b) in moved.joints().iter().zip(curve.joints()) {
            let turn = if m.is_mirrored() { -b.turn } else { b.turn };
            let off = (a.turn - turn).abs();
            prop_assert!(off.min(std::f64::consts::TAU - off) <= 1e-6);
        }
    }

    #[test]
    fn there_and_back_is_where_it_was(m in motion(), p in point()) {
        prop_assert!((m.inverse().apply(m.apply(p)) - p).hypot() <= 1e-9);
        prop_assert!((m.then(&m.inverse()).apply(p) - p).hypot() <= 1e-9);
    }

    #[test]
    fn one_after_the_other_is_their_product(m in motion(), n in motion(), p in point()) {
        let both = m.then(&n);
        prop_assert!((both.apply(p) - n.apply(m.apply(p))).hypot() <= 1e-9);
        prop_assert_eq!(both.is_mirrored(), m.is_mirrored() != n.is_mirrored());
        prop_assert!((both.to_affine() * p - n.to_affine() * (m.to_affine() * p)).hypot() <= 1e-9);
    }

    #[test]
    fn stored_motion_is_read_back_exactly(m in motion()) {
        prop_assert_eq!(Motion::from_array(m.to_array()).unwrap(), m);
        let written = m.to_array().map(|entry| format!("{entry:.7}").parse().unwrap());
        let read = Motion::from_array(written).unwrap();
        prop_assert!((read.apply(Point::new(100.0, 50.0)) - m.apply(Point::new(100.0, 50.0))).hypot() <= 1e-4);
    }

    #[test]
    fn carry_lays_point_on_point_and_direction_on_direction(a in point(), b in point(), c in point(), d in point()) {
        prop_assume!((a - b).hypot() > 1.0 && (c - d).hypot() > 1.0);
        for m in [Motion::carry((a, b), (c, d)).unwrap(), Motion::carry_mirrored((a, b), (c, d)).unwrap()] {
            prop_assert!((m.apply(a) - c).hypot() <= 1e-9);
            let (got, wished) = (m.apply_vec(b - a).normalize(), (d - c).normalize());
            prop_assert!((got - wished).hypot() <= 1e-12);
        }
    }

    #[test]
    fn turn_is_clockwise_as_seen(centre in point(), by in -3.1..3.1_f64) {
        let m = Motion::turn_about(centre, Radians(by));
        prop_assert!((m.apply(centre) - centre).hypot() <= 1e-9);
        prop_assert!((m.turn() - by).abs() <= 1e-12);
        let quarter = Motion::turn_about(Point::ZERO, Radians(std::f64::consts::FRAC_PI_2));
        prop_assert!((quarter.apply_vec(Vec2::new(1.0, 0.0)) - Vec2::new(0.0, 1.0)).hypot() <= 1e-12);
    }

    #[test]
    fn mirroring_keeps_its_line_and_swaps_its_sides(a in point(), b in point(), p in point()) {
        prop_assume!((a - b).hypot() > 1.0);
        let m = Motion::mirror_in(a, b).unwrap();
        prop_assert!(m.is_mirrored());
        prop_assert!((m.apply(a) - a).hypot() <= 1e-9 && (m.apply(b) - b).hypot() <= 1e-9);
        prop_assert!(((m.apply(p) - a).cross(b - a) + (p - a).cross(b - a)).abs() <= 1e-6);
        prop_assert!((m.apply(m.apply(p)) - p).hypot() <= 1e-9);
    }
}

#[test]
fn stretching_or_shearing_is_refused() {
    for entries in [
        [1.1, 0.0, 0.0, 1.0, 0.0, 0.0],
        [1.0, 0.0, 0.3, 1.0, 0.0, 0.0],
        [0.0; 6],
        [2.0, 0.0, 0.0, 2.0, 0.0, 0.0],
    ] {
        assert!(matches!(Motion::from_array(entries), Err(CurveError::NotRigid { .. })), "{entries:?}");
    }
    assert_eq!(Motion::from_array([f64::NAN; 6]), Err(CurveError::NotFinite));
    let p = Point::new(3.0, 3.0);
    assert_eq!(Motion::mirror_in(p, p), Err(CurveError::NoDirection { at: p }));
}
