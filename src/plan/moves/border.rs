//! Borders from another cloth: the end of the garment cut off as a band, all the way round and of one depth, where its own
//! cloth is too short for it.

use std::collections::BTreeSet;

use crate::cloth::{Cloth, fit};
use crate::pattern::words::{INNER, says};
use crate::pattern::{Copy, EdgeRef, Finish, Pattern, Piece, PieceName, Purpose};
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::band::{DEEPEST, LEAST, bandable};
use crate::plan::moves::site::{Lack, Setting, Site, greatest_allowance};
use crate::plan::state::State;
use crate::plan::view::named;
use crate::plan::{ChangeKind, Seen};
use crate::recut::{AddBand, SetPiece};
use crate::tolerance::SEAM_ROOM;
use crate::truing::{Meeting, walk_seams};
use crate::units::listed;

/// To how many mm the depth of a border is rounded up.
const EVEN: f64 = 5.0;

/// How deep a border is where all pieces fit by themselves, but not together, mm: a hand.
const HAND: f64 = 100.0;

/// A border from each other cloth at either end of a piece that is longer than its cloth.
pub(super) fn from_other_cloth(site: &Site<'_>) -> Vec<Move> {
    if !matches!(site.lack, Lack::Length { .. }) {
        return Vec::new();
    }
    let setting = site.setting;
    let over = site.lack.over() + greatest_allowance(site.piece) + SEAM_ROOM;
    let edges = bandable(site).into_iter().map(|id| {
        // The band takes the allowance of the edge with it.
        (site.piece.edge_ref(id), over - site.piece.edge(id).cut_allowance().mm())
    });
    let fits = |made: &Move| site.fit_of(&made.draft, site.piece.name()).is_some_and(|fit| fit.fits);
    let bordered = |(edge, least): (EdgeRef, f64)| {
        let line = line_of(&site.state.pattern, &edge);
        let depth = (least.max(LEAST) / EVEN).ceil() * EVEN;
        // The allowance at a slanting end may still reach beyond what is left.
        let depths = [depth, depth + EVEN].into_iter().filter(|depth| *depth <= DEEPEST);
        let made = depths.flat_map(|depth| of_each(site.state, &line, depth, setting)).filter(fits);
        made.take(1).collect::<Vec<_>>()
    };
    edges.flat_map(bordered).collect()
}

/// A hem border a hand deep of what goes round the body, where there is too little of its cloth.
pub(super) fn sparing(state: &State, short: &crate::pattern::ClothName, setting: Setting<'_>) -> Vec<Move> {
    let on_body = |piece: &&Piece| {
        piece.cloth == *short && setting.seen(&state.root(piece.name())) == Seen::Body && piece.is_cut()
    };
    let mut seen: BTreeSet<EdgeRef> = BTreeSet::new();
    let mut moves = Vec::new();
    for piece in state.pattern.pieces().filter(on_body) {
        let hems = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Hem);
        for edge in hems.map(|id| piece.edge_ref(id)) {
            if seen.contains(&edge) {
                continue;
            }
            let line = line_of(&state.pattern, &edge);
            seen.extend(line.iter().cloned());
            moves.extend(of_each(state, &line, HAND, setting));
        }
    }
    moves
}

/// A border along a line from each cloth that it could be of.
fn of_each<'a>(
    state: &'a State,
    line: &'a [EdgeRef],
    depth: f64,
    setting: Setting<'a>,
) -> impl Iterator<Item = Move> + 'a {
    let own = line.first().and_then(|edge| state.pattern.find(&edge.piece)).map(|piece| piece.cloth.clone());
    let others = setting.stock.cloths().filter(move |cloth| Some(cloth.name()) != own.as_ref());
    let others = others.filter(|cloth| is_for_the_outside(&state.pattern, cloth));
    others.filter_map(move |cloth| bordered(state, line, depth, cloth, setting))
}

/// Whether a cloth is not that of linings and what is put between alone; what it is called is a hint.
fn is_for_the_outside(pattern: &Pattern, cloth: &Cloth) -> bool {
    if says(cloth.name().as_str(), &INNER) {
        return false;
    }
    let mut own = pattern.pieces().filter(|piece| piece.cloth == *cloth.name()).peekable();
    own.peek().is_none() || own.any(|piece| piece.purpose == Purpose::Plain)
}

/// The edges in which one runs on all the way round, itself first.
fn line_of(pattern: &Pattern, edge: &EdgeRef) -> Vec<EdgeRef> {
    let drawn = |edge: &EdgeRef| EdgeRef::new(edge.piece.clone(), edge.edge.clone());
    let mut line = vec![drawn(edge)];
    let Ok(walks) = walk_seams(pattern) else { return line };
    let joints: Vec<[EdgeRef; 2]> = walks
        .iter()
        .flat_map(|walk| &walk.ends)
        .filter(|end| end.meeting == Meeting::Continue)
        .map(|end| [drawn(&end.beyond.0), drawn(&end.beyond.1)])
        .collect();
    let ends_garment = |edge: &EdgeRef| {
        let finish = pattern.find_edge(edge).map(|edge| edge.finish);
        matches!(finish, Some(Finish::Hem | Finish::Free))
    };
    let mut reached = 0;
    while let Some(from) = line.get(reached).cloned() {
        reached += 1;
        for [one, other] in &joints {
            let next = match (*one == from, *other == from) {
                (true, false) => other,
                (false, true) => one,
                _ => continue,
            };
            if ends_garment(next) && !line.contains(next) {
                line.push(next.clone());
            }
        }
    }
    line
}

/// A band of a depth cut off along a line, and cut from another cloth, where that is what is allowed and true.
fn bordered(
    state: &State,
    line: &[EdgeRef],
    depth: f64,
    cloth: &Cloth,
    setting: Setting<'_>,
) -> Option<Move> {
    let may = |edge: &EdgeRef| {
        let root = state.root(&edge.piece);
        setting.taste.may_cut(&root, ChangeKind::Border) && setting.taste.may_spare_cloth(&root)
    };
    if !line.iter().all(may) {
        return None;
    }
    let mut borders: Vec<PieceName> = Vec::new();
    let draft = line.iter().try_fold(RecutSoFar::of(&state.pattern), |draft, edge| {
        let border = draft.pattern.free_name(edge.piece.with("border"));
        let band = AddBand {
            name: Some(border.clone()),
            ..AddBand::of(edge.piece.clone(), edge.edge.clone(), named(depth))
        };
        let other = SetPiece { cloth: Some(cloth.name().clone()), ..SetPiece::of(border.clone()) };
        borders.push(border);
        draft.does(band)?.does(other)
    })?;
    let fit = fit::fit(&draft.pattern, setting.stock, setting.tolerance).ok()?;
    let fits = |name: &PieceName| fit.pieces.iter().any(|piece| piece.piece == *name && piece.fits);
    if !borders.iter().all(fits) {
        return None;
    }
    let mut changed: Vec<(PieceName, Seen)> = Vec::new();
    for root in line.iter().filter(|edge| edge.copy == Copy::Drawn).map(|edge| state.root(&edge.piece)) {
        if changed.iter().all(|(known, _)| *known != root) {
            changed.push((root.clone(), setting.seen(&root)));
        }
    }
    let names: Vec<String> = line.iter().map(|edge| format!("`{}`", edge.piece)).collect();
    let what = &line.first()?.edge;
    let tale = format!("give {} a {what} border from the {} cloth", listed(&names), cloth.name());
    Some(Move { kind: ChangeKind::Border, besides: None, changed, draft, tale })
}
