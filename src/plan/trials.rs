//! Recuts that fit by width and area, laid: which of them lie, and how well the best do.

use std::collections::VecDeque;

use crate::cloth::layout::{Laid, LaidVerdict};
use crate::cloth::search::Limit;
use crate::pattern::{ClothName, PieceName};
use crate::plan::change::Move;
use crate::plan::figures::figures;
use crate::plan::moves::{Setting, Sight, from_other, serving};
use crate::plan::need::Need;
use crate::plan::search::sight;
use crate::plan::state::State;
use crate::plan::trial::{Laying, cores, side_by_side};
use crate::plan::variety::{apart_from_afar, most_different_first, same_from_afar, without_twins};
use crate::plan::{Alternative, ChangeKind, Cost, News, PlanTask};
use crate::recut::Step;

/// How many plans that fit one by one but do not lie are helped by sparing cloth.
const SPARED: usize = 5;

/// How many more than are offered lie before no others are tried: what costs more as laid than it seemed is left out then.
const MORE_APART: usize = 1;

/// How many of those that do not lie are laid once more with more patience: those that came closest.
const AGAIN: usize = 4;

/// What was laid.
pub(super) struct Trials<'a> {
    task: PlanTask<'a>,
    laying: Laying<'a>,
    lie: Vec<LiesOnCloth>,
    fail: Vec<Fails>,
    /// The steps of all that were laid.
    tried: Vec<Vec<Step>>,
}

/// A state that lies on the cloth.
struct LiesOnCloth {
    state: State,
    alternative: Alternative,
}

/// A state that does not, and how deep its pieces lay over one another at last.
struct Fails {
    state: State,
    by: f64,
}

impl LiesOnCloth {
    fn cost(&self) -> f64 {
        self.alternative.cost.total()
    }
}

