//! Curves through points.

use kurbo::{Point, Vec2};
use proptest::prelude::*;
use retrue::curve::{Curve, CurveError, fit_through};

use crate::generators::{gentle_run, sampled};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Every sample within the distance, ends exact, no corner inside, and fewer cubics than samples.
    #[test]
    fn fit_passes_every_sample(curve in gentle_run(), within in 0.01..0.1) {
        let samples: Vec<Point> =
            (0..=120).map(|k| curve.point_at(curve.length() * f64::from(k) / 120.0)).collect();
        let fitted = fit_through(&samples, Some(curve.start_tangent()), Some(curve.end_tangent()), within).unwrap();
        for sample in &samples {
            prop_assert!(fitted.nearest(*sample).distance <= within);
        }
        prop_assert!(fitted.distance_to(&curve) <= 2.0 * within);
        prop_assert_eq!(fitted.start(), samples[0]);
        prop_assert_eq!(fitted.end(), samples[120]);
        prop_assert!(fitted.joints().iter().all(|joint| joint.turn.abs() <= 1e-4));
        prop_assert!(fitted.start_tangent().cross(curve.start_tangent()).abs() <= 1e-4);
        prop_assert!(fitted.segments().len() <= 4 * curve.segments().len(), "{}", fitted.segments().len());
    }

    /// Free ends follow the samples too.
    #[test]
    fn fit_with_free_ends_passes_every_sample(curve in gentle_run()) {
        let samples = sampled(&curve, 30);
        let fitted = fit_through(&samples, None, None, 0.02).unwrap();
        for sample in &samples {
            prop_assert!(fitted.nearest(*sample).distance <= 0.02);
        }
        prop_assert!(fitted.start_tangent().cross(curve.start_tangent()).abs() <= 0.02);
    }

    /// The spline passes through its points, and its direction and bending go on across them.
    #[test]
    fn spline_bends_on_across_its_points(ys in prop::collection::vec(-60.0..60.0_f64, 3..9)) {
        let points: Vec<Point> = ys.iter().enumerate().map(|(i, y)| Point::new(60.0 * i as f64, *y)).collect();
        let curve = Curve::smooth_through(&points).unwrap();
        prop_assert_eq!(curve.segments().len(), points.len() - 1);
        for (joint, point) in curve.joints().iter().zip(&points[1..]) {
            prop_assert!((curve.point_at(joint.at) - *point).hypot() <= 1e-9);
            prop_assert!(joint.turn.abs() <= 1e-9);
            let (before, after) = (curve.curvature_at(joint.at - 1e-4), curve.curvature_at(joint.at + 1e-4));
            prop_assert!((before - after).abs() <= 1e-4);
        }
        prop_assert!(curve.curvature_at(0.0).abs() <= 1e-9);
    }
}

#[test]
fn two_points_give_a_line() {
    let ends = [Point::new(1.0, 2.0), Point::new(30.0, 40.0)];
    assert_eq!(Curve::smooth_through(&ends).unwrap(), Curve::line(ends[0], ends[1]).unwrap());
    assert_eq!(fit_through(&ends, None, None, 0.02).unwrap(), Curve::line(ends[0], ends[1]).unwrap());
}

/// A quarter circle of 100 mm: one cubic comes within 0.03 mm (the well-known 2.7e-4 of the radius).
#[test]
fn quarter_circle_takes_few_cubics() {
    let samples: Vec<Point> =
        (0..=90).map(|d| Point::ZERO + 100.0 * Vec2::from_angle(f64::from(d).to_radians())).collect();
    let fitted = fit_through(&samples, Some(Vec2::new(0.0, 1.0)), Some(Vec2::new(-1.0, 0.0)), 0.05).unwrap();
    assert!(fitted.segments().len() <= 2, "{}", fitted.segments().len());
    approx::assert_abs_diff_eq!(fitted.length(), 50.0 * std::f64::consts::PI, epsilon = 0.1);
}

#[test]
fn samples_on_a_line_give_a_line() {
    let samples: Vec<Point> = (0..40).map(|k| Point::new(f64::from(k) * 3.0, f64::from(k) * 4.0)).collect();
    assert_eq!(fit_through(&samples, None, None, 0.02).unwrap().segments().len(), 1);
}

/// A hem of 400 mm that bends by 20, drawn with a point each fiftieth of a millimetre and rounded to thousandths: from point to
/// point it turns by degrees, to and fro. No more than one in eight is passed through, and all others as closely as asked.
#[test]
fn what_was_rounded_off_dense_samples_is_not_followed() {
    let place = |k: u32| {
        let share = f64::from(k) / 20_000.0;
        let rounded = |number: f64| (number * 1e3).round() / 1e3;
        Point::new(rounded(400.0 * share), rounded(20.0 * (std::f64::consts::PI * share).sin()))
    };
    let samples: Vec<Point> = (0..=20_000).map(place).collect();
    for ends in [None, Some((samples[1] - samples[0], samples[20_000] - samples[19_999]))] {
        let (start, end) = ends.unzip();
        let fitted = fit_through(&samples, start, end, 0.0025).unwrap();
        assert!(fitted.segments().len() <= 2_520, "{} cubics", fitted.segments().len());
        assert!(samples.iter().step_by(7).all(|sample| fitted.nearest(*sample).distance <= 0.0025));
        assert_eq!((fitted.start(), fitted.end()), (samples[0], samples[20_000]));
    }
}

/// The teeth of a saw, coarser than the distance, stay: the spline through each.
#[test]
fn a_saw_keeps_its_teeth() {
    let place = |k: u32| Point::new(f64::from(k) * 0.1, if k.is_multiple_of(2) { 0.0 } else { 0.1 });
    let samples: Vec<Point> = (0..=4_000).map(place).collect();
    let fitted = fit_through(&samples, None, None, 0.02).unwrap();
    assert_eq!(fitted.segments().len(), 4_000);
    assert!(samples.iter().step_by(7).all(|sample| fitted.nearest(*sample).distance <= 1e-9));
}

#[test]
fn senseless_samples_are_refused() {
    let one = Point::new(1.0, 1.0);
    assert_eq!(fit_through(&[], None, None, 0.02), Err(CurveError::Empty));
    assert_eq!(fit_through(&[one, one], None, None, 0.02), Err(CurveError::Empty));
    assert_eq!(Curve::smooth_through(&[one]), Err(CurveError::Empty));
    let two = [one, Point::new(f64::NAN, 0.0)];
    assert_eq!(fit_through(&two, None, None, 0.02), Err(CurveError::NotFinite));
    let good = [one, Point::new(5.0, 9.0)];
    assert!(matches!(fit_through(&good, Some(Vec2::ZERO), None, 0.02), Err(CurveError::NoDirection { .. })));
    assert!(matches!(fit_through(&good, None, None, 0.0), Err(CurveError::BadMeasure { .. })));
}
