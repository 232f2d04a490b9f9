//! What plans have in common: of two that do the same to most pieces, one is enough.

use std::collections::BTreeSet;

use crate::pattern::{ClothName, Piece, PieceName};
use crate::plan::moves::Sight;
use crate::plan::state::State;
use crate::plan::{ChangeKind, Seen};

/// What a plan costs besides where it does all that one before it does: more than the dearest recut of a coat costs more
/// than the cheapest, so that another kind of recut is offered before the same one with another sleeve.
const THE_SAME_AGAIN: f64 = 10.0;

/// Puts plans into the order in which they are offered: the cheapest first, then each time the one that costs least with
/// what it has in common with the plan before it that is most like it.
pub(super) fn most_different_first<T>(
    mut plans: Vec<T>,
    sight: &Sight,
    cost: impl Fn(&T) -> f64,
    state: impl Fn(&T) -> &State,
) -> Vec<T> {
    let mut likeness = vec![0.0_f64; plans.len()];
    let mut ordered: Vec<T> = Vec::new();
    while !plans.is_empty() {
        let worth = |i: &usize| cost(&plans[*i]) + THE_SAME_AGAIN * likeness[*i];
        let Some(next) = (0..plans.len()).min_by(|a, b| worth(a).total_cmp(&worth(b))) else { break };
        likeness.remove(next);
        let plan = plans.remove(next);
        for (other, likeness) in plans.iter().zip(&mut likeness) {
            *likeness = likeness.max(in_common(state(&plan), state(other), sight));
        }
        ordered.push(plan);
    }
    ordered
}

/// Plans without those that look as one before them does.
pub(super) fn without_twins<T>(plans: Vec<T>, state: impl Fn(&T) -> &State) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for plan in plans {
        if !kept.iter().any(|other| are_twins(state(other), state(&plan))) {
            kept.push(plan);
        }
    }
    kept
}

/// How many plans are offered where they look the same from a step away: that is still a choice.
const FEWEST: usize = 3;

/// Plans in their order without those that look from a step away as one before them does, as far as enough are left.
pub(super) fn apart_from_afar<T>(plans: Vec<T>, sight: &Sight, state: impl Fn(&T) -> &State) -> Vec<T> {
    let (mut kept, mut rest): (Vec<T>, Vec<T>) = (Vec::new(), Vec::new());
    for plan in plans {
        let same = kept.iter().any(|other| same_from_afar(state(other), state(&plan), sight));
        if same { &mut rest } else { &mut kept }.push(plan);
    }
    let wanting = FEWEST.saturating_sub(kept.len());
    kept.extend(rest.into_iter().take(wanting));
    kept
}

fn are_twins(a: &State, b: &State) -> bool {
    let all: BTreeSet<&PieceName> = changed(a).collect();
    all == changed(b).collect() && all.iter().all(|root| look_alike(a, b, root))
}

/// Whether two plans look the same from a step away: what goes round the body is in the same parts, and another sleeve or
/// collar is all that they differ in. Of plans that leave the body as it is nothing is the same that differs at all.
pub(super) fn same_from_afar(a: &State, b: &State, sight: &Sight) -> bool {
    let all: BTreeSet<&PieceName> =
        changed(a).chain(changed(b)).filter(|root| is_body(root, sight)).collect();
    !all.is_empty() && all.iter().all(|root| same_on(a, b, root))
}

fn is_body(root: &PieceName, sight: &Sight) -> bool {
    sight.get(root) == Some(&Seen::Body)
}

/// Whether two plans do the same to a piece, or what comes out alike.
fn same_on(a: &State, b: &State, root: &PieceName) -> bool {
    kinds(a, root) == kinds(b, root) || look_alike(a, b, root)
}

/// The share of the pieces that one of two plans changes to which both do the same, those that are seen more and are larger
/// weighing more. Where one of them changes what goes round the body, that is all that is looked at: from a step away
/// nothing else is seen.
fn in_common(a: &State, b: &State, sight: &Sight) -> f64 {
    let mut all: BTreeSet<&PieceName> = changed(a).chain(changed(b)).collect();
    if all.iter().any(|root| is_body(root, sight)) {
        all.retain(|root| is_body(root, sight));
    }
    let weight = |root: &PieceName| {
        let area = |state| -> f64 { parts(state, root).iter().map(|part| part.area).sum() };
        let area = area(a).max(area(b));
        area * sight.get(root).map_or(1.0, |seen| seen.weight())
    };
    let same = all.iter().filter(|root| same_on(a, b, root));
    let same: f64 = same.map(|root| weight(root)).sum();
    let all: f64 = all.iter().map(|root| weight(root)).sum();
    if all > 0.0 { same / all } else { 1.0 }
}

fn changed(state: &State) -> impl Iterator<Item = &PieceName> {
    state.done.iter().map(|done| &done.root)
}

/// By how much of a piece the parts of it may differ that still look alike: a seam that stands a few centimetres aside of
/// another is seen as the same.
const ALIKE: f64 = 0.08;

/// Whether a piece is in parts of like size after both of two plans, however they are called: a princess seam through the tip
/// of a dart is that dart run out. What stays in one piece looks as it does by what was done to it.
fn look_alike(a: &State, b: &State, root: &PieceName) -> bool {
    let (parts_a, parts_b) = (parts(a, root), parts(b, root));
    let all: f64 = parts_a.iter().map(|part| part.area).sum();
    let alike = |(one, other): (&SeenPart<'_>, &SeenPart<'_>)| {
        one.cloth == other.cloth
            && one.is_on_fold == other.is_on_fold
            && (one.area - other.area).abs() <= ALIKE * all
    };
    parts_a.len() == parts_b.len()
        && (parts_a.len() > 1 || kinds(a, root) == kinds(b, root))
        && parts_a.iter().zip(&parts_b).all(alike)
}

/// What came of a piece, as far as it is seen.
struct SeenPart<'a> {
    cloth: &'a ClothName,
    is_on_fold: bool,
    area: f64,
}

/// The parts that came of a piece, the largest first.
fn parts<'a>(state: &'a State, root: &PieceName) -> Vec<SeenPart<'a>> {
    let own = state.pattern.pieces().filter(|piece| state.root(piece.name()) == *root);
    let part = |piece: &'a Piece| SeenPart {
        cloth: &piece.cloth,
        is_on_fold: piece.fold().is_some(),
        area: piece.net_area(),
    };
    let mut parts: Vec<SeenPart<'a>> = own.map(part).collect();
    parts.sort_by(|a, b| b.area.total_cmp(&a.area));
    parts
}

fn kinds(state: &State, root: &PieceName) -> BTreeSet<ChangeKind> {
    state.done.iter().filter(|done| done.root == *root).map(|done| done.kind).collect()
}
