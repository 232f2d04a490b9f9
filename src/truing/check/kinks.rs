//! Edges that should run on smoothly: across seams, across closed darts, and at the centre.

use super::Measures;
use crate::pattern::{Dart, DartShape, Finish, Mouth, Piece};
use crate::tolerance::{POINT_MEANT, SAME_LENGTH};
use crate::truing::corner::{corner_angle, degrees_between};
use crate::truing::finding::{Finding, FindingKind, Measured};
use crate::truing::walk_seam::SeamEnd;

/// Kinks at the ends of seams.
pub(super) fn across_seams(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.kink_degrees;
    let ends = measures.walks.iter().flat_map(|walk| [(walk, &walk.start), (walk, &walk.end)]);
    let found = ends.filter_map(|(walk, end)| {
        let kink = end.kink?;
        let at = format!("{}, {} to {}", walk.name, end.first.neighbour, end.second.neighbour);
        if is_at_own_mirror(end) {
            return at_centre(at, kink / 2.0, limit);
        }
        Finding::over(FindingKind::Kink, at, kink, limit, Measured::Degrees)
    });
    found.collect()
}

fn is_at_own_mirror(end: &SeamEnd) -> bool {
    end.first.neighbour == end.second.neighbour.mirrored()
}

/// An edge that does not meet the centre square. One far off is drawn to a point, as a V neckline is.
fn at_centre(at: String, off: f64, limit: f64) -> Option<Finding> {
    let found = Finding::over(FindingKind::FoldKink, at, off, limit, Measured::Degrees)?;
    Some(if off.abs() > POINT_MEANT { found.warned() } else { found })
}

/// Kinks where darts are closed, and at folds.
pub(super) fn in_pieces(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.kink_degrees;
    let mut findings = Vec::new();
    for piece in measures.pattern.pieces() {
        findings.extend(at_fold(piece, limit));
        for dart in &piece.darts {
            let at = format!("{}.{}", piece.name(), dart.name);
            let kink = closed_kink(piece, dart);
            let found = |kink| Finding::over(FindingKind::DartKink, at, kink, limit, Measured::Degrees);
            findings.extend(kink.and_then(found));
        }
    }
    findings
}

/// How far the edge stands out where a dart in it is closed, degrees; nothing for a double dart, nor where the dart
/// opens at a corner.
fn closed_kink(piece: &Piece, dart: &Dart) -> Option<f64> {
    let DartShape::Open { mouth: Mouth { edge, from, to }, legs } = &dart.shape else { return None };
    let curve = &piece.edge(piece.find_edge(edge)?).curve;
    if *from <= SAME_LENGTH || *to >= curve.length() - SAME_LENGTH {
        return None;
    }
    let before = degrees_between(legs.0.start_tangent(), -curve.tangent_before(*from));
    let after = degrees_between(curve.tangent_at(*to), legs.1.start_tangent());
    Some(180.0 - before - after)
}

fn at_fold(piece: &Piece, limit: f64) -> Vec<Finding> {
    let folds = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Fold);
    let corners = folds.flat_map(|fold| {
        let (before, after) = (piece.previous(fold), piece.next(fold));
        [(before, before, fold), (after, fold, after)]
    });
    let found = corners.filter_map(|(neighbour, arriving, leaving)| {
        let edge = piece.edge(neighbour);
        let angle = corner_angle(piece, arriving, leaving).filter(|_| edge.finish != Finish::Fold)?;
        at_centre(format!("{}.{}", piece.name(), edge.name), 90.0 - angle, limit)
    });
    found.collect()
}
