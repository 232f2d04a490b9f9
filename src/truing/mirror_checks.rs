//! Checks of pairs: what is cut left and right is sewn to what is cut left and right.

use rustc_hash::FxHashSet;

use crate::curve::Curve;
use crate::pattern::{Copy, EdgeEnd, EdgeRef, Pattern, Piece, Seam, Twins};
use crate::tolerance::ALIKE;
use crate::truing::meeting::corner_angle;
use crate::truing::{Finding, FindingKind, Weight};

/// Warns of seams that join what is cut left and right to what is cut as often, but all alike, unless that is the same
/// with either side up.
pub(super) fn check(pattern: &Pattern, found: &mut Vec<Finding>) {
    for seam in pattern.seams() {
        if needs_mirror(pattern, seam) {
            found.push(Finding::of_count(FindingKind::CutMirror, seam.name(), 0, 1, Weight::Warning));
        }
    }
}

fn needs_mirror(pattern: &Pattern, seam: &Seam) -> bool {
    let edges: FxHashSet<&EdgeRef> =
        [&seam.first, &seam.second].into_iter().flat_map(|run| run.edges()).map(|run| &run.edge).collect();
    let mut sides = edges.iter().filter(|edge| !edges.contains(&edge.mirrored())).filter_map(|edge| {
        let piece = pattern.find(&edge.piece)?;
        Some((piece, left_over(piece, edge.copy)))
    });
    let Some((piece, left)) = sides.next() else { return false };
    sides.any(|(other, other_left)| {
        let one_sided = if left == 0 { other } else { piece };
        piece.times() == other.times() && left != other_left && !is_alike_on_both_sides(one_sided)
    })
}

/// How many more copies of a piece lie as a seam uses it than the other way up.
fn left_over(piece: &Piece, used: Copy) -> i64 {
    let as_drawn = match (piece.fold(), piece.cut.twins) {
        (Some(_), _) | (None, Twins::Mirrored) => 0,
        (None, Twins::Same) => i64::from(piece.cut.copies),
    };
    match used {
        Copy::Drawn => as_drawn,
        Copy::Mirrored => -as_drawn,
    }
}

/// Whether two edges bow alike, one walked the other way: a cap that is hollower at the front does not.
fn reads_the_same(edge: &Curve, mirror: &Curve) -> bool {
    let same = |a: f64, b: f64| (a - b).abs() <= ALIKE;
    let bows_alike = |share: f64| {
        let at = edge.point_at(edge.length() * share);
        let other = mirror.point_at(mirror.length() * (1.0 - share));
        same(at.distance(edge.start()), other.distance(mirror.end()))
            && same(at.distance(edge.end()), other.distance(mirror.start()))
    };
    same(edge.length(), mirror.length()) && BOWS_AT.into_iter().all(bows_alike)
}

/// Shares of an edge at which its bow is compared.
const BOWS_AT: [f64; 5] = [0.15, 0.3, 0.5, 0.7, 0.85];

/// Whether a piece turned over has the same outline: its edges' bows and corners' angles read the same the other way
/// round.
fn is_alike_on_both_sides(piece: &Piece) -> bool {
    let sides: Vec<(&Curve, f64)> =
        piece.edge_ids().map(|id| (&piece.edge(id).curve, corner_angle(piece, id, EdgeEnd::Last))).collect();
    let count = sides.len();
    let mirrored_at = |shift: usize| {
        (0..count).all(|i| {
            let mirror = (count + shift - i) % count;
            let before = (mirror + count - 1) % count;
            reads_the_same(sides[i].0, sides[mirror].0) && (sides[i].1 - sides[before].1).abs() <= ALIKE
        })
    };
    (0..count).any(mirrored_at)
}
