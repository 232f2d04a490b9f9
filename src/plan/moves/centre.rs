//! A seam in place of a fold.

use crate::pattern::{ClothName, PieceName};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::selvedges::centre_at_selvedges;
use crate::plan::moves::site::{Lack, Setting, Site};
use crate::plan::state::State;
use crate::plan::view::UprightPiece;
use crate::recut::OpenCentre;

/// A seam down the fold where the piece is too wide across it.
pub(super) fn opened(site: &Site<'_>) -> Vec<Move> {
    let Some(fold) = site.piece.fold().filter(|_| site.may(ChangeKind::Centre)) else { return Vec::new() };
    let along = UprightPiece::of(site.piece).runs_along(fold);
    if along != matches!(site.lack, Lack::Width { .. }) {
        return Vec::new();
    }
    let name = site.piece.name();
    let Some((draft, tale)) = seamed(site.draft(), name) else { return Vec::new() };
    let at_selvedges = match site.fit_of(&draft, name) {
        Some(fit) if !fit.fits => centre_at_selvedges(site, fold),
        _ => None,
    };
    [Some(site.made(ChangeKind::Centre, draft, tale)), at_selvedges].into_iter().flatten().collect()
}

fn seamed(draft: RecutSoFar, name: &PieceName) -> Option<(RecutSoFar, String)> {
    let draft = draft.does(OpenCentre::of(name.clone()))?;
    Some((draft, format!("cut `{name}` in two with a seam down the middle in place of the fold")))
}

/// How many half pieces are opened by themselves where a layout is not found: the largest leave the most beside them.
const LARGEST: usize = 3;

/// The largest half pieces of a cloth with a seam in place of the fold, each by itself: two halves lie closer than a
/// whole.
pub(super) fn eased(state: &State, cloth: &ClothName, setting: Setting<'_>) -> Vec<Move> {
    let mut pieces: Vec<_> = state.fit.pieces.iter().filter(|piece| piece.cloth == *cloth).collect();
    pieces.sort_by(|a, b| b.area.total_cmp(&a.area));
    let half = pieces.into_iter().filter(|piece| {
        state
            .pattern
            .find(&piece.piece)
            .is_some_and(|piece| piece.fold().is_some_and(|fold| UprightPiece::of(piece).runs_along(fold)))
    });
    let may = half.filter(|piece| setting.taste.may_cut(&state.root(&piece.piece), ChangeKind::Centre));
    let open = |name: &PieceName| {
        let (draft, tale) = seamed(RecutSoFar::of(&state.pattern), name)?;
        let root = state.root(name);
        let seen = setting.seen(&root);
        Some(Move { kind: ChangeKind::Centre, besides: None, changed: vec![(root, seen)], draft, tale })
    };
    may.take(LARGEST).filter_map(|piece| open(&piece.piece)).collect()
}
