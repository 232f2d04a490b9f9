//! What plans have in common: of two that do the same to most pieces, one is enough.

use std::collections::BTreeSet;

use crate::pattern::PieceName;
use crate::plan::ChangeKind;
use crate::plan::moves::Sight;
use crate::plan::state::State;

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

/// The share of the pieces that one of two plans changes to which both do the same, those that are seen more weighing more.
fn in_common(a: &State, b: &State, sight: &Sight) -> f64 {
    let changed: BTreeSet<&PieceName> = a.done.iter().chain(&b.done).map(|done| &done.root).collect();
    let weight = |root: &PieceName| sight.get(root).map_or(1.0, |seen| seen.weight());
    let kinds = |state: &State, root: &PieceName| -> BTreeSet<ChangeKind> {
        state.done.iter().filter(|done| done.root == *root).map(|done| done.kind).collect()
    };
    let all: f64 = changed.iter().map(|root| weight(root)).sum();
    let same = changed.iter().filter(|root| kinds(a, root) == kinds(b, root));
    let same: f64 = same.map(|root| weight(root)).sum();
    if all > 0.0 { same / all } else { 1.0 }
}
