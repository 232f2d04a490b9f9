//! Faults of pieces that were made of others: one that is drawn otherwise, and one that did not follow.

use retrue::curve::{Curve, Vec2};
use retrue::pattern::{DartShape, EdgeId, Finish, Notch, Pattern, Piece, PieceName};
use retrue::recut::Step;
use retrue::units::Length;
use serde_json::{Value, json};

use crate::injector::{Fault, fault, with_curves, with_piece};

/// By how much lines and notches are moved, mm.
const SIZES: [f64; 2] = [1.0, 5.0];

/// How deep facings are made, mm.
const DEPTH: f64 = 25.0;

/// Facings that are made of each pattern.
const FACINGS: usize = 6;

/// The pattern with a piece made of others in it.
struct WithMade {
    pattern: Pattern,
    made: PieceName,
    /// What it was made from: a piece, and the edge where it is one alone.
    from: (PieceName, Option<String>),
}

/// A derived piece is drawn otherwise: an edge, a corner, or a notch of it.
pub fn reshaped(pattern: &Pattern) -> Vec<Fault> {
    changed(pattern, |with| (with.made.clone(), None))
}

/// What a derived piece was made from is drawn otherwise, and it did not follow.
pub fn unfollowed(pattern: &Pattern) -> Vec<Fault> {
    changed(pattern, |with| with.from.clone())
}

/// What a derived piece says besides its lines is changed: an allowance that is its original's, its grain, its points, its
/// levels, and where its darts point.
pub fn remarked(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for with in copies(pattern).into_iter().chain(facings(pattern)) {
        let piece = with.pattern.piece(&with.made).unwrap();
        for by in SIZES {
            faults.extend(marks_changed(&with, piece, by));
            faults.extend(allowances_changed(&with, piece, by));
        }
    }
    faults
}

fn marks_changed(with: &WithMade, piece: &Piece, by: f64) -> Vec<Fault> {
    let shift = Vec2::new(by, by);
    let mut faults = Vec::new();
    let mut add = |what: String, change: &dyn Fn(&mut Piece)| {
        let place = format!("{}.{what}", with.made);
        let changed = with_piece(&with.pattern, piece, |piece| change(piece));
        faults.push(fault(changed, place, by, [with.made.to_string()]));
    };
    if piece.grainline.is_some() {
        add("grain".to_owned(), &|piece| {
            let grain = piece.grainline.as_mut().unwrap();
            grain.end += (grain.end - grain.start).turn_90().normalize() * by;
        });
    }
    for (i, point) in piece.points.iter().enumerate() {
        add(point.name.to_string(), &|piece| piece.points[i].at += shift);
    }
    for (i, level) in piece.levels.iter().enumerate() {
        add(level.name.to_string(), &|piece| {
            let stretches = piece.levels[i].stretches.iter_mut();
            stretches.for_each(|(start, end)| (*start, *end) = (*start + shift, *end + shift));
        });
    }
    for (i, dart) in piece.darts.iter().enumerate() {
        add(dart.name.to_string(), &|piece| {
            let (DartShape::Open { legs: (a, b), .. } | DartShape::Double { sides: (a, b) }) =
                &mut piece.darts[i].shape;
            for leg in [a, b] {
                *leg = leg.with_ends(leg.start(), leg.end() + shift).unwrap();
            }
        });
    }
    faults
}

/// On edges that lie on none of the original's the allowance may be set as one likes.
fn allowances_changed(with: &WithMade, piece: &Piece, by: f64) -> Vec<Fault> {
    let fault_of = |id: EdgeId| {
        let edge = piece.edge(id);
        let changed = with_piece(&with.pattern, piece, |piece| {
            let settings = piece.edge_settings(id);
            *settings.allowance = Length::from_mm(edge.allowance.mm() + by);
        });
        let told = fault(changed, format!("{} allowance", piece.edge_ref(id)), by, [with.made.to_string()]);
        let lies = with.from.1.is_none() || edge.name.as_str() != "inner";
        let is_none = (!lies).then_some("it lies on no edge of the original");
        Fault { is_none, ..told }
    };
    let with_allowance = |id: &EdgeId| piece.edge(*id).finish != Finish::Fold;
    piece.edge_ids().filter(with_allowance).map(fault_of).collect()
}

