//! Sets of moves that fit by width and area, best first.
//!
//! A best-first search: each state's greatest need that can be served is served in every way there is; what was done and
//! what is still needed at least tell which state is looked at next. Until something fits, the best of what came of the
//! state before goes first, so that a first plan is found soon however many changes it takes. What misses by width is
//! never laid.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use std::time::Instant;

use rayon::iter::{IntoParallelIterator, ParallelIterator};

use crate::cloth::fit::FitError;
use crate::pattern::{Pattern, Piece, PieceName, seen};
use crate::plan::ChangeKind;
use crate::plan::moves::{Setting, Sight, serving};
use crate::plan::need::{Need, total_miss};
use crate::plan::state::State;
use crate::plan::{Effort, News, PlanTask, Seen};

/// What a part that is still needed costs for each copy: as much as most seams on a body, and more than some. So what has
/// come far is looked at before what has not begun, and the first plan is found soon.
const PER_PART: f64 = 0.8;

/// Recuts looked at where a piece cannot be helped at all: enough to tell what would come closest.
const HOPELESS_RECUTS: usize = 100;

/// The most changes that a plan is made of, other cloth aside: twice as many as a coat ever needed.
const MOST_CHANGES: usize = 14;

/// The share of the recuts after which going straight on has had its chance: one in so many.
const STRAIGHT_ON: usize = 2;

/// How many states that fit are kept of one set of kinds and pieces: they differ only in where exactly a seam runs.
const KEPT_ALIKE: usize = 2;

/// How many that fit are kept of one set of changes to what goes round the body: more would only differ in a sleeve or a
/// collar, and that some do not lie leaves two others.
const KEPT_OF_BODY: usize = 3;

/// After how many recuts of which none fits no more are looked at, once something does: what fits comes early, and the best
/// first.
const STALE: usize = 300;

/// How many states wait to be looked at; each keeps a pattern of some 100 kB. Worse ones would only be looked at after
/// all of these, which the usual recuts never come to.
const MOST_WAITING: usize = 500;

/// How many of those for which there is too little cloth are kept, to see how much they lack.
const MOST_SHORT: usize = 24;

/// The share of the time for looking once something fits: the rest is for laying it.
const LOOKING: f64 = 0.5;

/// How many times as many as are laid must fit before the search ends: some will not be true, or not lie.
const SPARE: usize = 3;

/// What fits by width and area.
#[derive(Clone, Debug)]
pub struct Prospects {
    /// Those that fit, cheapest first.
    pub(super) fitting: Vec<State>,
    /// Of those that miss, the one that misses least.
    pub(super) nearest: State,
    /// Some of those whose pieces all fit one by one, but for which there is too little cloth.
    pub(super) short: Vec<State>,
    /// Recuts looked at.
    pub recuts: usize,
}

/// A state that waits to be looked at.
struct Waiting {
    state: State,
    estimate: f64,
    number: usize,
}

impl Ord for Waiting {
    /// The greatest is looked at first: that of the least estimate, of equal ones the older.
    fn cmp(&self, other: &Waiting) -> Ordering {
        other.estimate.total_cmp(&self.estimate).then(other.number.cmp(&self.number))
    }
}

impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Waiting) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Waiting {
    fn eq(&self, other: &Waiting) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Waiting {}

/// How much of each piece of a pattern is seen.
pub(super) fn sight(pattern: &Pattern) -> Sight {
    pattern.pieces().map(|piece| (piece.name().clone(), seen(pattern, piece))).collect()
}

/// Looks for sets of moves after which every piece fits by width, and there is enough of every cloth by area. Nothing is
/// laid.
///
/// # Errors
///
/// A piece without a cutting line, and a half piece that cannot be opened out.
pub fn prospects(
    task: PlanTask<'_>,
    effort: &Effort,
    listen: &mut dyn FnMut(News<'_>),
) -> Result<Prospects, FitError> {
    Ok(look(task, State::start(task)?, (effort, Instant::now()), &mut |news, _| listen(news)))
}

/// As [`prospects`], from a state, with the effort of planning and when it began; with the news comes what fits so far, so
/// that it can be tried at once.
pub(super) fn look(
    task: PlanTask<'_>,
    start: State,
    (effort, started): (&Effort, Instant),
    listen: &mut dyn FnMut(News<'_>, &[State]),
) -> Prospects {
    let sight = sight(task.pattern);
    let setting = Setting::of(task, &sight);
    let mut search = RecutSearch {
        setting,
        effort,
        started,
        waiting: BinaryHeap::new(),
        latest: BinaryHeap::new(),
        seen: BTreeSet::new(),
        alike: BTreeMap::new(),
        bodies: BTreeMap::new(),
        last_found: 0,
        most: 0,
        found: Prospects { fitting: Vec::new(), nearest: start.clone(), short: Vec::new(), recuts: 0 },
    };
    let hopeless = start
        .needs()
        .iter()
        .any(|need| !matches!(need, Need::Short { .. }) && serving(&start, need, setting).is_empty());
    search.most = if hopeless { effort.recuts.min(HOPELESS_RECUTS) } else { effort.recuts };
    search.take(start);
    while !search.is_over() {
        let Some(state) = search.next() else { break };
        search.expand(&state);
        let Prospects { fitting, recuts, .. } = &search.found;
        listen(News::Searching { recuts: *recuts, fitting: fitting.len() }, fitting);
    }
    if search.found.fitting.is_empty() {
        search.look_for_nearest();
    }
    let mut found = search.found;
    found.fitting.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    found
}

/// What was done to which pieces, in no order.
type Signature = Vec<(PieceName, ChangeKind)>;

struct RecutSearch<'a> {
    setting: Setting<'a>,
    effort: &'a Effort,
    started: Instant,
    waiting: BinaryHeap<Waiting>,
    /// What came of the state that was looked at last.
    latest: BinaryHeap<Waiting>,
    seen: BTreeSet<Vec<String>>,
    alike: BTreeMap<Signature, usize>,
    /// How many fit of each set of changes to the body.
    bodies: BTreeMap<Signature, usize>,
    /// How many recuts were looked at when the last was found that fits.
    last_found: usize,
    most: usize,
    found: Prospects,
}

impl RecutSearch<'_> {
    fn is_over(&self) -> bool {
        self.effort.stop.is_raised()
            || self.found.recuts >= self.most
            || self.found.fitting.len() >= self.effort.trials * SPARE
            || (!self.found.fitting.is_empty() && self.found.recuts >= self.last_found + STALE)
            || self.is_late()
    }

    fn is_late(&self) -> bool {
        let share = if self.found.fitting.is_empty() { 1.0 } else { LOOKING };
        self.effort.deadline.is_some_and(|deadline| self.started.elapsed() >= deadline.mul_f64(share))
    }

    /// Whether it goes straight on from the state that was looked at last.
    fn goes_straight_on(&self) -> bool {
        self.found.fitting.is_empty() && self.found.recuts < self.most / STRAIGHT_ON
    }

    /// The next to look at, of those that are true.
    fn next(&mut self) -> Option<State> {
        if !self.goes_straight_on() {
            self.waiting.append(&mut self.latest);
        }
        let next = first_true(&mut self.latest).or_else(|| first_true(&mut self.waiting));
        self.waiting.append(&mut self.latest);
        keep_best(&mut self.waiting);
        next
    }

    /// Of those that still wait, the one that misses least, where none that was looked at misses less.
    fn look_for_nearest(&mut self) {
        self.waiting.append(&mut self.latest);
        let mut by_miss: Vec<(f64, Waiting)> =
            self.waiting.drain().map(|waiting| (total_miss(&waiting.state.fit), waiting)).collect();
        by_miss.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.number.cmp(&b.1.number)));
        let least = total_miss(&self.found.nearest.fit);
        let nearer = by_miss.into_iter().take_while(|(miss, _)| *miss < least);
        let mut states = nearer.map(|(_, waiting)| waiting.state);
        if let Some(nearest) = states.find_map(|mut state| state.holds_true().then_some(state)) {
            self.found.nearest = nearest;
        }
    }

    fn expand(&mut self, state: &State) {
        if total_miss(&state.fit) < total_miss(&self.found.nearest.fit) {
            self.found.nearest = state.clone();
        }
        if self.is_known_body(state) {
            return;
        }
        // What nothing serves is passed over: with the rest served, less is missing, or another way opens.
        for need in state.needs() {
            if self.serve(state, &need) > 0 {
                break;
            }
        }
    }

    /// Whether enough fit that do the same to what goes round the body, and nothing of that is left to be helped.
    fn is_known_body(&self, state: &State) -> bool {
        let is_beside = |need: &Need| match need {
            Need::TooWide { piece, .. } | Need::TooLong { piece, .. } => {
                self.setting.seen(&state.root(piece)) != Seen::Body
            }
            Need::Short { .. } => false,
        };
        let body = self.body_of(state);
        let fit = self.bodies.get(&body).copied().unwrap_or(0);
        !body.is_empty() && fit >= KEPT_OF_BODY && state.needs().iter().all(is_beside)
    }

    fn body_of(&self, state: &State) -> Signature {
        let mut body = state.signature();
        body.retain(|(root, _)| self.setting.seen(root) == Seen::Body);
        body
    }

    /// Makes every move that serves a need; tells how many do.
    fn serve(&mut self, state: &State, need: &Need) -> usize {
        let Setting { stock, tolerance, .. } = self.setting;
        let made = serving(state, need, self.setting).into_par_iter();
        let made: Vec<Option<State>> = made.map(|made| state.after(made, stock, tolerance)).collect();
        let mut serving_it = 0;
        for after in made {
            self.found.recuts += 1;
            if let Some(after) = after.filter(|after| self.serves(state, need, after)) {
                self.take(after);
                serving_it += 1;
            }
        }
        serving_it
    }

    /// Whether a state is nearer to fit: what came of the piece in need misses less than it did.
    fn serves(&self, before: &State, need: &Need, after: &State) -> bool {
        let of = |state: &State, root: &PieceName| -> f64 {
            let own = state.fit.pieces.iter().filter(|piece| state.root(&piece.piece) == *root);
            own.map(crate::plan::need::miss).fold(0.0, f64::max)
        };
        match need {
            Need::Short { cloth } => {
                let needed = |state: &State| {
                    state.fit.cloths.iter().find(|area| area.cloth == *cloth).map_or(0.0, |area| area.needed)
                };
                needed(after) < needed(before)
            }
            Need::TooWide { piece, .. } | Need::TooLong { piece, .. } => {
                let root = before.root(piece);
                // A yoke leaves the lower part as wide as before, but that may now give at its side.
                let cut_up = after.pattern.find(piece).is_none();
                cut_up || of(after, &root) < of(before, &root)
            }
        }
    }

    fn take(&mut self, mut state: State) {
        let too_many = self.setting.taste.most_new_seams.is_some_and(|most| state.seams > i64::from(most));
        if state.cuts() > MOST_CHANGES || too_many || !self.seen.insert(key(&state)) {
            return;
        }
        let needs = state.needs();
        if needs.is_empty() {
            // What does all that another does and more is none that a maker would choose.
            let signature = state.signature();
            let alike = self.alike.get(&signature).copied().unwrap_or(0);
            let does_more = |other: &State| other.signature() != signature && state.does_all_of(other);
            if alike < KEPT_ALIKE
                && !self.is_known_body(&state)
                && !self.found.fitting.iter().any(does_more)
                && state.holds_true()
            {
                self.alike.insert(signature, alike + 1);
                *self.bodies.entry(self.body_of(&state)).or_default() += 1;
                self.last_found = self.found.recuts;
                self.found.fitting.push(state);
            }
            return;
        }
        let is_short = needs.iter().all(|need| matches!(need, Need::Short { .. }));
        if is_short && self.found.short.len() < MOST_SHORT && state.holds_true() {
            self.found.short.push(state.clone());
        }
        let still = |need: &Need| {
            let (seen, copies) = match need {
                Need::TooWide { piece, .. } | Need::TooLong { piece, .. } => {
                    let copies = state.pattern.find(piece).map_or(1, Piece::times);
                    (self.setting.seen(&state.root(piece)), f64::from(copies))
                }
                Need::Short { .. } => (Seen::Hidden, 1.0),
            };
            PER_PART * need.parts() * seen.weight() * copies
        };
        let estimate = state.cost + needs.iter().map(still).sum::<f64>();
        let number = self.seen.len();
        self.latest.push(Waiting { state, estimate, number });
    }
}

