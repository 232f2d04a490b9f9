//! Panels of equal width.

use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{UprightPiece, named_within};
use crate::recut::{LimitWidth, Unfold};

/// The piece in the fewest panels that the cloth is wide enough for.
pub(super) fn panels(site: &Site<'_>) -> Vec<Move> {
    let Lack::Width { gives, .. } = site.lack else { return Vec::new() };
    if !site.may(ChangeKind::Panels) {
        return Vec::new();
    }
    let name = site.piece.name();
    let step = LimitWidth::of(name.clone(), named_within(gives));
    // Panels run along the grain, so that a half piece whose fold does not is opened out first.
    let fold_along = site.piece.fold().is_none_or(|fold| UprightPiece::of(site.piece).runs_along(fold));
    let opened = match fold_along {
        true => Some(site.draft()),
        false => site.draft().does(Unfold::of(name.clone())),
    };
    let Some(draft) = opened.and_then(|draft| draft.does(step)) else { return Vec::new() };
    let count = draft.pattern.pieces().len() - site.state.pattern.pieces().len() + 1;
    if count == 1 {
        // A half piece in two panels is one with a seam down its middle.
        return Vec::new();
    }
    let tale = format!("cut `{name}` in panels, {count} pieces in place of one");
    vec![site.made(ChangeKind::Panels, draft, tale)]
}
