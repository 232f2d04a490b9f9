//! Law 2: what pivoting a dart keeps, over random bodices; and published widths and angles of darts.

use crate::common::measure::{declared_area, edges, net_area, sewn_length_now, walked};
use crate::common::svg_dump::draw;
use crate::counted::kept_in;
use crate::random::bodice::{Draft, Half, WaistDart, bodice, draft_dart};
use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::curve::{Curve, Point, Vec2};
use retrue::pattern::{
    Dart, DartName, DartShape, Edge, Kept, Mouth, NamedPoint, Pattern, Piece, Press, Refusal, RefusalKind,
};
use retrue::recut::{PivotDart, Recut, Step};
use retrue::units::Length;

/// The angle between the legs at the tip, degrees, seen from the middle of each leg's straight line.
fn angle(dart: &Dart) -> f64 {
    let (first, second) = dart.legs();
    let (a, b) = (first.start() - first.end(), second.start() - second.end());
    a.cross(b).atan2(a.dot(b)).to_degrees()
}

fn width(dart: &Dart) -> f64 {
    let (first, second) = dart.legs();
    first.start().distance(second.start())
}

fn pivot(piece: &Piece, dart: &DartName, to: &str) -> PivotDart {
    PivotDart::of(piece.name().clone(), dart.clone(), to.parse().unwrap())
}

fn own(draft: &Draft, pattern: &Pattern) -> Piece {
    let name = if draft.half == Half::Front { "front" } else { "back" };
    pattern.piece(&name.parse().unwrap()).unwrap().clone()
}

fn assert_kept(before: &Pattern, recut: &Recut) {
    let after = &recut.pattern;
    after.assert_sound();
    for edge in edges(before) {
        let (piece, id) = before.edge(&edge).unwrap();
        let (was, is) = (piece.sewn_length(id), sewn_length_now(after, &edge));
        assert!((was - is).abs() < 1e-6, "{edge} was sewn {was} mm long, is {is}");
    }
    for (i, seam) in before.seams().iter().enumerate() {
        let (was, is) = (walked(before, seam), walked(after, &after.seams()[i]));
        assert!((was.0 - is.0).abs() < 1e-6 && (was.1 - is.1).abs() < 1e-6, "{}", seam.name());
    }
    let (was, is) = (net_area(before), net_area(after));
    assert!((was + declared_area(after) - is).abs() < 1e-6 * was, "area {was} became {is}");
}

/// The greatest distance between the edges of two pieces of one shape, once one is shifted onto the other.
fn apart(a: &Piece, b: &Piece) -> f64 {
    let corner =
        |piece: &Piece| piece.edge(piece.edge_named(&"neck".parse().unwrap()).unwrap()).curve.start();
    let shift = retrue::curve::Motion::shift(corner(a) - corner(b));
    a.edges()
        .iter()
        .map(|edge| {
            let other = b.edge(b.edge_named(&edge.name).unwrap());
            edge.curve.distance_to(&other.curve.moved(&shift))
        })
        .fold(0.0, f64::max)
}

/// The way a refusal may turn out when a random place is asked for: the cut would cross another dart or leave the piece.
fn stands_in_the_way(refusal: &Refusal) -> bool {
    matches!(refusal.kind, RefusalKind::DartInTheWay | RefusalKind::BadLine | RefusalKind::PlaceOutside)
}

fn any_edge() -> impl Strategy<Value = &'static str> {
    prop_oneof![Just("shoulder"), Just("armhole"), Just("side"), Just("lowest"), Just("neck"), Just("centre")]
}

/// What an operation made; a case in which something stands in its way does not count.
fn unless_in_the_way(done: Result<Recut, Refusal>) -> Result<Recut, TestCaseError> {
    done.map_err(|refusal| match stands_in_the_way(&refusal) {
        true => TestCaseError::reject("in the way"),
        false => TestCaseError::fail(refusal.to_string()),
    })
}

