//! Checks of darts: legs, mouths, tips, and the edge that runs on across a closed dart.

use crate::advice;
use crate::curve::{Point, turn_between};
use crate::pattern::{Dart, DartKind, DartShape, EdgeId, Field, Finish, Mouth, Operation, Piece};
use crate::tolerance::{OUTSIDE_PIECE, SAME_CUT, SAME_LENGTH, TIP_CLEAR};
use crate::truing::{Finding, FindingKind, Limits, Weight};
use crate::units::Length;

/// All that is not true of the darts of a piece.
pub(super) fn check(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    for dart in &piece.darts {
        check_legs(piece, dart, limits, found);
        check_closed(piece, dart, limits, found);
        check_tips(piece, dart, found);
        for tip in dart.tips() {
            found.extend(outside(piece, dart.name.as_str(), tip));
        }
    }
    for id in piece.edge_ids() {
        check_mouths(piece, id, found);
    }
}

fn check_legs(piece: &Piece, dart: &Dart, limits: &Limits, found: &mut Vec<Finding>) {
    if dart.kind == DartKind::Pleat {
        return;
    }
    let (first, second) = dart.legs();
    let difference = (first.length() - second.length()).abs();
    if difference > limits.dart_legs.mm() {
        found.push(Finding::of_length(
            FindingKind::DartLegs,
            at(piece, dart.name.as_str()),
            difference,
            limits.dart_legs,
        ));
    }
}

/// When the dart is closed its legs lie on one another, tangent to tangent at the mouth where they are curved; the edge
/// must run on there.
fn check_closed(piece: &Piece, dart: &Dart, limits: &Limits, found: &mut Vec<Finding>) {
    let (DartShape::Open { mouth, legs }, Some(id)) =
        (&dart.shape, dart.mouth().and_then(|mouth| piece.find_edge(&mouth.edge)))
    else {
        return;
    };
    let curve = &piece.edge(id).curve;
    if mouth.from <= SAME_CUT || curve.length() - mouth.to <= SAME_CUT {
        return;
    }
    let closing = turn_between(legs.1.start_tangent(), legs.0.start_tangent()).degrees();
    // Where the mouth ends beside a corner of the edge, and not in it by what a drawing rounds, its own chord is no way there.
    let (before, after) =
        (curve.tangent_before(mouth.from - SAME_CUT), curve.tangent_at(mouth.to + SAME_CUT));
    let kink = turn_between(before, after).degrees() + closing;
    let kink = within_half_turn(kink).abs();
    if kink > limits.kink_degrees {
        let place = format!("{} across {}", at(piece, mouth.edge.as_str()), dart.name);
        found.push(Finding::of_angle(FindingKind::Kink, place, kink, limits.kink_degrees, Weight::Untrue));
    }
}

/// A dart is sewn to nothing at its tip, which must lie clear of the seams that its own edge is no part of.
fn check_tips(piece: &Piece, dart: &Dart, found: &mut Vec<Finding>) {
    if dart.kind == DartKind::Pleat {
        return;
    }
    let own = dart.mouth().map(|mouth| &mouth.edge);
    let sewn = piece.edges().iter().filter(|edge| edge.finish == Finish::Seam && Some(&edge.name) != own);
    for edge in sewn {
        let distances = dart.tips().into_iter().map(|tip| edge.curve.nearest(tip).distance);
        let nearest = distances.fold(f64::INFINITY, f64::min);
        if nearest < TIP_CLEAR {
            let place = format!("{} at {}", at(piece, dart.name.as_str()), edge.name);
            let limit = Length::from_mm(TIP_CLEAR);
            let out = Operation::DartToSeam.with(Field::Piece, piece.name()).with(Field::Dart, &dart.name);
            let finding = Finding::of_length(FindingKind::TipAtSeam, place, nearest, limit).into_warning();
            found.push(finding.mended_by(Some(advice!("to run it out: ", out))));
        }
    }
}

fn within_half_turn(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

fn check_mouths(piece: &Piece, id: EdgeId, found: &mut Vec<Finding>) {
    let mut reached: Option<&Mouth> = None;
    for (dart, mouth) in piece.mouths_on(&piece.edge(id).name) {
        let overlap = reached.map_or(0.0, |before| before.to.min(mouth.to) - mouth.from);
        if overlap > SAME_LENGTH {
            found.push(Finding::of_length(
                FindingKind::DartMouthsOverlap,
                at(piece, dart.name.as_str()),
                overlap,
                Length::ZERO,
            ));
        }
        if reached.is_none_or(|before| before.to < mouth.to) {
            reached = Some(mouth);
        }
    }
}

/// A warning where a point lies outside its piece.
pub(super) fn outside(piece: &Piece, name: &str, point: Point) -> Option<Finding> {
    if piece.outline().contains(point) {
        return None;
    }
    let distance = piece.nearest_on_outline(point).distance;
    (distance > OUTSIDE_PIECE).then(|| {
        let limit = Length::from_mm(OUTSIDE_PIECE);
        Finding::of_length(FindingKind::OutsidePiece, at(piece, name), distance, limit).into_warning()
    })
}

fn at(piece: &Piece, name: &str) -> String {
    format!("{}.{name}", piece.name())
}
