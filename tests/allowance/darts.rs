//! Caps: with the dart folded and pressed, its underlay ends where the side over it does.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::allowance::{Cap, CuttingLine};
use retrue::curve::{Curve, Motion, Point, path_crosses_itself};
use retrue::pattern::{Arrows, DartShape, EdgeEnd, Finish, Grainline, Piece, Press};

use crate::pieces::{alone, bowed, dart, edge, id, loop_of, p, piece, seam_edge, straight};

/// A bodice with its centre at the left: `centre` (a fold), `shoulder`, `side`, `waist`.
fn bodice(waist_bow: f64, side_bow: f64) -> Piece {
    let mut bodice = piece(
        "bodice",
        vec![
            edge("centre", straight(p(0.0, 400.0), p(0.0, 0.0)), Finish::Fold, 0.0),
            seam_edge("shoulder", straight(p(0.0, 0.0), p(200.0, 40.0)), 15.0),
            seam_edge("side", bowed(p(200.0, 40.0), p(220.0, 400.0), side_bow), 20.0),
            seam_edge("waist", bowed(p(220.0, 400.0), p(0.0, 400.0), waist_bow), 15.0),
        ],
    );
    bodice.grainline = Some(Grainline {
        start: p(100.0, 50.0),
        end: p(100.0, 350.0),
        arrows: Arrows::Both,
        kept: Default::default(),
    });
    bodice
}

fn with_dart(mut piece: Piece, edge: &str, mouth: (f64, f64), depth: f64, press: Press) -> Piece {
    let dart = dart(&piece, edge, mouth, depth, press);
    piece.darts.push(dart);
    piece
}

/// The points of the cutting line between two points of it, clockwise.
fn between(line: &CuttingLine, from: Point, to: Point) -> Vec<Point> {
    let cut = loop_of(line);
    let (from, to) = (cut.nearest(from).at, cut.nearest(to).at);
    let length = (to - from).rem_euclid(cut.length());
    (0..=60).map(|i| cut.point_at((from + length * f64::from(i) / 60.0) % cut.length())).collect()
}

/// Folds the dart by its two motions and returns how far the underlay then stands off the allowance of the side it is
/// pressed to.
fn off_when_folded(piece: &Piece, line: &CuttingLine, cap: &Cap) -> f64 {
    let dart = &piece.darts[0];
    let DartShape::Open { mouth, legs } = &dart.shape else { panic!("a dart with a mouth") };
    let edge_id = piece.find_edge(&mouth.edge).unwrap();
    let edge = piece.edge(edge_id);
    let depth = edge.allowance.mm();
    let tip = legs.0.end();
    let (near, far, side) = match cap.toward {
        EdgeEnd::First => (legs.0.start(), legs.1.start(), edge.curve.stretch(0.0, mouth.from).unwrap()),
        EdgeEnd::Last => {
            (legs.1.start(), legs.0.start(), edge.curve.stretch(mouth.to, edge.curve.length()).unwrap())
        }
    };
    let over = Motion::mirror_in(near, tip).unwrap();
    let close = Motion::carry((tip, far), (tip, near)).unwrap();
    let [first, apex, last] = cap.points;
    let (first_half, second_half) = (between(line, first, apex), between(line, apex, last));
    let (beside_near, beside_far) = match cap.toward {
        EdgeEnd::First => (first_half, second_half),
        EdgeEnd::Last => (second_half, first_half),
    };
    let folded = beside_near
        .iter()
        .map(|point| over.apply(*point))
        .chain(beside_far.iter().map(|point| close.apply(*point)));
    let side = side.run_on(60.0, 60.0);
    folded.map(|point| (side.nearest(point).distance - depth).abs()).fold(0.0, f64::max)
}

fn check(piece: &Piece) -> Result<Cap, TestCaseError> {
    let line = alone(piece);
    prop_assert!(!path_crosses_itself(&line.path));
    let [cap] = line.caps.as_slice() else {
        return Err(TestCaseError::fail("one dart has one cap"));
    };
    let DartShape::Open { mouth, legs } = &piece.darts[0].shape else { panic!("a dart with a mouth") };
    let edge = piece.edge(piece.find_edge(&mouth.edge).unwrap());
    let (a, b) = (edge.curve.point_at(mouth.from), edge.curve.point_at(mouth.to));
    let [_, apex, _] = cap.points;
    prop_assert!(((apex - a).hypot() - (apex - b).hypot()).abs() <= 0.02, "the apex lies on the fold");
    for (point, leg) in [(cap.points[0], &legs.0), (cap.points[2], &legs.1)] {
        let off = (point - leg.start()).cross(leg.start_tangent()).abs();
        prop_assert!(off <= 1e-3, "a point of the cap lies {off} off its leg run on");
    }
    let off = off_when_folded(piece, &line, cap);
    prop_assert!(off <= 0.02, "the underlay ends {off} off");
    Ok(cap.clone())
}

