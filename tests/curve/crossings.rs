//! Crossings against brute force over dense polygons.

use kurbo::{BezPath, CubicBez, Line, PathSeg, Point};
use proptest::prelude::*;
use retrue::curve::Curve;

use crate::generators::{gentle_cubic, off_polygon, sampled, wild_cubic, wild_run};

/// Crossings of two polygons at an angle whose sine is over 0.05, so that flattening cannot have made them up.
fn brute(a: &[Point], b: &[Point]) -> Vec<Point> {
    let mut found = Vec::new();
    for p in a.windows(2) {
        for q in b.windows(2) {
            let (along, other, apart) = (p[1] - p[0], q[1] - q[0], q[0] - p[0]);
            let det = along.cross(other);
            let (t, u) = (apart.cross(other) / det, apart.cross(along) / det);
            let steep = det.abs() > 0.05 * along.hypot() * other.hypot();
            if steep && (0.0..1.0).contains(&t) && (0.0..1.0).contains(&u) {
                found.push(p[0] + t * along);
            }
        }
    }
    found
}

fn holds_all(a: &Curve, b: &Curve) -> Result<(), TestCaseError> {
    let found = a.crossings(b);
    for crossing in &found {
        prop_assert!((a.point_at(crossing.at) - crossing.point).hypot() <= 1e-5);
        prop_assert!((b.point_at(crossing.other_at) - crossing.point).hypot() <= 1e-5);
    }
    prop_assert!(found.windows(2).all(|pair| pair[0].at <= pair[1].at));
    for point in brute(&sampled(a, 500), &sampled(b, 500)) {
        let nearest =
            found.iter().map(|crossing| (crossing.point - point).hypot()).fold(f64::INFINITY, f64::min);
        prop_assert!(nearest <= 0.1, "missed {:?} of {:?}", point, found);
    }
    let swapped = b.crossings(a);
    prop_assert_eq!(found.len(), swapped.len());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Oracle: dense polygons.
    #[test]
    fn no_crossing_of_two_cubics_is_missed(a in wild_cubic(), b in wild_cubic()) {
        holds_all(&a, &b)?;
    }

    /// Oracle: dense polygons.
    #[test]
    fn no_crossing_of_two_runs_is_missed(a in wild_run(), b in wild_run()) {
        holds_all(&a, &b)?;
    }

    /// Cutting where two cross gives four parts that meet there and cross nowhere else than the whole did.
    #[test]
    fn parts_share_the_crossing_as_an_end(a in gentle_cubic(), b in gentle_cubic()) {
        for crossing in a.crossings(&b) {
            if let (Ok((before, _)), Ok((left, _))) = (a.split_at(crossing.at), b.split_at(crossing.other_at)) {
                let ends = before.crossings(&left);
                prop_assert!(ends.iter().any(|end| (end.point - crossing.point).hypot() <= 1e-4));
            }
        }
    }

    /// A line that starts on the curve is found there, however the rounding falls.
    #[test]
    fn line_that_starts_on_the_curve_is_found(curve in wild_run(), share in 0.0..1.0, angle in 0.3..2.8_f64) {
        let s = share * curve.length();
        let from = curve.point_at(s);
        let heading = curve.tangent_at(s).atan2() + angle;
        let line = Curve::line(from, from + 40.0 * kurbo::Vec2::from_angle(heading)).unwrap();
        let found = curve.crossings(&line);
        prop_assert!(found.iter().any(|crossing| (crossing.point - from).hypot() <= 1e-5), "{:?}", found);
    }

    /// A curve and a stretch of it run together: that is no crossing.
    #[test]
    fn shared_stretch_is_no_crossing(curve in gentle_cubic(), share in 0.1..0.6) {
        let part = curve.stretch(share * curve.length(), (share + 0.3) * curve.length()).unwrap();
        prop_assert_eq!(curve.crossings(&part), vec![]);
        prop_assert_eq!(part.crossings(&curve.reversed()), vec![]);
        prop_assert_eq!(curve.crossings(&curve), vec![]);
    }

    /// Two stretches that follow each other meet once, at their shared end.
    #[test]
    fn shared_end_counts_once(curve in gentle_cubic(), share in 0.2..0.8) {
        let (before, after) = curve.split_at(share * curve.length()).unwrap();
        let found = before.crossings(&after);
        prop_assert_eq!(found.len(), 1);
        prop_assert_eq!(found[0].point, before.end());
        prop_assert!((found[0].at - before.length()).abs() <= 1e-9);
        prop_assert!(found[0].other_at.abs() <= 1e-9);
    }

    /// Oracle: dense polygons, at steep crossings of segments that do not follow each other.
    #[test]
    fn no_self_crossing_is_missed(curve in wild_run()) {
        let points = sampled(&curve, 300);
        let apart = 8;
        let brute_force = (0..points.len() - 1).any(|i| {
            let far = points.get(i + apart..).unwrap_or_default();
            !brute(&points[i..=i + 1], far).is_empty()
        });
        if brute_force {
            prop_assert!(curve.crosses_itself().is_some());
        }
        if let Some(point) = curve.crosses_itself() {
            prop_assert!(off_polygon(point, &points) <= 0.5);
        }
    }

    /// Gentle cubics have no loop.
    #[test]
    fn gentle_cubic_does_not_cross_itself(curve in gentle_cubic()) {
        prop_assert_eq!(curve.crosses_itself(), None);
    }
}