/// A bodice with a dart that opens at the waist.
fn with_waist_dart() -> impl Strategy<Value = Draft> {
    (bodice(), draft_dart(15.0..38.0))
        .prop_map(|(draft, dart)| Draft { waist_dart: WaistDart::Open(dart), ..draft })
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/laws_darts.txt", 256))]

    /// Law 2. A dart pivoted about its tip keeps its angle, and seam lengths stay (Erwin, *Practical Dress Design*, rev.
    /// ed. 1954, p. 31 [S]); the mouth grows with the radius; pivoted back, the piece is as it was.
    #[test]
    fn pivot_keeps_angle_area_and_sewn_lengths(
        draft in bodice(), which in any::<prop::sample::Index>(), edge in any_edge(), share in 0.03..0.97f64,
    ) {
        let before = draft.pattern();
        let piece = own(&draft, &before);
        let open: Vec<&Dart> = piece.darts.iter().filter(|dart| dart.mouth().is_some()).collect();
        prop_assume!(!open.is_empty());
        let dart = open[which.index(open.len())];
        let edge = if edge == "lowest" { draft.lowest_edge() } else { edge };
        prop_assume!(!(edge == "centre" && draft.on_fold));
        let to = format!("{edge}@{}%", share * 100.0);
        let mouth = dart.mouth().unwrap();
        let old_edge = piece.edge_named(&mouth.edge).unwrap();
        let home = format!("{}@{}mm", mouth.edge, piece.to_sewn(old_edge, mouth.from));
        let recut = unless_in_the_way(Step::from(pivot(&piece, &dart.name, &to)).apply(&before))?;
        assert_kept(&before, &recut);
        let moved = own(&draft, &recut.pattern);
        let new = moved.dart_named(&dart.name).unwrap();
        prop_assert!((angle(new) - angle(dart)).abs() < 1e-6, "{} became {}", angle(dart), angle(new));
        let (first, second) = new.legs();
        prop_assert!((first.length() - second.length()).abs() < 1e-6);
        let by_radius = 2.0 * first.length() * (angle(dart).to_radians() / 2.0).sin();
        prop_assert!((width(new) - by_radius).abs() < 1e-6);
        prop_assert!(recut.pattern.record.steps[0].declared.is_empty());
        let target = piece.place(&to.parse().unwrap()).unwrap().point;
        prop_assert!((first.length() - target.distance(dart.tips()[0])).abs() < 1e-6);

        let back = Step::from(pivot(&moved, &dart.name, &home)).apply(&recut.pattern).unwrap();
        let there_and_back = own(&draft, &back.pattern);
        prop_assert!(apart(&piece, &there_and_back) < 0.01);
        let home_again = there_and_back.dart_named(&dart.name).unwrap();
        prop_assert!((home_again.mouth().unwrap().from - mouth.from).abs() < 0.01);
        prop_assert!((width(home_again) - width(dart)).abs() < 0.01);
    }

    /// Law 2 for a share: the two angles add up to the old one.
    #[test]
    fn share_divides_the_angle(draft in with_waist_dart(), share in 1u32..100, along in 0.1..0.9f64) {
        let before = draft.pattern();
        let piece = own(&draft, &before);
        let dart: DartName = "waist-dart".parse().unwrap();
        let old = piece.dart_named(&dart).unwrap();
        let mut step = pivot(&piece, &dart, &format!("armhole@{}%", along * 100.0));
        step.share = Some(format!("{share}%").parse().unwrap());
        let recut = unless_in_the_way(Step::from(step).apply(&before))?;
        assert_kept(&before, &recut);
        let moved = own(&draft, &recut.pattern);
        let (rest, new) = (moved.dart_named(&dart).unwrap(), moved.dart_named(&"waist-dart-moved".parse().unwrap()).unwrap());
        prop_assert!((angle(new) - angle(old) * f64::from(share) / 100.0).abs() < 1e-6);
        prop_assert!((angle(new) + angle(rest) - angle(old)).abs() < 1e-6);
        let (first, second) = rest.legs();
        prop_assert!((first.length() - second.length()).abs() < 1e-6);
        prop_assert!((first.length() - old.legs().0.length()).abs() < 1e-6);
    }
}

