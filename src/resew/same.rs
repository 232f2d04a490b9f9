//! Whether a drawing is what its steps give.

use crate::curve::{Motion, Point};
use crate::pattern::{Pattern, Piece};
use crate::resew::lines::{MeasuredCurves, places};
use crate::tolerance::{REPLAYED, SAME_POINT};

/// Something on a sheet that its steps do not give.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnByHand {
    /// What: a piece, an edge, a dart, a notch, a level or a point.
    pub at: String,
    /// How far it lies off, mm; none where it is on one of the two only.
    pub distance: Option<f64>,
}

/// All that differs. A piece that was only moved about on the sheet does not differ.
pub(super) fn drawn_by_hand(given: &Pattern, drawn: &Pattern) -> Vec<DrawnByHand> {
    let mut found = Vec::new();
    for piece in given.pieces() {
        match drawn.find(piece.name()) {
            None => found.push(DrawnByHand { at: piece.name().to_string(), distance: None }),
            Some(other) => found.extend(of_piece(piece, other)),
        }
    }
    let new = drawn.pieces().filter(|piece| given.find(piece.name()).is_none());
    found.extend(new.map(|piece| DrawnByHand { at: piece.name().to_string(), distance: None }));
    found
}

fn of_piece(given: &Piece, drawn: &Piece) -> Vec<DrawnByHand> {
    let in_place = differences(given, drawn, &Motion::identity());
    if in_place.is_empty() {
        return in_place;
    }
    let moved = placing(given, drawn).map(|motion| differences(given, drawn, &motion));
    match moved {
        Some(moved) if worst(&moved) < worst(&in_place) || moved.is_empty() => moved,
        _ => in_place,
    }
}

fn worst(found: &[DrawnByHand]) -> f64 {
    found.iter().map(|one| one.distance.unwrap_or(f64::INFINITY)).fold(0.0, f64::max)
}

/// The motion that lays the first edge of the one piece on that of the other.
fn placing(given: &Piece, drawn: &Piece) -> Option<Motion> {
    let first = given.edges().first()?;
    let other = drawn.edge(drawn.find_edge(&first.name)?);
    let ends = |edge: &crate::pattern::Edge| (edge.curve.start(), edge.curve.end());
    let (from, to) = (ends(first), ends(other));
    if from.0.distance(from.1) <= SAME_POINT {
        return None;
    }
    Motion::carry(from, to).ok()
}

/// A thing on a piece by its name, with the places that make it up.
type Named = (String, Vec<Point>);

fn differences(given: &Piece, drawn: &Piece, motion: &Motion) -> Vec<DrawnByHand> {
    let mut found = Vec::new();
    let named = |what: &str| format!("{}.{what}", given.name());
    for edge in given.edges() {
        let at = named(edge.name.as_str());
        match drawn.find_edge(&edge.name) {
            None => found.push(DrawnByHand { at, distance: None }),
            Some(id) => {
                let moved = edge.curve.moved(motion);
                let apart = apart(&moved, &drawn.edge(id).curve);
                found.extend((apart > REPLAYED).then_some(DrawnByHand { at, distance: Some(apart) }));
            }
        }
    }
    let new_edges = drawn.edges().iter().filter(|edge| given.find_edge(&edge.name).is_none());
    found.extend(new_edges.map(|edge| DrawnByHand { at: named(edge.name.as_str()), distance: None }));
    let (mut old_marks, mut new_marks) = (marks(given), marks(drawn));
    for (name, points) in old_marks.drain(..) {
        let Some(i) = new_marks.iter().position(|(other, _)| *other == name) else {
            found.push(DrawnByHand { at: named(&name), distance: None });
            continue;
        };
        let (_, others) = new_marks.swap_remove(i);
        let off = match points.len() == others.len() {
            true => {
                points.iter().zip(&others).map(|(a, b)| motion.apply(*a).distance(*b)).fold(0.0, f64::max)
            }
            false => f64::INFINITY,
        };
        if off > REPLAYED {
            found.push(DrawnByHand { at: named(&name), distance: off.is_finite().then_some(off) });
        }
    }
    found.extend(new_marks.into_iter().map(|(name, _)| DrawnByHand { at: named(&name), distance: None }));
    found
}

/// The greatest distance between two curves that should be one.
fn apart(a: &crate::curve::Curve, b: &crate::curve::Curve) -> f64 {
    let farthest = |a: &crate::curve::Curve, b: &crate::curve::Curve| {
        let lines = MeasuredCurves::of([b]);
        places(a).map(|at| lines.distance(at)).fold(0.0, f64::max)
    };
    farthest(a, b).max(farthest(b, a))
}

/// Darts, notches, levels and points of a piece.
fn marks(piece: &Piece) -> Vec<Named> {
    let mut marks: Vec<Named> = Vec::new();
    for dart in &piece.darts {
        let (a, b) = dart.legs();
        let middle = |curve: &crate::curve::Curve| curve.point_at(curve.length() / 2.0);
        let points = vec![a.start(), middle(a), a.end(), b.start(), middle(b), b.end()];
        marks.push((dart.name.to_string(), points));
    }
    for notch in &piece.notches {
        if let Some(edge) = piece.find_edge(&notch.edge) {
            marks.push((notch.name.to_string(), vec![piece.point_on(edge, notch.at)]));
        }
    }
    for level in &piece.levels {
        marks.push((level.name.to_string(), level.stretches.iter().flat_map(|(a, b)| [*a, *b]).collect()));
    }
    marks.extend(piece.points.iter().map(|point| (point.name.to_string(), vec![point.at])));
    marks
}
