//! Parallel curves and their trimming.

use clipper2_rust::{EndType, FillRule, JoinType, Point as ClipperPoint, inflate_paths_d, union_subjects_d};
use kurbo::{BezPath, ParamCurve, PathEl, Point, Shape};
use proptest::prelude::*;
use retrue::curve::{Curve, CurveError, Outline, largest_loop, offset, path_crosses_itself, trim_positive};
use retrue::tolerance::{FINEST_ACCURACY, OFFSET_ACCURACY};

use crate::counted::kept_in;
use crate::generators::{ellipse, gentle_cubic, gentle_run, off_polygon, outline, sampled};

/// The smallest radius of the bends that turn towards the side of an offset.
fn tightest(curve: &Curve, distance: f64) -> f64 {
    let bend = |k: usize| -curve.curvature_at(curve.length() * k as f64 / 400.0) * distance.signum();
    1.0 / (0..=400).map(bend).fold(1e-9, f64::max)
}

fn stands_off(curve: &Curve, distance: f64, accuracy: f64) -> Result<(), TestCaseError> {
    let beside = offset(curve, distance, accuracy).unwrap();
    let slack = accuracy + 1e-3;
    let (source, result) = (sampled(curve, 1500), sampled(&beside, 600));
    for point in &result {
        let off = off_polygon(*point, &source);
        prop_assert!((off - f64::abs(distance)).abs() <= slack, "{} for {}", off, distance);
    }
    for k in 0..=40 {
        let s = curve.length() * f64::from(k) / 40.0;
        let wished = curve.point_at(s) + distance * curve.normal_outward(s);
        prop_assert!(off_polygon(wished, &result) <= slack);
    }
    let ends = [
        (curve.start(), curve.start_tangent(), beside.start()),
        (curve.end(), curve.end_tangent(), beside.end()),
    ];
    for (end, tangent, beside_end) in ends {
        prop_assert!(((beside_end - end).hypot() - distance.abs()).abs() <= 1e-9);
        prop_assert!((beside_end - end).dot(tangent).abs() <= 1e-9);
        prop_assert!((beside_end - end).cross(tangent) * distance > 0.0);
    }
    Ok(())
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/offsets.txt", 64))]

    /// Oracle: dense polygons of both curves.
    #[test]
    fn offset_stands_off_everywhere(curve in gentle_cubic(), distance in -40.0..40.0_f64) {
        prop_assume!(distance.abs() > 0.5 && tightest(&curve, distance) > 1.1 * distance.abs());
        stands_off(&curve, distance, OFFSET_ACCURACY)?;
    }

    /// Oracle: dense polygons of both curves.
    #[test]
    fn offset_of_a_smooth_run_stands_off_everywhere(curve in gentle_run(), distance in -20.0..20.0_f64) {
        prop_assume!(distance.abs() > 0.5 && tightest(&curve, distance) > 1.1 * distance.abs());
        stands_off(&curve, distance, OFFSET_ACCURACY)?;
        let beside = offset(&curve, distance, OFFSET_ACCURACY).unwrap();
        prop_assert_eq!(beside.crosses_itself(), None);
    }

    /// Going the other way puts the same line on the other hand.
    #[test]
    fn offset_of_the_reversed_curve_is_the_same_line(curve in gentle_run(), distance in -20.0..20.0_f64) {
        prop_assume!(distance.abs() > 0.5 && tightest(&curve, distance) > 1.1 * distance.abs());
        let there = offset(&curve, distance, OFFSET_ACCURACY).unwrap();
        let back = offset(&curve.reversed(), -distance, OFFSET_ACCURACY).unwrap();
        prop_assert!(there.distance_to(&back) <= 2.0 * OFFSET_ACCURACY);
    }

    /// Steiner's formula: the area within `d` of a convex region is `A + P d + π d²`.
    #[test]
    fn offset_of_a_convex_ring_grows_by_steiner(width in 80.0..500.0, height in 80.0..500.0, distance in 1.0..40.0_f64) {
        let ring = ellipse(width, height);
        let beside = |curve: &Curve| offset(curve, distance, OFFSET_ACCURACY).unwrap();
        let grown = Outline::new(ring.curves().iter().map(beside)).unwrap();
        let expected = ring.area() + ring.perimeter() * distance + std::f64::consts::PI * distance * distance;
        prop_assert!((grown.area() - expected).abs() <= grown.perimeter() * OFFSET_ACCURACY);
    }

    /// Oracles: `clipper2-rust`, which finds the positive part of the same raw outline, and which offsets the flattened
    /// ring by itself (its mitres are up to 0.3 mm off).
    #[test]
    fn trimmed_offset_has_the_area_of_another_library(ring in outline(), distance in 4.0..60.0_f64) {
        let raw = raw_inward(&ring, distance);
        let mine: f64 = trim_positive(&raw).unwrap().iter().map(Shape::area).sum();
        let same_raw = clipper_positive(&raw);
        let own_offset = clipper_inward(&ring, distance);
        prop_assert!((mine - same_raw).abs() <= 1e-3 * ring.perimeter(), "{} against {}", mine, same_raw);
        prop_assert!((mine - own_offset).abs() <= 0.02 * ring.perimeter(), "{} against {}", mine, own_offset);
    }

    /// Cutting off the loops that hang outside leaves what sweeping leaves, and tells where something was taken off.
    #[test]
    fn the_largest_loop_is_that_of_the_sweep(ring in outline(), distance in 1.0..40.0_f64) {
        let raw = raw_inward(&ring, distance);
        let swept = trim_positive(&raw).unwrap().first().map(Shape::area);
        prop_assume!(swept.is_some_and(|area| area > 1.0));
        let freed = largest_loop(raw.clone()).unwrap();
        let off = (freed.path.area() - swept.unwrap_or(0.0)).abs();
        prop_assert!(off <= 1e-3 * ring.perimeter(), "{} of {:?}", freed.path.area(), swept);
        let left = Curve::from_path(&freed.path).unwrap();
        for place in Curve::from_path(&raw).unwrap().flattened(0.05) {
            let told = freed.taken_off.iter().any(|lost| lost.inflate(0.01, 0.01).contains(place));
            prop_assert!(told || left.nearest(place).distance <= 0.01, "{place:?}");
        }
    }

    /// An untangled ring keeps its area when untangled again.
    #[test]
    fn trimming_twice_changes_nothing(ring in outline(), distance in 4.0..60.0_f64) {
        let raw = raw_inward(&ring, distance);
        for once in trim_positive(&raw).unwrap() {
            prop_assume!(once.area() > 1.0);
            let twice: f64 = trim_positive(&once).unwrap().iter().map(Shape::area).sum();
            prop_assert!((twice - once.area()).abs() <= OFFSET_ACCURACY * once.perimeter(1e-3));
        }
    }
}