/// A rectangle, 600 mm wide and 400 mm high, with a dart 30 mm wide and with legs of 150 mm on its lower edge.
fn plain_piece() -> Piece {
    let corners = [(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)].map(|(x, y)| Point::new(x, y));
    let edge = |name: &str, i: usize| {
        Edge::new(name.parse().unwrap(), Curve::line(corners[i], corners[(i + 1) % 4]).unwrap())
    };
    let mut piece = Piece::new(
        "front".parse().unwrap(),
        vec![edge("top", 0), edge("side", 1), edge("waist", 2), edge("centre", 3)],
    )
    .unwrap();
    let height = (150.0_f64.powi(2) - 15.0_f64.powi(2)).sqrt();
    let tip = Point::new(300.0, 400.0 - height);
    let leg = |x: f64| Curve::line(Point::new(x, 400.0), tip).unwrap();
    piece.darts.push(Dart {
        name: "dart".parse().unwrap(),
        shape: DartShape::Open {
            mouth: Mouth { edge: "waist".parse().unwrap(), from: 285.0, to: 315.0 },
            legs: (leg(315.0), leg(285.0)),
        },
        kind: Default::default(),
        press: Press::Usual,
        kept: Kept::default(),
    });
    piece.points.push(NamedPoint {
        name: "tip".parse().unwrap(),
        at: tip,
        radius: 2.0,
        kept: Kept::default(),
    });
    piece
}

fn after_pivot(piece: Piece, step: PivotDart) -> Piece {
    let pattern = Pattern::new(vec![piece], vec![]).unwrap();
    let recut = Step::from(step).apply(&pattern).unwrap();
    assert_kept(&pattern, &recut);
    recut.pattern.pieces().next().unwrap().clone()
}

/// Mouth i at leg length L: angle = 2·asin(i / 2L). 30 mm at 150 mm is 11.478°; the same dart is 16, 20, 24, 36, 44 and 50
/// mm wide at 80, 100, 120, 180, 220 and 250 mm [D].
#[test]
fn the_same_dart_is_wider_where_its_legs_are_longer() {
    let piece = plain_piece();
    assert_abs_diff_eq!(angle(&piece.darts[0]), 11.478, epsilon = 5e-4);
    let tip = piece.darts[0].tips()[0];
    for (length, wide) in
        [(80.0, 16.0), (100.0, 20.0), (120.0, 24.0), (180.0, 36.0), (220.0, 44.0), (250.0, 50.0)]
    {
        let mut piece = piece.clone();
        let name = piece.darts[0].name.clone();
        let (edge, at) = if length < tip.y {
            ("shelf", 0.0)
        } else {
            ("top", 300.0 + (length * length - tip.y * tip.y).sqrt())
        };
        if edge == "shelf" {
            piece = lowered(&piece, tip.y - length);
        }
        let to = if edge == "shelf" { "top@300mm".to_owned() } else { format!("top@{at}mm") };
        let made = after_pivot(piece.clone(), pivot(&piece, &name, &to));
        assert_abs_diff_eq!(made.darts[0].legs().0.length(), length, epsilon = 1e-6);
        assert_abs_diff_eq!(width(&made.darts[0]), wide, epsilon = 5e-3);
        assert_abs_diff_eq!(angle(&made.darts[0]), 11.478, epsilon = 5e-4);
    }
}

/// The plain piece with its upper edge lowered.
fn lowered(piece: &Piece, top: f64) -> Piece {
    let corners = [(0.0, top), (600.0, top), (600.0, 400.0), (0.0, 400.0)].map(|(x, y)| Point::new(x, y));
    let names = ["top", "side", "waist", "centre"];
    let edges = (0..4)
        .map(|i| Edge::new(names[i].parse().unwrap(), Curve::line(corners[i], corners[(i + 1) % 4]).unwrap()))
        .collect();
    let mut lower = Piece::new(piece.name().clone(), edges).unwrap();
    lower.darts.clone_from(&piece.darts);
    lower
}

