//! The grain across the cloth, and other cloth.

use crate::cloth::Cloth;
use crate::pattern::{ClothName, Piece, PieceName};
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::least_seen::{is_lesser_part, least_seen_first};
use crate::plan::moves::site::{Setting, Site};
use crate::plan::state::State;
use crate::plan::{ChangeKind, Seen};
use crate::recut::{GrainWay, SetPiece, TurnGrain};
use crate::units::listed;

/// The piece with its grain across, where it is allowed and fits so.
pub(super) fn crosswise(site: &Site<'_>) -> Vec<Move> {
    if !site.taste.may_cross(&site.root) {
        return Vec::new();
    }
    let name = site.piece.name();
    let turned = [GrainWay::Crosswise, GrainWay::Lengthwise].into_iter().find_map(|to| {
        let draft = site.draft().does(TurnGrain { piece: name.clone(), to })?;
        site.fit_of(&draft, name)?.fits.then_some(draft)
    });
    let tale = format!("cut `{name}` crosswise");
    turned.map(|draft| site.made(ChangeKind::Crosswise, draft, tale)).into_iter().collect()
}

/// The piece of each other cloth that it fits.
pub(super) fn companion(site: &Site<'_>) -> Vec<Move> {
    if !site.taste.may_leave_cloth(&site.root, site.seen) {
        return Vec::new();
    }
    let name = site.piece.name();
    let others = site.stock.cloths().filter(|cloth| cloth.name() != site.cloth.name());
    let of = |cloth: &Cloth| {
        let draft = recut_of(site.draft(), name, cloth.name())?;
        let fits = site.fit_of(&draft, name)?.fits;
        let tale = format!("cut `{name}` from the {} cloth", cloth.name());
        fits.then(|| site.made(ChangeKind::Companion, draft, tale))
    };
    others.filter_map(of).collect()
}

fn recut_of(draft: RecutSoFar, piece: &PieceName, cloth: &ClothName) -> Option<RecutSoFar> {
    draft.does(SetPiece { cloth: Some(cloth.clone()), ..SetPiece::of(piece.clone()) })
}

/// Pieces of a cloth that is short cut from others: the least seen, then the next with it, and so on, each time one more, as
/// long as most of the garment is still cut from its own cloth.
pub(super) fn spared(state: &State, short: &ClothName, setting: Setting<'_>) -> Vec<Move> {
    let may = |piece: &&Piece| setting.taste.may_spare_cloth(&state.root(piece.name()));
    let of_short = state.pattern.pieces().filter(|piece| piece.is_cut() && piece.cloth == *short);
    let pieces = least_seen_first(&state.pattern, of_short.filter(may));
    let others = setting.stock.cloths().map(Cloth::name).filter(|name| *name != short);
    others
        .flat_map(|other| {
            let groups = (1..=pieces.len()).map(|count| &pieces[..count]);
            let groups = groups.take_while(|group| is_lesser_part(&state.pattern, group));
            groups.filter_map(|group| from_other(state, group, other, setting)).collect::<Vec<_>>()
        })
        .collect()
}

/// Pieces cut from another cloth together, where each fits that.
pub(in crate::plan) fn from_other(
    state: &State,
    group: &[PieceName],
    cloth: &ClothName,
    setting: Setting<'_>,
) -> Option<Move> {
    let draft =
        group.iter().try_fold(RecutSoFar::of(&state.pattern), |draft, name| recut_of(draft, name, cloth))?;
    let fit = crate::cloth::fit::fit(&draft.pattern, setting.stock, setting.tolerance).ok()?;
    let fits = |name: &PieceName| fit.pieces.iter().any(|piece| piece.piece == *name && piece.fits);
    if !group.iter().all(fits) {
        return None;
    }
    let mut changed: Vec<(PieceName, Seen)> = Vec::new();
    for root in group.iter().map(|name| state.root(name)) {
        if changed.iter().all(|(known, _)| *known != root) {
            changed.push((root.clone(), setting.seen(&root)));
        }
    }
    let names: Vec<String> = group.iter().map(|name| format!("`{name}`")).collect();
    let tale = format!("cut {} from the {cloth} cloth", listed(&names));
    Some(Move { kind: ChangeKind::Companion, besides: None, changed, draft, tale })
}