#[test]
fn a_waist_dart_is_pressed_toward_the_fold() {
    let piece = with_dart(bodice(0.0, 0.0), "waist", (80.0, 110.0), 120.0, Press::Usual);
    assert_eq!(check(&piece).unwrap().toward, EdgeEnd::Last);
}

#[test]
fn a_shoulder_dart_is_pressed_toward_the_fold() {
    let piece = with_dart(bodice(0.0, 0.0), "shoulder", (80.0, 95.0), 80.0, Press::Usual);
    assert_eq!(check(&piece).unwrap().toward, EdgeEnd::First);
}

#[test]
fn a_side_dart_is_pressed_down() {
    let piece = with_dart(bodice(0.0, 0.02), "side", (80.0, 110.0), 120.0, Press::Usual);
    assert_eq!(check(&piece).unwrap().toward, EdgeEnd::Last);
}

#[test]
fn a_dart_is_pressed_where_the_sheet_says() {
    let toward = |name: &str| Press::Toward(name.parse().unwrap());
    let pressed =
        |press| check(&with_dart(bodice(0.0, 0.0), "waist", (80.0, 110.0), 120.0, press)).unwrap().toward;
    assert_eq!(pressed(toward("side")), EdgeEnd::First);
    assert_eq!(pressed(toward("centre")), EdgeEnd::Last);
}

/// On a straight edge the cap's apex stands beyond the cutting line by half the mouth there times the tangent of half
/// the dart's angle: 30 mm at 120 mm, closed, leaves the edge a corner of the dart's whole angle, so each side's line
/// run on to the leg meets the other's.
#[test]
fn the_cap_of_a_symmetric_dart_is_symmetric() {
    let piece = with_dart(bodice(0.0, 0.0), "waist", (80.0, 110.0), 120.0, Press::Usual);
    let [first, apex, last] = alone(&piece).caps[0].points;
    assert_abs_diff_eq!(apex.x, (first.x + last.x) / 2.0, epsilon = 1e-6);
    assert_abs_diff_eq!(first.y, 415.0, epsilon = 1e-6);
    assert_abs_diff_eq!(last.y, 415.0, epsilon = 1e-6);
    let half: f64 = (15.0_f64 / 120.0).atan();
    assert_abs_diff_eq!(apex.y - 415.0, (first.x - last.x) / 2.0 * (2.0 * half).tan(), epsilon = 1e-6);
}

#[test]
fn a_dart_at_the_end_of_its_edge_has_a_cap() {
    let bodice = bodice(0.0, 0.0);
    let length = bodice.edge(id(&bodice, "shoulder")).curve.length();
    let piece = with_dart(bodice, "shoulder", (length - 20.0, length), 100.0, Press::Usual);
    let line = alone(&piece);
    assert_eq!(line.caps.len(), 1);
    assert_eq!(line.corners.len(), 4);
    assert!(!path_crosses_itself(&line.path));
}

#[test]
fn legs_that_curve_are_taken_by_their_chord_near_the_mouth() {
    let mut piece = with_dart(bodice(0.0, 0.0), "waist", (80.0, 110.0), 120.0, Press::Usual);
    let DartShape::Open { legs, .. } = &mut piece.darts[0].shape else { panic!("a dart with a mouth") };
    let curved = |leg: &Curve, bow: f64| bowed(leg.start(), leg.end(), bow);
    *legs = (curved(&legs.0, 0.04), curved(&legs.1, -0.04));
    let line = alone(&piece);
    let [first, apex, last] = line.caps[0].points;
    assert!(!path_crosses_itself(&line.path));
    assert_abs_diff_eq!(apex.x, (first.x + last.x) / 2.0, epsilon = 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn the_folded_dart_lies_in_the_seam(
        edge in prop::sample::select(vec!["waist", "side", "shoulder"]),
        bow in -0.06..0.06,
        at in 50.0..120.0,
        width in 6.0..36.0,
        depth in 70.0..150.0,
        toward in prop::sample::select(vec!["centre", "side", "shoulder", "waist"]),
    ) {
        let press = Press::Toward(toward.parse().unwrap());
        let piece = with_dart(bodice(bow, bow), edge, (at, at + width), depth, press);
        check(&piece)?;
    }
}
