//! A seam in place of a fold.

use crate::plan::moves::{Kind, Lack, Move, Site};
use crate::plan::view::View;
use crate::recut::OpenCentre;

/// A seam down the fold where the piece is too wide across it.
pub(super) fn opened(site: &Site<'_>) -> Vec<Move> {
    let Some(fold) = site.piece.fold().filter(|_| site.may(Kind::Centre)) else { return Vec::new() };
    let along = View::of(site.piece).runs_along(fold);
    if along != matches!(site.lack, Lack::Width { .. }) {
        return Vec::new();
    }
    let name = site.piece.name();
    let step = OpenCentre { piece: name.clone(), edge: None };
    let tale = format!("cut `{name}` in two with a seam down the middle in place of the fold");
    site.draft().does(step).map(|draft| site.made(Kind::Centre, draft, tale)).into_iter().collect()
}