impl<'a> Trials<'a> {
    /// Nothing laid yet.
    pub(super) fn new(task: PlanTask<'a>, laying: Laying<'a>) -> Trials<'a> {
        Trials { task, laying, lie: Vec::new(), fail: Vec::new(), tried: Vec::new() }
    }

    /// How many were laid.
    pub(super) fn count(&self) -> usize {
        self.tried.len()
    }

    pub(super) fn none_lies(&self) -> bool {
        self.lie.is_empty()
    }

    pub(super) fn has_tried(&self, state: &State) -> bool {
        self.tried.contains(&state.steps)
    }

    /// Those that do not lie, the one that came closest first.
    pub(super) fn nearest(&self) -> Vec<&State> {
        let mut fail: Vec<&Fails> = self.fail.iter().collect();
        fail.sort_by(|a, b| a.by.total_cmp(&b.by));
        fail.into_iter().map(|fails| &fails.state).collect()
    }

    /// Lays states quickly, as long as there is time.
    pub(super) fn try_all(&mut self, states: Vec<State>, listen: &mut dyn FnMut(News<'_>)) {
        self.lay_all(states, self.laying.effort.quick, listen);
    }

    /// Lays states quickly, in their order, as long as there is time and room for so many, until enough lie that are apart from
    /// a step away. What looks as one that lies does, and costs no less, is not laid at all: it would not be offered.
    pub(super) fn try_in_order(&mut self, states: Vec<State>, room: usize, listen: &mut dyn FnMut(News<'_>)) {
        let sight = sight(self.task.pattern);
        let mut states: VecDeque<State> = states.into();
        let mut room = room;
        while room > 0
            && !self.laying.is_late()
            && self.apart(&sight) < self.laying.effort.alternatives + MORE_APART
        {
            let mut batch: Vec<State> = Vec::new();
            while batch.len() < cores().min(room) {
                let Some(state) = states.pop_front() else { break };
                if !self.has_tried(&state) && !self.is_outdone(&state, &sight) {
                    batch.push(state);
                }
            }
            if batch.is_empty() {
                return;
            }
            room -= batch.len();
            self.try_all(batch, listen);
        }
    }

    fn is_outdone(&self, state: &State, sight: &Sight) -> bool {
        self.lie.iter().any(|lies| lies.state.cost <= state.cost && same_from_afar(&lies.state, state, sight))
    }

    /// How many lie of which no two look the same from a step away.
    fn apart(&self, sight: &Sight) -> usize {
        let mut apart: Vec<&State> = Vec::new();
        for lies in &self.lie {
            if !apart.iter().any(|other| same_from_afar(other, &lies.state, sight)) {
                apart.push(&lies.state);
            }
        }
        apart.len()
    }

    /// Lays those that came closest once more, with more patience.
    pub(super) fn try_again(&mut self, listen: &mut dyn FnMut(News<'_>)) {
        let nearest: Vec<State> = self.nearest().into_iter().take(AGAIN).cloned().collect();
        self.fail.retain(|fails| nearest.iter().all(|state| state.steps != fails.state.steps));
        self.lay_all(nearest, self.laying.effort.again, listen);
    }

    fn lay_all(&mut self, states: Vec<State>, limit: Limit, listen: &mut dyn FnMut(News<'_>)) {
        let laying = self.laying;
        side_by_side(states, laying, |state| laying.lay(&state.pattern, limit).ok(), &mut |state, laid| {
            self.take(state, laid, listen);
        });
    }

    /// Takes up how a state lies.
    fn take(&mut self, state: State, laid: Option<Laid>, listen: &mut dyn FnMut(News<'_>)) {
        if !self.has_tried(&state) {
            self.tried.push(state.steps.clone());
        }
        match laid {
            Some(laid) if laid.verdict == LaidVerdict::Fits => {
                if let Some(alternative) = self.alternative(state.clone(), laid) {
                    listen(News::Fits(&alternative));
                    self.lie.push(LiesOnCloth { state, alternative });
                }
            }
            Some(Laid { verdict: LaidVerdict::NotFound { by, .. }, .. }) => {
                self.fail.push(Fails { state, by });
            }
            Some(_) => self.fail.push(Fails { state, by: f64::INFINITY }),
            None => {}
        }
        listen(News::Tried { trials: self.tried.len(), lie: self.lie.len() });
    }

    /// Tries what does not lie again with cloth spared: other recuts that lie closer, then pieces from another cloth, the
    /// least seen first and no more than must be.
    pub(super) fn spare(&mut self, listen: &mut dyn FnMut(News<'_>)) {
        let sight = sight(self.task.pattern);
        let setting = Setting::of(self.task, &sight);
        let failed: Vec<State> = self.nearest().into_iter().take(SPARED).cloned().collect();
        for state in failed {
            let cloths: Vec<ClothName> = state.fit.cloths.iter().map(|area| area.cloth.clone()).collect();
            for cloth in cloths {
                let made = serving(&state, &Need::Short { cloth }, setting);
                let (other, recut): (Vec<Move>, Vec<Move>) =
                    made.into_iter().partition(|made| made.kind == ChangeKind::Companion);
                let recut = recut.into_iter().filter_map(|made| fitting(&state, made, setting)).collect();
                self.try_all(recut, listen);
                let other = other.into_iter().filter_map(|made| fitting(&state, made, setting)).collect();
                self.try_least(&state, other, setting, listen);
                if self.lie.len() >= self.laying.effort.alternatives || self.laying.is_late() {
                    return;
                }
            }
        }
    }

    /// Of states each of which spares more cloth than the one before, lays the first that lies; and that with fewer pieces
    /// from other cloth, where the rest lies all the same.
    fn try_least(
        &mut self,
        before: &State,
        states: Vec<State>,
        setting: Setting<'_>,
        listen: &mut dyn FnMut(News<'_>),
    ) {
        let (mut from, mut to, mut least) = (0, states.len(), None);
        while from < to {
            let middle = usize::midpoint(from, to);
            match self.lies(states[middle].clone(), listen) {
                true => (to, least) = (middle, Some(middle)),
                false => from = middle + 1,
            }
        }
        let Some(least) = least else { return };
        let mut group = in_other_cloth(before, &states[least]);
        let Some(cloth) = group.first().and_then(|name| states[least].pattern.find(name)) else { return };
        let cloth = cloth.cloth.clone();
        // The last of them is needed: without it the rest did not lie.
        for name in group.clone().into_iter().rev().skip(1) {
            let fewer: Vec<PieceName> = group.iter().filter(|other| **other != name).cloned().collect();
            let made = from_other(before, &fewer, &cloth, setting);
            let after = made.and_then(|made| fitting(before, made, setting));
            if after.is_some_and(|after| self.lies(after, listen)) {
                group = fewer;
            }
        }
    }

    /// Whether a state lies, laid with patience: what fails by chance would send more pieces to other cloth.
    fn lies(&mut self, state: State, listen: &mut dyn FnMut(News<'_>)) -> bool {
        let before = self.lie.len();
        self.lay_all(vec![state], self.laying.effort.again, listen);
        self.lie.len() > before
    }

    /// The best few, laid well: no two alike, and none that does all that a better one does and more.
    pub(super) fn best(mut self, listen: &mut dyn FnMut(News<'_>)) -> Vec<Alternative> {
        self.lie.sort_by(|a, b| a.cost().total_cmp(&b.cost()));
        let mut chosen: Vec<LiesOnCloth> = Vec::new();
        for lies in std::mem::take(&mut self.lie) {
            if !chosen.iter().any(|other| lies.state.does_all_of(&other.state)) {
                chosen.push(lies);
            }
        }
        let sight = sight(self.task.pattern);
        chosen = without_twins(chosen, |lies| &lies.state);
        chosen = most_different_first(chosen, &sight, LiesOnCloth::cost, |lies| &lies.state);
        chosen = apart_from_afar(chosen, &sight, |lies| &lies.state);
        chosen.truncate(self.laying.effort.alternatives);
        let (of, laying) = (chosen.len(), self.laying);
        let quickly: Vec<Alternative> = chosen.iter().map(|lies| lies.alternative.clone()).collect();
        let mut well: Vec<Alternative> = Vec::new();
        let states = chosen.into_iter().map(|lies| lies.state).collect();
        let lay = |state: &State| laying.lay(&state.pattern, laying.effort.good).ok();
        side_by_side(states, laying, lay, &mut |state, laid| {
            let laid = laid.filter(|laid| laid.verdict == LaidVerdict::Fits);
            well.extend(laid.and_then(|laid| self.alternative(state, laid)));
            listen(News::Laid { number: well.len().min(of), of });
        });
        // What was not laid well, for want of time, is as it was laid quickly.
        let is_well = |quick: &Alternative| well.iter().any(|one| one.steps == quick.steps);
        let rest: Vec<Alternative> = quickly.into_iter().filter(|quick| !is_well(quick)).collect();
        let mut alternatives = well;
        alternatives.extend(rest);
        alternatives.sort_by(|a, b| a.cost.total().total_cmp(&b.cost.total()));
        alternatives
    }

    fn alternative(&self, state: State, laid: Laid) -> Option<Alternative> {
        let figures = figures(self.task.pattern, &state.pattern, self.task.stock, &laid).ok()?;
        let cost = Cost::of(state.cost, &figures);
        let verdict = state.verdict().clone();
        let State { pattern, steps, trued, done, .. } = state;
        let wish = self.laying.wish();
        Some(Alternative { done, trued, steps, pattern, verdict, laid, figures, cost, wish })
    }
}

/// The state after a move that leaves all pieces on cloth that they fit, and true.
fn fitting(before: &State, made: Move, setting: Setting<'_>) -> Option<State> {
    let mut after = before.after(made, setting.stock, setting.tolerance)?;
    (after.needs().is_empty() && after.holds_true()).then_some(after)
}

/// The pieces that come from another cloth than before, in the order in which they were taken there.
fn in_other_cloth(before: &State, after: &State) -> Vec<PieceName> {
    let moved = after.steps.iter().skip(before.steps.len()).filter_map(|step| match step {
        Step::SetPiece(set) => Some(set.piece.clone()),
        _ => None,
    });
    moved.collect()
}