/// Darts stacked at one point: equal angles, and closed they give the same pattern (NIMI, *CITS Dress Making, Trade
/// Theory*, 2024, p. 180 [S]): whichever edge a dart is moved to, the rest of the piece is the same.
#[test]
fn stacked_darts_have_equal_angles_and_close_to_the_same_piece() {
    let piece = plain_piece();
    let name = piece.darts[0].name.clone();
    let angles: Vec<(f64, f64)> = ["top@20%", "top@70%", "side@40%", "centre@60%"]
        .into_iter()
        .map(|to| {
            let made = after_pivot(piece.clone(), pivot(&piece, &name, to));
            (angle(&made.darts[0]), made.net_area())
        })
        .collect();
    for (angle_of_one, area) in &angles {
        assert_abs_diff_eq!(*angle_of_one, angle(&piece.darts[0]), epsilon = 1e-9);
        assert_abs_diff_eq!(*area, piece.net_area(), epsilon = 1e-6);
    }
}

/// A tip shortened with the mouth fixed changes the angle: 40 mm mouth, axis 200 to 175 mm, 11.42° to 13.04° [D]. The tip
/// stands 2.5 cm off the point [C].
#[test]
fn stand_off_shortens_the_dart_and_widens_its_angle() {
    let mut piece = plain_piece();
    let tip = Point::new(300.0, 200.0);
    let leg = |x: f64| Curve::line(Point::new(x, 400.0), tip).unwrap();
    piece.darts[0].shape = DartShape::Open {
        mouth: Mouth { edge: "waist".parse().unwrap(), from: 280.0, to: 320.0 },
        legs: (leg(320.0), leg(280.0)),
    };
    assert_abs_diff_eq!(angle(&piece.darts[0]), 11.42, epsilon = 5e-3);
    let name = piece.darts[0].name.clone();
    let mut step = pivot(&piece, &name, "top@50%");
    step.stand_off = Some(Length::from_mm(25.0));
    let made = after_pivot(piece, step);
    let dart = &made.darts[0];
    let (first, second) = dart.legs();
    let axis = first.start().midpoint(second.start()).distance(first.end());
    // The legs are 201 mm from the top's middle here, as long as the way to it; the mouth is the old one's at 200 mm.
    assert_abs_diff_eq!(first.end().distance(tip), 25.0, epsilon = 1e-9);
    assert_abs_diff_eq!(axis + 25.0, 200.0 * (11.421_f64.to_radians() / 2.0).cos(), epsilon = 1e-3);
    assert_abs_diff_eq!(angle(dart), 13.04, epsilon = 2e-2);
}

/// A dart turned about another point has its legs redrawn to it first, and says by how much that changed the area.
#[test]
fn legs_are_redrawn_to_the_point_turned_about() {
    let mut piece = plain_piece();
    let further = piece.points[0].at - Vec2::new(0.0, 25.0);
    piece.points.push(NamedPoint { name: "point".parse().unwrap(), at: further, ..piece.points[0].clone() });
    let name = piece.darts[0].name.clone();
    let mut step = pivot(&piece, &name, "top@40%");
    step.about = Some("point".parse().unwrap());
    let pattern = Pattern::new(vec![piece.clone()], vec![]).unwrap();
    let recut = Step::from(step).apply(&pattern).unwrap();
    assert_kept(&pattern, &recut);
    assert_abs_diff_eq!(declared_area(&recut.pattern), -0.5 * 30.0 * 25.0, epsilon = 1e-6);
}

fn refusal_of(piece: &Piece, step: PivotDart) -> Refusal {
    let pattern = Pattern::new(vec![piece.clone()], vec![]).unwrap();
    Step::from(step).apply(&pattern).unwrap_err()
}

