//! The grain across the cloth, and other cloth.

use crate::pattern::{ClothName, PieceName};
use crate::plan::change::Move;
use crate::plan::draft::Draft;
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
        site.fit_of(&draft, name)?.fits().then_some(draft)
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
    let of = |cloth: &crate::cloth::Cloth| {
        let draft = recut_of(site.draft(), name, cloth.name())?;
        let fits = site.fit_of(&draft, name)?.fits();
        let tale = format!("cut `{name}` from the {} cloth", cloth.name());
        fits.then(|| site.made(ChangeKind::Companion, draft, tale))
    };
    others.filter_map(of).collect()
}

fn recut_of(draft: Draft, piece: &PieceName, cloth: &ClothName) -> Option<Draft> {
    draft.does(SetPiece { cloth: Some(cloth.clone()), ..SetPiece::of(piece.clone()) })
}

/// Pieces of a cloth that is short cut from others, the least seen first and of those the largest: each by itself, and
/// all that are not seen at once.
pub(super) fn spared(state: &State, short: &ClothName, setting: Setting<'_>) -> Vec<Move> {
    let mut pieces: Vec<(Seen, f64, PieceName)> = Vec::new();
    for piece in state.fit.pieces.iter().filter(|piece| piece.cloth == *short) {
        let root = state.root(&piece.piece);
        let seen = setting.seen(&root);
        if setting.taste.may_leave_cloth(&root, seen) {
            pieces.push((seen, -piece.area * f64::from(piece.copies), piece.piece.clone()));
        }
    }
    pieces.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
    let others: Vec<&ClothName> =
        setting.stock.cloths().map(crate::cloth::Cloth::name).filter(|name| *name != short).collect();
    let mut moves = Vec::new();
    for other in others {
        let groups = (1..=pieces.len()).map(|count| &pieces[..count]);
        moves.extend(groups.filter_map(|group| from_other(state, group, other, setting)));
    }
    moves
}

fn from_other(
    state: &State,
    group: &[(Seen, f64, PieceName)],
    cloth: &ClothName,
    setting: Setting<'_>,
) -> Option<Move> {
    let draft = group
        .iter()
        .try_fold(Draft::of(&state.pattern), |draft, (_, _, name)| recut_of(draft, name, cloth))?;
    let fit = crate::cloth::fit::fit(&draft.pattern, setting.stock, setting.tolerance).ok()?;
    let fits = |name: &PieceName| fit.pieces.iter().any(|piece| piece.piece == *name && piece.fits());
    if !group.iter().all(|(_, _, name)| fits(name)) {
        return None;
    }
    let (seen, _, last) = group.last()?;
    let names: Vec<String> = group.iter().map(|(_, _, name)| format!("`{name}`")).collect();
    let tale = format!("cut {} from the {cloth} cloth", listed(&names));
    Some(Move { kind: ChangeKind::Companion, root: state.root(last), seen: *seen, draft, tale })
}
