//! Curves that a careless drawing or a hostile file may hold: nothing panics, hangs, or lets a bad number through.

use crate::counted::{counted, kept_in};
use kurbo::{Affine, BezPath, CubicBez, Line, PathSeg, Point, QuadBez};
use proptest::prelude::*;
use retrue::curve::{
    Curve, CurveError, Outline, blend_corner, blend_corner_to_length, fit_through, offset,
    path_crosses_itself, trim_positive,
};
use retrue::tolerance::SAME_POINT;

/// Coordinates that often coincide, or lie a hair apart.
fn coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-2..3_i32).prop_map(|k| 40.0 * f64::from(k)),
        1 => prop::sample::select(vec![1e-7, -1e-7, 40.0 + 1e-6, 1e-9, 40.0 - 3e-6, 99_999.0]),
        1 => -100.0..100.0,
    ]
}

fn hostile_coordinate() -> impl Strategy<Value = f64> {
    let bad = vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e38, -1e38, 1e6, f64::MIN_POSITIVE, -0.0];
    prop_oneof![2 => coordinate(), 1 => prop::sample::select(bad)]
}

fn segments(coordinate: impl Strategy<Value = f64> + Clone) -> impl Strategy<Value = Vec<PathSeg>> {
    let point = (coordinate.clone(), coordinate).prop_map(Point::from);
    let step = (0..3_u8, [point.clone(), point.clone(), point.clone()]);
    (point, prop::collection::vec(step, 1..5)).prop_map(|(start, steps)| {
        let mut from = start;
        let draw = |(kind, [b, c, d]): (u8, [Point; 3])| {
            let begin = std::mem::replace(&mut from, d);
            match kind {
                0 => PathSeg::Line(Line::new(begin, d)),
                1 => PathSeg::Quad(QuadBez::new(begin, b, d)),
                _ => PathSeg::Cubic(CubicBez::new(begin, b, c, d)),
            }
        };
        steps.into_iter().map(draw).collect()
    })
}

fn sound(curve: &Curve) -> bool {
    curve.segments().iter().all(|segment| segment.is_finite() && !matches!(segment, PathSeg::Quad(_)))
        && curve.segments().windows(2).all(|pair| pair[0].to_cubic().p3 == pair[1].to_cubic().p0)
        && curve.length() > 0.0
        && curve.length().is_finite()
}