/// Lets go of the least of a heap that has grown to twice what is kept.
fn keep_best<T: Ord>(waiting: &mut BinaryHeap<T>) {
    if waiting.len() >= 2 * MOST_WAITING {
        let mut all = std::mem::take(waiting).into_sorted_vec();
        waiting.extend(all.drain(all.len() - MOST_WAITING..));
    }
}

/// The first of what waits that is true; what is not is dropped.
fn first_true(waiting: &mut BinaryHeap<Waiting>) -> Option<State> {
    while let Some(Waiting { mut state, .. }) = waiting.pop() {
        if state.holds_true() {
            return Some(state);
        }
    }
    None
}

/// What tells one recut from another: its steps, in no order.
fn key(state: &State) -> Vec<String> {
    let mut steps: Vec<String> = state.steps.iter().map(|step| step.to_value().to_string()).collect();
    steps.sort();
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_waits_stays_bounded_and_the_best_of_it_is_kept() {
        let mut waiting = BinaryHeap::new();
        let most = 10 * MOST_WAITING;
        for number in 0..most {
            waiting.push((number * 7919) % most);
            keep_best(&mut waiting);
            assert!(waiting.len() < 2 * MOST_WAITING);
        }
        let best = waiting.into_sorted_vec();
        assert!(best.ends_with(&(most - MOST_WAITING..most).collect::<Vec<_>>()));
    }
}