/// The edges' offsets to the inside. Where they part they run on to their meeting; where they cross each is led to the
/// next through the corner itself.
/// A curve as a drawing program flattens it: straight lines between points on it.
fn flattened(curve: &Curve, lines: u32) -> Curve {
    let at = |k: u32| curve.point_at(curve.length() * f64::from(k) / f64::from(lines));
    Curve::polyline(&(0..=lines).map(at).collect::<Vec<Point>>()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Oracle: the curve that the lines were taken from.
    #[test]
    fn offset_of_dense_lines_is_that_of_their_curve(
        curve in gentle_run(), distance in -20.0..20.0_f64, lines in 1_500_u32..6_000,
    ) {
        prop_assume!(distance.abs() > 0.5 && tightest(&curve, distance) > 1.1 * distance.abs());
        let beside = offset(&flattened(&curve, lines), distance, OFFSET_ACCURACY).unwrap();
        let (source, result) = (sampled(&curve, 3000), sampled(&beside, 600));
        for point in &result {
            let off = off_polygon(*point, &source);
            prop_assert!((off - f64::abs(distance)).abs() <= OFFSET_ACCURACY + 1e-3, "{} for {}", off, distance);
        }
        prop_assert!(beside.segments().len() < 200, "{} segments", beside.segments().len());
    }
}

/// A hem drawn as a wave of 20,000 points whose bends are sharper than its allowance is deep: the raw line crosses itself
/// as often as that of the curve does, and not once for each point.
#[test]
fn dense_wave_deeper_than_its_bends_is_trimmed_like_its_curve() {
    let wave = |k: u32| Point::new(f64::from(k) * 0.02, 3.0 * (f64::from(k) / 530.0).sin());
    let hem = Curve::polyline(&(0..=20_000).map(wave).collect::<Vec<Point>>()).unwrap();
    let mut line = offset(&hem, -40.0, OFFSET_ACCURACY).unwrap().to_path();
    assert!(line.segments().count() < 400, "{}", line.segments().count());
    line.line_to((400.0, 200.0));
    line.line_to((0.0, 200.0));
    line.close_path();
    let largest = clipper_positive(&line);
    let left = largest_loop(line).unwrap().path;
    assert!(!path_crosses_itself(&left));
    assert!((left.area() - largest).abs() < 1e-3 * largest, "{} {largest}", left.area());
}

fn raw_inward(ring: &Outline, distance: f64) -> BezPath {
    let mut raw = BezPath::new();
    let edges = ring.curves();
    for (index, curve) in edges.iter().enumerate() {
        let beside = offset(curve, -distance, OFFSET_ACCURACY).unwrap();
        if index == 0 {
            raw.move_to(beside.start());
        }
        raw.extend(beside.to_path().into_iter().skip(1));
        let next = &edges[(index + 1) % edges.len()];
        let (arriving, leaving) = (curve.end_tangent(), next.start_tangent());
        let turn = arriving.cross(leaving).atan2(arriving.dot(leaving));
        let parts = turn < 0.0;
        raw.line_to(if parts {
            beside.end() + distance * (-turn / 2.0).tan() * arriving
        } else {
            curve.end()
        });
        raw.line_to(next.start() - distance * next.normal_outward(0.0));
    }
    raw.close_path();
    raw
}

fn clipper_inward(ring: &Outline, distance: f64) -> f64 {
    let polygon = clipper_polygon(&ring.to_path(), 1e-3);
    clipper_area(&inflate_paths_d(
        &vec![polygon],
        -distance,
        JoinType::Miter,
        EndType::Polygon,
        10.0,
        5,
        1e-3,
    ))
}

fn clipper_positive(raw: &BezPath) -> f64 {
    clipper_area(&vec![clipper_polygon(raw, 1e-4)])
}

fn clipper_polygon(path: &BezPath, within: f64) -> Vec<ClipperPoint<f64>> {
    let mut points = Vec::new();
    kurbo::flatten(path, within, |el| {
        if let PathEl::MoveTo(p) | PathEl::LineTo(p) = el {
            points.push(ClipperPoint { x: p.x, y: p.y });
        }
    });
    points
}

fn clipper_area(polygons: &Vec<Vec<ClipperPoint<f64>>>) -> f64 {
    let apart = union_subjects_d(polygons, FillRule::Positive, 6);
    let shoelace = |path: &Vec<ClipperPoint<f64>>| -> f64 {
        path.iter().zip(path.iter().cycle().skip(1)).map(|(a, b)| (a.x * b.y - a.y * b.x) / 2.0).sum()
    };
    apart.iter().map(shoelace).sum()
}

fn corner(turn: f64) -> Curve {
    let end = Point::new(100.0, 0.0) + 100.0 * kurbo::Vec2::from_angle(turn);
    Curve::polyline(&[Point::new(0.0, 0.0), Point::new(100.0, 0.0), end]).unwrap()
}

/// A mitre reaches `d tan(turn / 2)` beyond the end of each side.
#[test]
fn corner_runs_on_outside_and_is_cut_inside() {
    for turn in [0.2, 0.8, 1.5] {
        let reach = 15.0 * f64::tan(turn / 2.0);
        let outside = offset(&corner(turn), 15.0, OFFSET_ACCURACY).unwrap();
        approx::assert_abs_diff_eq!(outside.length(), 200.0 + 2.0 * reach, epsilon = 1e-9);
        let inside = offset(&corner(turn), -15.0, OFFSET_ACCURACY).unwrap();
        approx::assert_abs_diff_eq!(inside.length(), 200.0 - 2.0 * reach, epsilon = 1e-6);
        assert_eq!(inside.segments().len(), 2);
    }
}

#[test]
fn needle_corner_is_cut_off() {
    let outside = offset(&corner(3.0), 15.0, OFFSET_ACCURACY).unwrap();
    let tip = outside.flattened(0.1).into_iter().map(|p| p.x).fold(0.0, f64::max);
    assert!(tip < 100.0 + 15.0 * 5.0_f64.sqrt() + 1e-9, "{tip}");
}

/// An arc of 10 mm radius offset by 15 mm to its inside leaves a swallowtail, and only there.
#[test]
fn swallowtail_is_seen_and_trimmed() {
    let ring = ellipse(200.0, 40.0);
    let raw = {
        let beside = |curve: &Curve| offset(curve, -15.0, OFFSET_ACCURACY).unwrap();
        Outline::welded_within(ring.curves().iter().map(beside), 1e-3).unwrap().to_path()
    };
    assert!(path_crosses_itself(&raw));
    let trimmed = trim_positive(&raw).unwrap();
    assert_eq!(trimmed.len(), 1);
    let expected = clipper_inward(&ring, 15.0);
    assert!((trimmed[0].area() - expected).abs() < 2.0);
    assert!(!path_crosses_itself(&ring.to_path()));
}

#[test]
fn offset_keeps_few_segments_and_is_smooth() {
    let armhole = BezPath::from_svg("M0 0C10 60 40 130 120 150").unwrap();
    let beside = offset(&Curve::from_path(&armhole).unwrap(), -15.0, OFFSET_ACCURACY).unwrap();
    assert!(beside.segments().len() <= 4);
    assert!(beside.joints().iter().all(|joint| joint.turn.abs() < 1e-6));
}

#[test]
fn senseless_measures_are_refused() {
    let curve = corner(0.5);
    for accuracy in [0.0, -1.0, f64::NAN, f64::INFINITY, FINEST_ACCURACY / 2.0] {
        assert!(matches!(offset(&curve, 15.0, accuracy), Err(CurveError::BadMeasure { .. })));
    }
    for distance in [f64::NAN, f64::INFINITY, 1e38] {
        assert!(matches!(offset(&curve, distance, 0.01), Err(CurveError::BadMeasure { .. })));
    }
    assert!(matches!(trim_positive(&curve.to_path()), Err(CurveError::Gap { .. })));
}

/// A hem drawn with a point each fiftieth of a millimetre, rounded to thousandths, and bent either way: the line 40 mm beside it
/// has few curves, and none that strays from where it should be.
#[test]
fn a_densely_drawn_edge_has_few_curves_beside_it() {
    for bend in [20.0, -20.0] {
        let place = |k: u32| {
            let share = f64::from(k) / 20_000.0;
            let rounded = |number: f64| (number * 1e3).round() / 1e3;
            Point::new(rounded(400.0 * share), rounded(bend * (std::f64::consts::PI * share).sin()))
        };
        let edge = Curve::polyline(&(0..=20_000).map(place).collect::<Vec<_>>()).unwrap();
        let beside = offset(&edge, 40.0, OFFSET_ACCURACY).unwrap();
        assert!(beside.segments().len() <= 6_000, "{bend}: {}", beside.segments().len());
        let source: Vec<Point> = (0..=20_000).step_by(20).map(place).collect();
        for segment in beside.segments().iter().step_by(97) {
            let off = off_polygon(segment.end(), &source);
            assert!((off - 40.0).abs() <= 0.05, "{bend}: {off}");
        }
    }
}
