//! Girth along a moved seam, measured with polylines alone at stations along it and at its levels.

use crate::seam_laws::{GIRTH, curve, piece, shift, side};
use approx::assert_abs_diff_eq;
use retrue::curve::{Curve, Motion, Point, Vec2};
use retrue::pattern::{Pattern, Piece};
use retrue::truing::{Girth, girths};

/// Stations along a seam lie this far apart, mm.
const STATION: f64 = 10.0;

/// How far a shaped side of the random pieces leans at the most, mm per mm.
const STEEPEST_SIDE: f64 = 0.35;

/// A difference that stays at the far end fades over how many times its own length.
const FAR_END: f64 = 20.0;

/// Square to the grain, from the centre to the side.
pub fn outward(piece: &Piece) -> Vec2 {
    let grain = piece.grain().unwrap().direction();
    let across = Vec2::new(-grain.y, grain.x);
    let seam = curve(piece, "side");
    let way = seam.point_at(seam.length() / 2.0) - curve(piece, "centre").start();
    if across.dot(way) > 0.0 { across } else { -across }
}

/// How far along a direction a polyline lies from a point, signed; the crossing nearest to the point.
pub fn reach(from: Point, way: Vec2, line: &[Point]) -> Option<f64> {
    let crossings = line.windows(2).filter_map(|pair| {
        let (a, b) = (way.cross(pair[0] - from), way.cross(pair[1] - from));
        if a * b > 0.0 || a == b {
            return None;
        }
        Some((pair[0].lerp(pair[1], a / (a - b)) - from).dot(way))
    });
    crossings.min_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// The direction of the strip's levels once it lies on the piece that takes: the direction `way` on the giver keeps its
/// angle to the chord of the seam, and points out of the taker.
pub fn level_on_taker(giver: &Curve, taker: &Curve, way: Vec2, out: Vec2) -> Vec2 {
    let unit = |seam: &Curve| (seam.end() - seam.start()).normalize();
    let (old, new) = (unit(giver), unit(taker));
    let square = Vec2::new(-new.y, new.x);
    let square = if square.dot(out) > 0.0 { square } else { -square };
    new * way.dot(old) + square * way.cross(old).abs()
}

/// What becomes of the widths at stations along a seam moved from one piece to another.
pub struct Stations {
    /// By how much the sum of both widths changed, at every station at which both have a level.
    pub changes: Vec<(usize, f64)>,
    /// How many stations there are.
    pub count: usize,
    /// By how much the new edge would miss its corner at the hem, which keeps its length: the two old seamlines differ in
    /// length, walked or straight, or the new edge ends at another level than the old, where there is still shaping.
    pub differ: f64,
}

/// Measures with polylines alone: at equal walk distances from the underarm, how far the giver's new edge lies inside
/// its old one, and how far the taker's lies beyond.
pub fn stations(before: &Pattern, after: &Pattern, giver: &str, taker: &str) -> Stations {
    let (old_giver, old_taker) = (piece(before, giver), piece(before, taker));
    let (new_giver, new_taker) = (piece(after, giver), piece(after, taker));
    let (giving, taking) = (side(old_giver), side(old_taker));
    let out = outward(old_giver);
    let level = level_on_taker(&giving, &taking, -out, outward(old_taker));
    let (shift_giver, shift_taker) = (shift(old_giver, new_giver), shift(old_taker, new_taker));
    let (edge_giver, edge_taker) = (side(new_giver).flattened(1e-3), side(new_taker).flattened(1e-3));
    let count = (giving.length().min(taking.length()) / STATION) as usize;
    let changes = (0..=count).filter_map(|i| {
        let at = i as f64 * STATION;
        let lost = reach(giving.point_at(at) + shift_giver, out, &edge_giver)?;
        let gained = reach(taking.point_at(at) + shift_taker, level, &edge_taker)?;
        Some((i, lost + gained))
    });
    let chord = |seam: &Curve| seam.start().distance(seam.end());
    let differ = (giving.length() - taking.length()).abs().max((chord(&giving) - chord(&taking)).abs());
    let slant = (side(new_giver).end() - giving.end() - shift_giver).cross(out).abs();
    let differ = differ.max(STEEPEST_SIDE * slant);
    Stations { changes: changes.collect(), count: count + 1, differ }
}

/// What becomes of the girth at the end of a moved seam where its edges meet others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum FarEnd {
    /// The hem keeps its length, and the new edge is led to its corner.
    GivesWay,
    /// The hem is redrawn to the new edge.
    Kept,
}