fn cubic(points: [(f64, f64); 4]) -> Curve {
    let [a, b, c, d] = points.map(Point::from);
    Curve::new([PathSeg::Cubic(CubicBez::new(a, b, c, d))]).unwrap()
}

/// Symmetric loop: it meets itself on its axis.
#[test]
fn loop_of_a_cubic_is_found() {
    let ribbon = cubic([(0.0, 0.0), (120.0, 80.0), (-20.0, 80.0), (100.0, 0.0)]);
    let point = ribbon.crosses_itself().unwrap();
    approx::assert_abs_diff_eq!(point.x, 50.0, epsilon = 1e-9);
}

#[test]
fn running_back_over_itself_is_a_crossing() {
    let back =
        Curve::polyline(&[Point::new(0.0, 0.0), Point::new(50.0, 0.0), Point::new(20.0, 0.0)]).unwrap();
    assert!(back.crosses_itself().is_some());
}

#[test]
fn closed_ring_does_not_cross_itself_where_it_closes() {
    let corners = [(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 0.0)].map(Point::from);
    assert_eq!(Curve::polyline(&corners).unwrap().crosses_itself(), None);
}

#[test]
fn touching_line_is_found_once() {
    let arch = cubic([(0.0, 0.0), (30.0, 40.0), (70.0, 40.0), (100.0, 0.0)]);
    let line = Curve::line(Point::new(0.0, 30.0), Point::new(100.0, 30.0)).unwrap();
    let found = arch.crossings(&line);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!((found[0].point - Point::new(50.0, 30.0)).hypot() < 1e-3);
}

#[test]
fn crossing_at_a_joint_of_both_is_found_once() {
    let a = Curve::polyline(&[Point::new(0.0, 0.0), Point::new(10.0, 10.0), Point::new(20.0, 0.0)]).unwrap();
    let b =
        Curve::polyline(&[Point::new(0.0, 20.0), Point::new(10.0, 10.0), Point::new(20.0, 20.0)]).unwrap();
    let found = a.crossings(&b);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].point, Point::new(10.0, 10.0));
}

#[test]
fn lines_meeting_end_to_side_touch() {
    let rail = Curve::new([PathSeg::Line(Line::new((0.0, 0.0), (10.0, 3.0)))]).unwrap();
    let post = Curve::line(rail.point_at(4.0), Point::new(3.0, 20.0)).unwrap();
    assert_eq!(rail.crossings(&post).len(), 1);
}

/// Two curves that cross twice at under a degree, one crossing within 0.06 mm of their ends, have both whichever way they
/// run.
#[test]
fn nearly_parallel_curves_cross_as_often_backward() {
    let curve = |d: &str| Curve::from_path(&BezPath::from_svg(d).unwrap()).unwrap();
    let first = curve(
        "M-285.3341993124916 0.2447527103184628C-213.97449580307858 -3.17067314249068 -41.181140480503636 -6.583591145950362 0 -6.583591145950362",
    );
    let second = curve(
        "M-0.10593509655075406 -6.58273880177201C81.24526602590299 -7.891912324365232 189.68729569840403 8.29788315089813 253.1189495551364 23.25340196439526",
    );
    for (a, b) in [
        (first.clone(), second.clone()),
        (first.clone(), second.reversed()),
        (first.reversed(), second.clone()),
        (first.reversed(), second.reversed()),
        (second.clone(), first.clone()),
        (second.reversed(), first.reversed()),
    ] {
        let found = a.crossings(&b);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].point.distance(Point::new(-0.05293, -6.58359)) < 1e-4, "{found:?}");
    }
}
