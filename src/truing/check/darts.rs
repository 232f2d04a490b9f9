//! Darts: legs, tips, mouths.

use super::Measures;
use crate::pattern::{Dart, Edge, Piece};
use crate::tolerance::{ON_OUTLINE, SAME_LENGTH};
use crate::truing::finding::{Finding, FindingKind, Measured};

/// What is wrong with the darts of all pieces.
pub(super) fn darts(measures: &Measures<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for piece in measures.pattern.pieces() {
        for dart in &piece.darts {
            let at = format!("{}.{}", piece.name(), dart.name);
            let (first, second) = dart.legs();
            let differ = first.length() - second.length();
            let legs = Finding::length(FindingKind::DartLegs, &at, differ, measures.limits.dart_legs);
            findings.extend(legs);
            findings.extend(tip_outside(piece, dart, at));
        }
        findings.extend(piece.edges().iter().flat_map(|edge| overlapping_mouths(piece, edge)));
    }
    findings
}

fn tip_outside(piece: &Piece, dart: &Dart, at: String) -> Option<Finding> {
    let outside = |tip| match piece.outline().contains(tip) {
        true => 0.0,
        false => piece.nearest_on_outline(tip).distance,
    };
    let farthest = dart.tips().into_iter().map(outside).fold(0.0, f64::max);
    Finding::over(FindingKind::DartTip, at, farthest, ON_OUTLINE, Measured::Millimetres)
}

fn overlapping_mouths(piece: &Piece, edge: &Edge) -> Vec<Finding> {
    let mouths = piece.mouths_on(&edge.name);
    let pairs = mouths.windows(2).filter_map(|pair| {
        let [(before, mouth), (after, next)] = [pair[0], pair[1]];
        let overlap = (mouth.to - next.from).max(0.0);
        let at = format!("{}.{} and {}.{}", piece.name(), before.name, piece.name(), after.name);
        Finding::over(FindingKind::DartMouths, at, overlap, SAME_LENGTH, Measured::Millimetres)
    });
    pairs.collect()
}