fn changed(pattern: &Pattern, which: fn(&WithMade) -> (PieceName, Option<String>)) -> Vec<Fault> {
    let mut faults = Vec::new();
    for with in copies(pattern).into_iter().chain(facings(pattern)) {
        let (name, edge) = which(&with);
        let piece = with.pattern.piece(&name).unwrap();
        for by in SIZES {
            let drawn = lines_changed(&with, piece, edge.as_deref(), by);
            let moved = notches_moved(&with, piece, edge.as_deref(), by);
            let put_in = drawn.into_iter().chain(moved).map(|(place, changed)| {
                fault(changed, format!("{place} for {}", with.made), by, [with.made.to_string()])
            });
            faults.extend(put_in);
        }
    }
    faults
}

/// The pattern with each edge bent and each corner moved, of those meant.
fn lines_changed(with: &WithMade, piece: &Piece, meant: Option<&str>, by: f64) -> Vec<(String, Pattern)> {
    let mut changed = Vec::new();
    let is_meant = |id: &EdgeId| meant.is_none_or(|edge| piece.edge(*id).name.as_str() == edge);
    for id in piece.edge_ids().filter(is_meant) {
        let place = piece.edge_ref(id);
        let bent = bowed(&piece.edge(id).curve, by);
        let bent = bent.and_then(|curve| with_curves(&with.pattern, piece, &[(id, curve)]));
        changed.extend(bent.map(|bent| (format!("{place} bowed"), bent)));
        let moved = corner_moved(&with.pattern, piece, id, by);
        changed.extend(moved.map(|moved| (format!("{place} turned"), moved)));
    }
    changed
}

fn notches_moved(with: &WithMade, piece: &Piece, meant: Option<&str>, by: f64) -> Vec<(String, Pattern)> {
    let notches = piece.notches.iter().enumerate();
    let is_meant = |notch: &Notch| meant.is_none_or(|edge| notch.edge.as_str() == edge);
    notches
        .filter(|(_, notch)| is_meant(notch))
        .filter_map(|(i, notch)| {
            let length = piece.edge(piece.find_edge(&notch.edge)?).curve.length();
            let to =
                [notch.at + by, notch.at - by].into_iter().find(|at| (1.0..length - 1.0).contains(at))?;
            let moved = with_piece(&with.pattern, piece, |piece| piece.notches[i].at = to);
            Some((format!("{}.{} moved", piece.name(), notch.name), moved))
        })
        .collect()
}

/// The middle of an edge moved square to it.
fn bowed(curve: &Curve, by: f64) -> Option<Curve> {
    let half = curve.length() / 2.0;
    if half < 4.0 * by {
        return None;
    }
    let along = curve.point_at(half + 0.5) - curve.point_at(half - 0.5);
    let to = curve.point_at(half) + Vec2::new(along.y, -along.x).normalize() * by;
    let first = curve.stretch(0.0, half).ok()?.with_ends(curve.start(), to).ok()?;
    let second = curve.stretch(half, curve.length()).ok()?.with_ends(to, curve.end()).ok()?;
    first.joined(&second).ok()
}

/// The corner at the end of an edge moved along the next one.
fn corner_moved(pattern: &Pattern, piece: &Piece, id: EdgeId, by: f64) -> Option<Pattern> {
    let next = piece.next(id);
    let (own, beside) = (&piece.edge(id).curve, &piece.edge(next).curve);
    if own.length() < 4.0 * by || beside.length() < 4.0 * by {
        return None;
    }
    let to = beside.point_at(by);
    let curves =
        [(id, own.with_ends(own.start(), to).ok()?), (next, beside.stretch(by, beside.length()).ok()?)];
    with_curves(pattern, piece, &curves)
}

fn made(pattern: &Pattern, step: Value, from: (PieceName, Option<String>)) -> Option<WithMade> {
    let made = step["name"].as_str()?.parse().ok()?;
    Some(WithMade { pattern: Step::from_value(&step).ok()?.apply(pattern).ok()?.pattern, made, from })
}

fn copies(pattern: &Pattern) -> Vec<WithMade> {
    let copy = |piece: &Piece| {
        let name = piece.name();
        let step = json!({"do": "copy-piece", "piece": name.as_str(), "name": format!("{name}-copy"), "for": "underlining"});
        made(pattern, step, (name.clone(), None)).unwrap()
    };
    pattern.pieces().map(copy).collect()
}

fn facings(pattern: &Pattern) -> Vec<WithMade> {
    let edges = pattern
        .pieces()
        .flat_map(|piece| piece.edge_ids().map(|id| (piece.name().clone(), piece.edge(id).name.to_string())));
    let facing = |(piece, edge): (PieceName, String)| {
        let step = json!({"do": "add-facing", "along": format!("{piece}.{edge}"), "depth": format!("{DEPTH}mm"), "name": "made-facing"});
        made(pattern, step, (piece, Some(edge)))
    };
    edges.filter_map(facing).take(FACINGS).collect()
}