fn asked_everything(curve: &Curve, other: &Curve) -> Result<(), TestCaseError> {
    prop_assert!(sound(curve));
    for s in [0.0, curve.length() / 3.0, curve.length(), -1.0, 1e9, f64::NAN] {
        prop_assert!(curve.point_at(s).is_finite());
        prop_assert!((curve.tangent_at(s).hypot() - 1.0).abs() <= 1e-9);
        prop_assert!((curve.tangent_before(s).hypot() - 1.0).abs() <= 1e-9);
        prop_assert!(curve.curvature_at(s).is_finite());
    }
    for crossing in curve.crossings(other) {
        prop_assert!(crossing.at.is_finite() && crossing.other_at.is_finite() && crossing.point.is_finite());
    }
    curve.crosses_itself();
    prop_assert!(curve.nearest(other.start()).distance.is_finite());
    prop_assert!(curve.bounds().is_finite());
    for distance in [15.0, -15.0, 0.0, 300.0] {
        if let Ok(beside) = offset(curve, distance, 0.01) {
            prop_assert!(sound(&beside));
        }
    }
    if let Ok((a, b)) = curve.split_at(curve.length() * 0.37) {
        prop_assert!(sound(&a) && sound(&b));
        prop_assert_eq!(a.end(), b.start());
        let reach = a.length().min(b.length()) / 2.0;
        let wished = blend_corner_to_length(&a, &b, reach, 3.0 * reach, 1.0);
        for blend in [blend_corner(&a, &b, reach), wished].into_iter().flatten() {
            prop_assert!(sound(&blend.curve));
        }
    }
    prop_assert!(sound(&curve.run_on(5.0, f64::NAN)));
    if let Ok(fitted) = fit_through(&curve.flattened(0.5), None, None, 0.05) {
        prop_assert!(sound(&fitted));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn hostile_curves_are_refused_or_sound(parts in segments(hostile_coordinate().boxed())) {
        match Curve::new(parts.clone()) {
            Ok(curve) => asked_everything(&curve, &curve.reversed())?,
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
        let path = BezPath::from_path_segments(parts.into_iter());
        path_crosses_itself(&path);
        let _ = Curve::from_path(&path);
        let _ = trim_positive(&path);
    }

    #[test]
    fn careless_rings_are_trimmed(parts in segments(coordinate().boxed())) {
        let mut path = BezPath::from_path_segments(parts.into_iter());
        path.close_path();
        if let Ok(rings) = trim_positive(&path) {
            prop_assert!(rings.iter().all(BezPath::is_finite));
        }
        path_crosses_itself(&path);
        if let Ok(ring) = Curve::from_path(&path).and_then(|curve| Outline::new([curve])) {
            ring.self_crossings();
            prop_assert!(ring.area().is_finite());
            ring.contains(Point::new(10.0, 10.0));
        }
    }
}

#[test]
fn careless_curves_answer_everything() {
    let config = kept_in("tests/proptest-regressions/degenerate.txt", 400);
    let cases = (segments(coordinate().boxed()), segments(coordinate().boxed()));
    counted(config, cases, |(a, b)| {
        let (Ok(a), Ok(b)) = (Curve::new(a), Curve::new(b)) else { return Ok(false) };
        asked_everything(&a, &b)?;
        Ok(true)
    });
}

#[test]
fn not_a_number_and_far_away_are_told_apart() {
    let p = Point::new(0.0, 0.0);
    assert_eq!(Curve::line(p, Point::new(f64::NAN, 0.0)), Err(CurveError::NotFinite));
    assert!(matches!(Curve::line(p, Point::new(1e38, 0.0)), Err(CurveError::TooFar { .. })));
    assert_eq!(Curve::line(p, p), Err(CurveError::Empty));
    assert_eq!(Curve::new([]), Err(CurveError::Empty));
    assert_eq!(Curve::from_path(&BezPath::new()), Err(CurveError::Empty));
}

#[test]
fn several_runs_are_refused() {
    let two = BezPath::from_svg("M0 0L10 0M20 0L30 0").unwrap();
    assert_eq!(Curve::from_path(&two), Err(CurveError::SeveralRuns { count: 2 }));
    let lone_move = BezPath::from_svg("M5 5M20 0L30 0Z").unwrap();
    assert_eq!(Curve::from_path(&lone_move).unwrap().segments().len(), 2);
}

/// A thousand steps, each too short to keep by itself, still lead from start to end.
#[test]
fn dust_is_gathered_and_not_lost() {
    let points: Vec<Point> = (0..=1000).map(|k| Point::new(f64::from(k) * 0.9 * SAME_POINT, 0.0)).collect();
    let curve = Curve::polyline(&points).unwrap();
    assert!((curve.end() - points[1000]).hypot() <= SAME_POINT);
    assert!((curve.length() - 0.9e-3).abs() <= 2.0 * SAME_POINT);
}

#[test]
fn handles_on_the_ends_leave_a_tangent() {
    let p = [Point::new(0.0, 0.0), Point::new(60.0, 60.0), Point::new(100.0, 0.0)];
    let curve = Curve::new([PathSeg::Cubic(CubicBez::new(p[0], p[0], p[1], p[2]))]).unwrap();
    let diagonal = kurbo::Vec2::new(1.0, 1.0).normalize();
    assert!((curve.start_tangent() - diagonal).hypot() < 1e-12);
    let pressed = Curve::new([PathSeg::Cubic(CubicBez::new(p[0], p[0], p[2], p[2]))]).unwrap();
    assert!((pressed.end_tangent() - kurbo::Vec2::new(1.0, 0.0)).hypot() < 1e-12);
    assert_eq!(offset(&pressed, 15.0, 0.01).unwrap().segments().len(), 1);
}

/// A cubic that runs out and back along one line offsets to a handful of lines, not to hundreds of cubics.
#[test]
fn doubled_back_cubic_offsets_to_few_lines() {
    let out_and_back = CubicBez::new((0.0, 0.0), (120.0, 0.0), (120.0, 0.0), (10.0, 0.0));
    let beside = offset(&Curve::new([PathSeg::Cubic(out_and_back)]).unwrap(), 15.0, 0.01).unwrap();
    assert!(beside.segments().len() <= 8, "{}", beside.segments().len());
}

#[test]
fn squashing_a_curve_to_a_point_is_refused() {
    let curve = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0)).unwrap();
    assert_eq!(curve.transformed(Affine::scale(0.0)), Err(CurveError::Empty));
    assert_eq!(curve.with_ends(Point::new(1.0, 1.0), Point::new(1.0, 1.0)), Err(CurveError::Empty));
}
