//! A dart that is taken by its tip or its mouth.

use crate::curve::{Curve, Outline, Point, Vec2};
use crate::pattern::{Dart, DartName, Piece, Place, Refusal};
use crate::recut::{AddPrincessSeam, DartChoice, DartToSeam, PivotDart, Step};
use crate::table::hand::motion::{BeneathHand, Hand, Held};
use crate::table::snap::{SnapSeen, SnappedPlace, meant_on_outline, on_edge, points, tips};
use crate::tolerance::{DART_NEAR_POINT, HAND_STEP, SAME_CUT};

/// A dart run out into a seam: to where the tip is dragged, straight on, or into another dart.
///
/// # Errors
///
/// Refuses a dart that is not there.
pub(super) fn run_out(
    hand: &Hand,
    piece: &Piece,
    dart: &DartName,
    ground: BeneathHand<'_>,
) -> Result<Held, Refusal> {
    let dart = piece.dart_named(dart)?;
    if hand.from().distance(hand.at()) < HAND_STEP {
        return Ok(Held::default());
    }
    let step = |to| DartToSeam { to, ..DartToSeam::of(piece.name().clone(), dart.name.clone()) };
    let tip = tip_held(dart, hand.from());
    if let Some(other) = other_dart(hand, piece, dart) {
        return Ok(into_dart(piece, dart, other, (tip, hand.at()), ground));
    }
    let end = end_of(hand, piece, tip, ground);
    let straight = straight_on(piece, dart, tip);
    if let Some(straight) = straight.filter(|straight| straight.distance(end.point) <= hand.reach()) {
        let seen = SnapSeen { says: "straight on".to_owned(), at: [straight.x, straight.y] };
        return Ok(Held { drawn: line(tip, straight), snaps: vec![seen], ..Held::step(step(None)) });
    }
    let held = Held::step(step(Some(end.place.clone())));
    Ok(Held { drawn: line(tip, end.point), snaps: vec![SnapSeen::of(&end)], ..held })
}

/// A dart turned to where its mouth is dragged along the outline.
///
/// # Errors
///
/// Refuses a dart that is not there.
pub(super) fn turned(
    hand: &Hand,
    piece: &Piece,
    dart: &DartName,
    ground: BeneathHand<'_>,
) -> Result<Held, Refusal> {
    let dart = piece.dart_named(dart)?;
    let to = meant_on_outline(ground.pattern, piece, hand.at(), hand.reach());
    let (first, second) = dart.legs();
    let own = [first.start(), second.start()];
    let is_own = own[0].distance(to.point) + to.point.distance(own[1]) <= own[0].distance(own[1]) + HAND_STEP;
    let tip = tip_held(dart, hand.from());
    if is_own {
        return Ok(Held::default());
    }
    let step = PivotDart::of(piece.name().clone(), dart.name.clone(), to.place.clone());
    Ok(Held { drawn: line(to.point, tip), snaps: vec![SnapSeen::of(&to)], ..Held::step(step) })
}

/// The tip of a dart that is nearest to where the hand took hold.
fn tip_held(dart: &Dart, from: Point) -> Point {
    let tips = dart.tips().into_iter();
    tips.min_by(|a, b| a.distance(from).total_cmp(&b.distance(from))).unwrap_or(from)
}

fn other_dart<'a>(hand: &Hand, piece: &'a Piece, dart: &Dart) -> Option<&'a Dart> {
    let at = hand.at();
    let is_under = |other: &&Dart| {
        let near = other.tips().into_iter().any(|tip| tip.distance(at) <= hand.reach());
        let within = Outline::new(other.boundary()).is_ok_and(|within| within.contains(at));
        other.name != dart.name && (near || within)
    };
    piece.darts.iter().find(is_under)
}

/// Two darts made one seam: straight through where they face each other, else from mouth to mouth through the point between
/// their tips, or through the tip that is held.
fn into_dart(
    piece: &Piece,
    dart: &Dart,
    other: &Dart,
    (tip, at): (Point, Point),
    ground: BeneathHand<'_>,
) -> Held {
    let facing: Step = DartToSeam::of(piece.name().clone(), dart.name.clone()).into();
    let is_left = |after: &Piece| after.darts.iter().any(|left| left.name == other.name);
    let takes_both = facing.apply(ground.pattern).is_ok_and(|recut| !recut.pattern.pieces().any(is_left));
    let other_tip = tip_held(other, at);
    let ends = mouth(piece, dart).zip(mouth(piece, other));
    let step = match ends.zip(through(piece, tip, other_tip)) {
        Some(((from, to), through)) if !takes_both => AddPrincessSeam {
            darts: Some(DartChoice(vec![dart.name.clone(), other.name.clone()])),
            ..AddPrincessSeam::of(piece.name().clone(), from, through, to)
        }
        .into(),
        _ => facing,
    };
    let seen = SnapSeen { says: format!("into {}", other.name), at: [other_tip.x, other_tip.y] };
    Held { drawn: line(tip, other_tip), snaps: vec![seen], ..Held::step(step) }
}

/// The middle of a dart's mouth as a place; none of a double dart.
fn mouth(piece: &Piece, dart: &Dart) -> Option<Place> {
    let mouth = dart.mouth()?;
    let edge = piece.find_edge(&mouth.edge)?;
    Some(on_edge(piece, edge, piece.to_sewn(edge, f64::midpoint(mouth.from, mouth.to))))
}

/// The named point nearest to both tips where one is near enough to take them in, else the first tip of an open dart.
fn through(piece: &Piece, tip: Point, other: Point) -> Option<Place> {
    let off = |snap: &SnappedPlace| snap.point.distance(tip).max(snap.point.distance(other));
    let near = points(piece).filter(|snap| off(snap) <= DART_NEAR_POINT);
    let own = || tips(piece).find(|snap| snap.point.distance(tip) <= SAME_CUT);
    near.min_by(|a, b| off(a).total_cmp(&off(b))).or_else(own).map(|snap| snap.place)
}

/// Where the hand lets a seam end that begins at a tip: where it is at the outline, else where the line to it would run on to.
fn end_of(hand: &Hand, piece: &Piece, tip: Point, ground: BeneathHand<'_>) -> SnappedPlace {
    let at = hand.at();
    let is_inside = piece.outline().contains(at) && piece.nearest_on_outline(at).distance > hand.reach();
    let run_on = is_inside.then(|| first_met(piece, tip, at - tip)).flatten();
    meant_on_outline(ground.pattern, piece, run_on.unwrap_or(at), hand.reach())
}

/// Where a dart would end straight on along its axis.
fn straight_on(piece: &Piece, dart: &Dart, tip: Point) -> Option<Point> {
    let (first, second) = dart.legs();
    let behind = match dart.mouth() {
        Some(_) => first.start().midpoint(second.start()),
        None => dart.tips().into_iter().find(|other| other.distance(tip) > SAME_CUT)?,
    };
    first_met(piece, tip, tip - behind)
}

/// Where a ray from within a piece first meets its outline.
fn first_met(piece: &Piece, from: Point, way: Vec2) -> Option<Point> {
    let far = from + way.normalize() * (piece.diagonal() + from.distance(piece.bounds().center()));
    let ray = Curve::line(from, far).ok()?;
    let met = piece.outline().crossings_with(&ray);
    met.into_iter().find(|crossing| crossing.line_at > SAME_CUT).map(|crossing| crossing.point)
}

/// A line, as the data of an SVG path.
fn line(from: Point, to: Point) -> String {
    Curve::line(from, to).map_or_else(|_| String::new(), |line| crate::canvas::path_data(&line.to_path()))
}
