//! What must hold of every pattern, and the same measures taken by other libraries.

use clipper2_rust::{FillRule, Point as ClipperPoint, core::area_paths, intersect_d};
use kurbo::{CubicBez, PathSeg};
use lyon_geom::{CubicBezierSegment, point};
use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Radians, Vec2};
use retrue::pattern::{Edge, Finish, Pattern};
use retrue::truing::{self, Finding, Limits, SeamWalk};

use crate::build::{dart, level, moved, notch, of_edges, pattern, rectangle, seam};
use crate::{FIXTURES, read, text_of};

/// Rigid motions over a sheet of two metres cost about this, mm and degrees.
const MOVED: f64 = 1e-6;

fn scattered(pattern: &Pattern, motions: &[(f64, f64, f64)]) -> Pattern {
    let mut scattered = pattern.clone();
    for (piece, (x, y, turn)) in scattered.pieces_mut().zip(motions.iter().cycle()) {
        let turn = Motion::turn_about(piece.bounds().center(), Radians(*turn));
        *piece = moved(piece, &turn.then(&Motion::shift(Vec2::new(*x, *y))));
    }
    scattered
}

fn numbers(walk: &SeamWalk) -> Vec<f64> {
    let mut numbers = vec![walk.lengths.0.mm(), walk.lengths.1.mm(), walk.difference.mm()];
    numbers.extend(walk.pairs.iter().map(|pair| pair.drift.mm()));
    numbers.extend(walk.ends.iter().flat_map(|end| [end.angles.0, end.angles.1]));
    numbers
}

fn assert_near(before: &[f64], after: &[f64]) {
    assert_eq!(before.len(), after.len());
    for (a, b) in before.iter().zip(after) {
        assert!((a - b).abs() < MOVED, "{a} became {b}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Where a piece lies on the sheet, and how it is turned there, changes no girth, no walk and no finding.
    #[test]
    fn moving_pieces_changes_nothing(
        motions in proptest::collection::vec((-800.0..800.0, -800.0..800.0, -3.0..3.0), 7),
        fixture in 0..FIXTURES.len(),
    ) {
        let before = read(&text_of(FIXTURES[fixture]));
        let after = scattered(&before, &motions);
        let girths = |pattern: &Pattern| -> Vec<f64> {
            truing::girths(pattern).iter().map(|girth| girth.around.mm()).collect()
        };
        assert_near(&girths(&before), &girths(&after));
        let (walks, moved) = (truing::walk_seams(&before).unwrap(), truing::walk_seams(&after).unwrap());
        for (walk, moved) in walks.iter().zip(&moved) {
            prop_assert_eq!(&walk.name, &moved.name);
            assert_near(&numbers(walk), &numbers(moved));
        }
        let found = |pattern| truing::check(pattern, &Limits::default());
        let (found, moved) = (found(&before), found(&after));
        let said = |found: &[Finding]| found.iter().map(|one| (one.kind, one.at.clone())).collect::<Vec<_>>();
        let sizes = |found: &[Finding]| found.iter().map(|one| one.number).collect::<Vec<_>>();
        prop_assert_eq!(said(&found), said(&moved));
        assert_near(&sizes(&found), &sizes(&moved));
    }

    /// A notch that is moved by so much drifts by so much.
    #[test]
    fn a_moved_notch_drifts_by_as_much(at in 50.0..550.0_f64, by in -15.0..15.0_f64) {
        let (mut front, mut back) = (rectangle("front", 200.0, 600.0), rectangle("back", 220.0, 600.0));
        notch(&mut front, "notch", "side", at + by);
        notch(&mut back, "notch", "centre", 600.0 - at);
        let pattern = pattern(vec![front, back], vec![seam("front.side", "-back.centre", 0.0)]);
        let walk = truing::walk_seam(&pattern, pattern.seam_ids().next().unwrap()).unwrap();
        prop_assert!((walk.pairs[0].drift.mm() - by).abs() < 1e-9);
    }

    /// The width that a dart takes out of a level is that of the polygon where a thin strip along the level cuts it.
    #[test]
    fn net_widths_agree_with_polygons(
        mouth in (20.0..160.0, 10.0..120.0), tip in (20.0..280.0, 40.0..380.0),
        left in 5.0..395.0, right in 5.0..395.0,
    ) {
        let (from, to) = (mouth.0, mouth.0 + mouth.1);
        let mut front = rectangle("front", 300.0, 400.0);
        dart(&mut front, "dart", "top", (from, to), tip);
        level(&mut front, "level", (0.0, left), (300.0, right));
        let along = Vec2::new(300.0, right - left);
        let across = Vec2::new(-along.y, along.x).normalize() * (STRIP / 2.0);
        let corner = |p: Point| ClipperPoint::new(p.x, p.y);
        let (start, end) = (Point::new(0.0, left), Point::new(300.0, right));
        let strip = vec![[start - across, end - across, end + across, start + across].map(corner).to_vec()];
        let wedge = vec![[Point::new(from, 0.0), Point::new(to, 0.0), tip.into()].map(corner).to_vec()];
        let folded = area_paths(&intersect_d(&strip, &wedge, FillRule::NonZero, CLIPPER_DECIMALS)).abs() / STRIP;
        let girth = truing::girths(&pattern(vec![front], vec![]))[0].around.mm();
        prop_assert!((girth - (along.hypot() - folded)).abs() < 0.01, "{} {}", girth, folded);
    }

    /// Walked lengths of curved seams are those that another library measures.
    #[test]
    fn walked_lengths_agree_with_another_measure(handles in ((-60.0..60.0, 40.0..180.0), (-60.0..60.0, 220.0..360.0))) {
        let ((x1, y1), (x2, y2)) = handles;
        let cubic = CubicBez::new((200.0, 0.0), (200.0 + x1, y1), (200.0 + x2, y2), (200.0, 400.0));
        let side = Curve::new([PathSeg::Cubic(cubic)]).unwrap();
        let line = |a: (f64, f64), b: (f64, f64)| Curve::line(a.into(), b.into()).unwrap();
        let edges = [
            ("top", line((0.0, 0.0), (200.0, 0.0))), ("side", side),
            ("hem", line((200.0, 400.0), (0.0, 400.0))), ("centre", line((0.0, 400.0), (0.0, 0.0))),
        ];
        let edges = edges.map(|(name, curve)| Edge { finish: Finish::Seam, ..Edge::new(name.parse().unwrap(), curve) });
        let pattern =
            pattern(vec![of_edges("front", edges.into()), rectangle("back", 100.0, 400.0)], vec![seam("front.side", "-back.centre", 0.0)]);
        let walk = truing::walk_seam(&pattern, pattern.seam_ids().next().unwrap()).unwrap();
        let other = CubicBezierSegment {
            from: point(200.0, 0.0), ctrl1: point(200.0 + x1, y1), ctrl2: point(200.0 + x2, y2), to: point(200.0, 400.0),
        };
        let length = other.approximate_length(1e-7);
        prop_assert!((walk.lengths.0.mm() - length).abs() < 1e-3, "{:?} {}", walk.lengths, length);
        prop_assert!((walk.difference.mm() - (length - 400.0)).abs() < 1e-3);
    }
}

/// Width of the strip that stands for a level, mm; the mean width of a wedge across it is that in its middle.
const STRIP: f64 = 0.01;
/// As fine as the polygon library goes.
const CLIPPER_DECIMALS: i32 = 8;
