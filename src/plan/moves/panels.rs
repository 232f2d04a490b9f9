//! Panels of equal width.

use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::selvedges::two_panels_at_selvedges;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{UprightPiece, named_within};
use crate::recut::{LimitWidth, Unfold};

/// The piece in the fewest panels that the cloth is wide enough for.
pub(super) fn panels(site: &Site<'_>) -> Vec<Move> {
    if !matches!(site.lack, Lack::Width { .. }) || !site.may(ChangeKind::Panels) {
        return Vec::new();
    }
    let sewn = fewest(site).map(|draft| (site.pieces_in_place(&draft), draft));
    // A half piece in two panels is one with a seam down its middle.
    if matches!(sewn, Some((1, _))) {
        return Vec::new();
    }
    let at_selvedges = match sewn {
        Some((2, _)) => None,
        _ => two_panels_at_selvedges(site),
    };
    let name = site.piece.name();
    let tale = |count: usize| format!("cut `{name}` in panels, {count} pieces in place of one");
    let sewn = sewn.map(|(count, draft)| site.made(ChangeKind::Panels, draft, tale(count)));
    sewn.into_iter().chain(at_selvedges).collect()
}

/// The piece in panels of the widest width at which each of them fits, else of the narrowest.
fn fewest(site: &Site<'_>) -> Option<RecutSoFar> {
    let name = site.piece.name();
    // Panels run along the grain, so that a half piece whose fold does not is opened out first.
    let fold_along = site.piece.fold().is_none_or(|fold| UprightPiece::of(site.piece).runs_along(fold));
    let opened = match fold_along {
        true => site.draft(),
        false => site.draft().does(Unfold::of(name.clone()))?,
    };
    let widths = site.widths();
    let of_width = |width: &f64| opened.clone().does(LimitWidth::of(name.clone(), named_within(*width)));
    let (narrowest, wider) = widths.split_last()?;
    let fitting = wider.iter().filter_map(of_width).find(|draft| site.parts_fit(draft));
    fitting.or_else(|| of_width(narrowest))
}
