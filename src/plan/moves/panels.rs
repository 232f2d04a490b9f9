//! Panels of equal width.

use crate::plan::moves::{Kind, Lack, Move, Site};
use crate::plan::view::named_within;
use crate::recut::LimitWidth;

/// The piece in the fewest panels that the cloth is wide enough for.
pub(super) fn panels(site: &Site<'_>) -> Vec<Move> {
    let Lack::Width { gives, .. } = site.lack else { return Vec::new() };
    if !site.may(Kind::Panels) {
        return Vec::new();
    }
    let name = site.piece.name();
    let step = LimitWidth { piece: name.clone(), width: named_within(gives) };
    let Some(draft) = site.draft().does(step) else { return Vec::new() };
    let count = draft.pattern.pieces().len() - site.state.pattern.pieces().len() + 1;
    let tale = match count {
        1 => format!("cut `{name}` in two panels"),
        count => format!("cut `{name}` in panels: {count} pieces in place of one"),
    };
    vec![site.made(Kind::Panels, draft, tale)]
}
