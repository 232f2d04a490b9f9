//! Seams along lines that are drawn on the piece.

use crate::pattern::Line;
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::UprightPiece;
use crate::recut::Split;

/// A seam along each line that divides the piece the way it misses.
pub(super) fn along_lines(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::StyleLine) {
        return Vec::new();
    }
    let (view, name) = (UprightPiece::of(site.piece), site.piece.name());
    let serves = |along: bool| along == matches!(site.lack, Lack::Width { .. });
    let lines = site.piece.style_lines.iter().filter(|line| serves(view.curve_runs_along(&line.curve)));
    let cut = |line: &crate::pattern::StyleLine| {
        let step = Split::of(name.clone(), Line::Style(line.name.clone()));
        let tale = format!("cut `{name}` along its {}", line.name);
        site.draft().does(step).map(|draft| site.made(ChangeKind::StyleLine, draft, tale))
    };
    lines.filter_map(cut).collect()
}
