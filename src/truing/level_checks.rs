//! Checks of levels: that they lie on their piece, and that darts do not hide their girth.

use crate::curve::{Curve, Outline, Point};
use crate::pattern::{GirthUse, Level, Piece};
use crate::tolerance::LEVEL_AT_SEAM;
use crate::truing::girth::{folded_parts, wedge};
use crate::truing::{Finding, FindingKind};
use crate::units::Length;

/// All that is not true of the levels of a piece; what is left out of the girth is not looked at.
pub(super) fn check(piece: &Piece, found: &mut Vec<Finding>) {
    for level in piece.levels.iter().filter(|level| level.girth == GirthUse::Counts) {
        check_ends(piece, level, found);
        check_darts(piece, level, found);
    }
}

/// A level is drawn to the seamline, by hand.
fn check_ends(piece: &Piece, level: &Level, found: &mut Vec<Finding>) {
    let ends = level.stretches.iter().flat_map(|(from, to)| [*from, *to]);
    let outside = ends.filter(|end| !piece.outline().contains(*end));
    let farthest = outside.map(|end| piece.nearest_on_outline(end).distance).fold(0.0, f64::max);
    push_over(FindingKind::OutsidePiece, format!("{}.{}", piece.name(), level.name), farthest, found);
}

/// A level may cross a dart from leg to leg, and then loses its width there. One that enters at the mouth, or ends
/// inside, would lose the whole length of the dart.
fn check_darts(piece: &Piece, level: &Level, found: &mut Vec<Finding>) {
    for dart in &piece.darts {
        let Some(wedge) = wedge(dart) else { continue };
        for line in level.stretches.iter().filter_map(|(from, to)| Curve::line(*from, *to).ok()) {
            let within: f64 = folded_parts(&line, std::slice::from_ref(&wedge))
                .iter()
                .filter(|(from, to)| !is_across(&wedge, line.point_at(*from), line.point_at(*to)))
                .map(|(from, to)| to - from)
                .sum();
            let at = format!("{}.{} in {}", piece.name(), level.name, dart.name);
            push_over(FindingKind::LevelInDart, at, within, found);
        }
    }
}

/// Whether a line that lies in a wedge between two points goes from one leg to the other.
fn is_across(wedge: &Outline, from: Point, to: Point) -> bool {
    let [first, second, ..] = wedge.curves() else { return false };
    let on = |leg: &Curve, point: Point| leg.nearest(point).distance <= LEVEL_AT_SEAM;
    (on(first, from) && on(second, to)) || (on(second, from) && on(first, to))
}

fn push_over(kind: FindingKind, at: String, mm: f64, found: &mut Vec<Finding>) {
    if mm > LEVEL_AT_SEAM {
        found.push(Finding::of_length(kind, at, mm, Length::from_mm(LEVEL_AT_SEAM)).into_warning());
    }
}