#[test]
fn pivots_that_cannot_be_are_refused() {
    let piece = plain_piece();
    let name = piece.darts[0].name.clone();
    let mut none = pivot(&piece, &name, "top@50%");
    none.share = Some("0%".parse().unwrap());
    assert_eq!(refusal_of(&piece, none).kind, RefusalKind::BadField);

    let mut too_far = pivot(&piece, &name, "top@50%");
    too_far.stand_off = Some(Length::from_mm(900.0));
    assert_eq!(refusal_of(&piece, too_far).kind, RefusalKind::BadField);

    let in_mouth = pivot(&piece, &name, "(300mm, 400mm)");
    assert_eq!(refusal_of(&piece, in_mouth).kind, RefusalKind::PlaceOutside);

    let inside = pivot(&piece, &name, "tip");
    assert_eq!(refusal_of(&piece, inside).kind, RefusalKind::PlaceOutside);

    let mut uneven = piece.clone();
    if let DartShape::Open { mouth, legs } = &mut uneven.darts[0].shape {
        mouth.from = 260.0;
        legs.0 = Curve::line(Point::new(340.0, 400.0), legs.0.end()).unwrap();
    }
    let refusal = refusal_of(&uneven, pivot(&piece, &name, "top@50%"));
    assert_eq!(refusal.kind, RefusalKind::BadDart);
    assert!(refusal.way_out.to_string().contains("true-seam"), "{refusal}");

    let mut double = piece.clone();
    let at = |x: f64, y: f64| Point::new(x, y);
    let side =
        |by: f64| Curve::polyline(&[at(300.0, 100.0), at(300.0 + by, 200.0), at(300.0, 300.0)]).unwrap();
    double.darts[0].shape = DartShape::Double { sides: (side(10.0), side(-10.0)) };
    let refusal = refusal_of(&double, pivot(&piece, &name, "top@50%"));
    assert!(
        refusal.way_out.to_string().contains("do = \"dart-to-seam\", piece = \"front\", dart = \"dart\""),
        "{refusal}"
    );

    let mut second = piece.clone();
    let tip = at(300.0, 150.0);
    second.darts.push(Dart {
        name: "other".parse().unwrap(),
        shape: DartShape::Open {
            mouth: Mouth { edge: "side".parse().unwrap(), from: 140.0, to: 160.0 },
            legs: (Curve::line(at(600.0, 140.0), tip).unwrap(), Curve::line(at(600.0, 160.0), tip).unwrap()),
        },
        kind: Default::default(),
        press: Press::Usual,
        kept: Kept::default(),
    });
    let refusal = refusal_of(&second, pivot(&second, &name, "top@90%"));
    assert_eq!(refusal.kind, RefusalKind::DartInTheWay);
    assert!(refusal.way_out.to_string().contains("pivot-dart"), "{refusal}");
}

/// Legs that differ by less than may be: the part slides along the leg, so that the mouth ends meet and sewn lengths stay.
#[test]
fn a_small_difference_of_legs_slides_along_the_leg() {
    let mut piece = plain_piece();
    if let DartShape::Open { mouth, legs } = &mut piece.darts[0].shape {
        mouth.from = 280.5;
        legs.0 = Curve::line(Point::new(319.5, 400.0), legs.0.end()).unwrap();
    }
    let name = piece.darts[0].name.clone();
    let made = after_pivot(piece.clone(), pivot(&piece, &name, "top@30%"));
    let (first, second) = made.darts[0].legs();
    assert!((first.length() - second.length()).abs() <= 1.0);
    let names: Vec<&str> = made.points.iter().map(|point| point.name.as_str()).collect();
    assert_eq!(names, ["tip"]);
}

/// At a corner the mouth opens on the edge that was named.
#[test]
fn at_a_corner_the_mouth_is_on_the_edge_named() {
    let piece = plain_piece();
    let name = piece.darts[0].name.clone();
    for (to, edge) in [("top@100%", "top"), ("side@0%", "side")] {
        let made = after_pivot(piece.clone(), pivot(&piece, &name, to));
        assert_eq!(made.darts[0].mouth().unwrap().edge.as_str(), edge);
        let home = Step::from(pivot(&made, &name, "waist@285mm"));
        let pattern = Pattern::new(vec![made], vec![]).unwrap();
        let back = home.apply(&pattern).unwrap();
        assert_kept(&pattern, &back);
        let mouth = back.pattern.pieces().next().unwrap().darts[0].mouth().unwrap().clone();
        assert_abs_diff_eq!(mouth.from, 285.0, epsilon = 1e-6);
        assert_abs_diff_eq!(mouth.to, 315.0, epsilon = 1e-6);
    }
}

#[test]
fn a_side_dart_goes_to_the_shoulder() {
    let draft = Draft::usual_front();
    let before = draft.pattern();
    let piece = own(&draft, &before);
    let recut =
        Step::from(pivot(&piece, &"bust-dart".parse().unwrap(), "shoulder@50%")).apply(&before).unwrap();
    assert_kept(&before, &recut);
    draw("pivot", &recut.pattern);
}