pub fn assert_girth_kept(before: &Pattern, after: &Pattern, giver: &str, taker: &str) {
    assert_kept(&stations(before, after, giver, taker), FarEnd::GivesWay);
}

/// Girth is kept at every station down to the hem, which is redrawn to the new seam.
pub fn assert_girth_kept_to_the_hem(before: &Pattern, after: &Pattern, giver: &str, taker: &str) {
    assert_kept(&stations(before, after, giver, taker), FarEnd::Kept);
}

fn assert_kept(stations: &Stations, far_end: FarEnd) {
    assert!(stations.changes.len() * 10 >= stations.count * 8, "only {} stations", stations.changes.len());
    for (i, change) in &stations.changes {
        let from_end = (stations.count - i) as f64 * STATION;
        let at_far_end = far_end == FarEnd::GivesWay && from_end <= FAR_END * stations.differ + STATION;
        let allowed = if at_far_end { GIRTH + 0.5 * stations.differ } else { GIRTH };
        assert!(change.abs() <= allowed, "the girth changes by {change} mm at station {i}");
    }
}

/// The width that dropping the shaping leaves at each level, from outlines alone: the taker from the inner end of its
/// level to where the strip, laid on by the recorded motion, begins; and all that the giver was wide.
pub fn assert_dropped_widths(before: &Pattern, after: &Pattern, [giver, taker]: [&str; 2], edge: &str) {
    let (giving, taking) = (piece(before, giver), piece(before, taker));
    let moved = after.record.steps.last().unwrap().moved.iter();
    let to = |from: &str| {
        let mut laid =
            moved.clone().filter(|moved| moved.to.as_str() == taker && moved.from.as_str() == from);
        Motion::from_array(laid.next().unwrap().motion).unwrap()
    };
    let back = to(taker).inverse();
    let laid = curve(giving, edge).moved(&to(giver)).moved(&back).flattened(1e-3);
    for level in &taking.levels {
        let Some(other) = giving.levels.iter().find(|other| other.name == level.name) else { continue };
        let [(from, end)] = level.stretches[..] else { continue };
        let seam = curve(taking, edge);
        let at_seam = |point: Point| seam.nearest(point).distance < 1.0;
        let (inner, outer) = if at_seam(from) { (end, from) } else { (from, end) };
        let reaches = |piece: &Piece| piece.levels.iter().any(|now| now.name == level.name);
        if !at_seam(outer) || !reaches(piece(after, giver)) {
            continue;
        }
        let Some(own) = reach(inner, (outer - inner).normalize(), &laid) else { continue };
        let given: f64 = other.stretches.iter().map(|(a, b)| a.distance(*b)).sum();
        let now = girths(after).into_iter().find(|girth| girth.level == level.name).unwrap();
        let was = girths(before).into_iter().find(|girth| girth.level == level.name).unwrap();
        let part = |girth: &Girth, name: &str| {
            girth
                .parts
                .iter()
                .filter(|part| part.piece.as_str() == name)
                .map(|part| part.width.mm())
                .sum::<f64>()
        };
        let folded = given - part(&was, giver) + outer.distance(inner) - part(&was, taker);
        let told = part(&now, giver) + part(&now, taker);
        assert_abs_diff_eq!(told, own + given - folded, epsilon = GIRTH);
    }
}
