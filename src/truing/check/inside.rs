//! Levels and points that should lie within their piece, and levels that run into darts.

use super::Measures;
use crate::curve::Point;
use crate::pattern::{GirthUse, Level, Piece};
use crate::tolerance::{LEVEL_AT_SEAM, ON_OUTLINE};
use crate::truing::finding::{Finding, FindingKind, Measured};
use crate::truing::wedge::{Way, Wedge, folded};

/// Levels and points outside their piece, and levels whose girth a dart hides.
pub(super) fn inside(measures: &Measures<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for piece in measures.pattern.pieces() {
        for point in &piece.points {
            let at = format!("{}.{}", piece.name(), point.name);
            let outside = outside(piece, point.at);
            let found =
                Finding::over(FindingKind::PointOutside, at, outside, ON_OUTLINE, Measured::Millimetres);
            findings.extend(found.map(Finding::warned));
        }
        let wedges = if piece.levels.is_empty() { Vec::new() } else { Wedge::all_of(piece) };
        for level in piece.levels.iter().filter(|level| level.girth == GirthUse::Counts) {
            findings.extend(level_outside(piece, level));
            findings.extend(level_in_dart(piece, level, &wedges));
        }
    }
    findings
}

/// How far outside a piece a point lies, mm.
fn outside(piece: &Piece, point: Point) -> f64 {
    if piece.outline().contains(point) { 0.0 } else { piece.nearest_on_outline(point).distance }
}

fn level_outside(piece: &Piece, level: &Level) -> Option<Finding> {
    let ends = level.stretches.iter().flat_map(|(from, to)| [*from, *to]);
    let farthest = ends.map(|end| outside(piece, end)).fold(0.0, f64::max);
    let at = format!("{}.{}", piece.name(), level.name);
    Finding::over(FindingKind::LevelOutside, at, farthest, LEVEL_AT_SEAM, Measured::Millimetres)
        .map(Finding::warned)
}

fn level_in_dart(piece: &Piece, level: &Level, wedges: &[Wedge<'_>]) -> Vec<Finding> {
    let parts = level.stretches.iter().flat_map(|stretch| folded(wedges, *stretch));
    let found = parts.filter(|part| part.way == Way::Along).filter_map(|part| {
        let at = format!("{}.{} in {}.{}", piece.name(), level.name, piece.name(), part.dart.name);
        let length = part.to - part.from;
        Finding::over(FindingKind::LevelInDart, at, length, LEVEL_AT_SEAM, Measured::Millimetres)
    });
    found.map(Finding::warned).collect()
}
