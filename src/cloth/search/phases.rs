//! The phases of a search: get the items apart on the whole cloth, shorten it step by step, at last by small steps.

use std::time::{Duration, Instant};

use super::lay::{Lay, Saved};
use super::placing::Placer;
use super::prepared::Prepared;
use super::problem::{Budget, Goal, Limit};
use super::race::{Entrant, RaceEnd, RaceLimits, race};
use super::random::Random;
use super::separating::Tries;
use super::starting::start;
use super::ways::ItemPlace;

/// The share of the budget after which the lay is only shortened by small steps.
const EXPLORED: f64 = 0.8;

/// First and least share of the length by which the lay is shortened while exploring. Halved when it proves too much.
const EXPLORING_STEP: (f64, f64) = (0.02, 0.002);

/// First and last share of the length by which it is shortened at last.
const COMPRESSING_STEP: (f64, f64) = (0.0005, 0.00001);

/// How long one attempt lasts while exploring.
const EXPLORING: Tries = Tries { patience: 100, attempts: 2 };

/// How long one attempt lasts at last.
const COMPRESSING: Tries = Tries { patience: 80, attempts: 4 };

/// How many of the closest lays are kept to go on from when none got apart.
const POOL: usize = 8;

/// After so many failed attempts in a row another sheet is shortened, where several can be.
const SHEET_GIVEN_UP: u64 = 4;

/// The share of the items' area that the largest items hold, of which two are exchanged to leave a dead end.
const LARGE: f64 = 0.75;

/// The share of dead ends that are left by choosing the lines of a group anew, where there are groups.
const SHIFTED: f64 = 0.3;

/// The share of dead ends that are left by scattering all items.
const SCATTERED: f64 = 0.2;

/// A search under way.
pub(super) struct Search<'a, 'l> {
    pub(super) prepared: &'a Prepared,
    budget: Budget,
    began: Instant,
    /// The best lay without overlap.
    pub(super) best: Option<Saved>,
    /// How unlike it looks at its joints, where that is looked for.
    pub(super) unlike: Option<f64>,
    /// The lay with the least overlap.
    closest: Saved,
    pub(super) spent: u64,
    round: u64,
    pub(super) looked_at: u64,
    stopped: bool,
    /// The best by likeness so far, where that is looked for.
    pub(super) alike: Option<Saved>,
    listen: Listener<'l>,
}

/// What is told of a search: passes made, the best length, how unlike the best lay looks, and that lay. Returns whether to go
/// on.
pub(super) type Listener<'l> = &'l mut dyn FnMut(u64, Option<f64>, Option<f64>, Option<&Saved>) -> bool;

/// What a search brings home.
pub(super) struct Explored {
    /// The best lay without overlap, or the closest.
    pub saved: Saved,
    pub passes: u64,
    pub looked_at: u64,
}

/// Searches.
pub(super) fn explore(prepared: &Prepared, goal: Goal, budget: &Budget, listen: Listener<'_>) -> Explored {
    let began = Instant::now();
    let closest = start(prepared, budget.seed);
    let mut search = Search {
        prepared,
        budget: *budget,
        began,
        best: (closest.overlap == 0.0).then(|| closest.clone()),
        unlike: None,
        closest,
        spent: 0,
        round: 0,
        looked_at: 0,
        stopped: false,
        alike: None,
        listen,
    };
    if search.best.is_none() {
        search.get_apart();
    }
    if goal == Goal::Shortest && search.best.is_some() {
        search.tighten();
        if prepared.likeness.is_some() {
            search.match_up();
        } else {
            search.shorten();
            search.compress();
        }
    }
    Explored {
        saved: search.best.unwrap_or(search.closest),
        passes: search.spent,
        looked_at: search.looked_at,
    }
}

impl<'a> Search<'a, '_> {
    /// The share of the budget that is spent.
    pub(super) fn share(&self) -> f64 {
        if self.stopped {
            return 1.0;
        }
        match self.budget.limit {
            Limit::Iterations(0) => 1.0,
            Limit::Iterations(passes) => self.spent as f64 / passes as f64,
            Limit::Seconds(seconds) if seconds > 0.0 => self.began.elapsed().as_secs_f64() / seconds,
            Limit::Seconds(_) => 1.0,
        }
    }

    /// Tells how far it has come, and whether to go on.
    pub(super) fn goes_on(&mut self) -> bool {
        let length = self.best.as_ref().map(|best| self.length(best));
        let best = self.alike.as_ref().or(self.best.as_ref());
        self.stopped |= !(self.listen)(self.spent, length, self.unlike, best);
        !self.stopped
    }

    /// What bounds a race that may use the budget up to a share.
    pub(super) fn bounds(&self, share: f64) -> RaceLimits {
        match self.budget.limit {
            Limit::Iterations(passes) => RaceLimits {
                passes: ((passes as f64 * share).ceil() as u64).saturating_sub(self.spent),
                deadline: None,
            },
            Limit::Seconds(seconds) => RaceLimits {
                passes: u64::MAX,
                deadline: Duration::try_from_secs_f64(seconds * share)
                    .ok()
                    .and_then(|time| self.began.checked_add(time)),
            },
        }
    }

    /// A generator for each searcher of the next race.
    pub(super) fn generators(&mut self) -> Vec<Random> {
        self.round += 1;
        let searchers = self.budget.searchers.max(1) as u64;
        (0..searchers).map(|k| Random::new(self.budget.seed, self.round * searchers + k + STREAMS)).collect()
    }

    fn race(&mut self, entrants: Vec<Entrant>, effort: Tries, share: f64) -> RaceEnd {
        let bounds = self.bounds(share);
        let (spent, length) = (self.spent, self.best.as_ref().map(|best| self.length(best)));
        let best = self.alike.as_ref().or(self.best.as_ref());
        let (listen, stopped, unlike) = (&mut self.listen, &mut self.stopped, self.unlike);
        let finish = race(self.prepared, entrants, effort, bounds, &mut |passes| {
            let goes_on = listen(spent + passes, length, unlike, best);
            *stopped |= !goes_on;
            goes_on
        });
        self.spent += finish.passes;
        self.looked_at += finish.looked_at;
        finish
    }

    fn length(&self, saved: &Saved) -> f64 {
        Lay::of(self.prepared, saved).length()
    }

    /// Gets the items apart on the whole cloth.
    fn get_apart(&mut self) {
        let mut pool = vec![self.closest.clone()];
        while self.share() < 1.0 && self.best.is_none() {
            let restart = if pool.len() > 1 { Restart::Disrupted } else { Restart::AsItWas };
            let entrants = self.out_of_pool(&pool, restart);
            let finish = self.race(entrants, EXPLORING, 1.0);
            self.best = finish.won;
            add(&mut pool, finish.closest);
        }
        self.closest = pool.swap_remove(0);
    }

    /// Ends the sheets where the best lay does.
    fn tighten(&mut self) {
        if let Some(best) = &mut self.best {
            let mut lay = Lay::of(self.prepared, best);
            lay.tighten();
            *best = lay.save();
        }
    }

    /// Shortens the best lay by large steps, and explores other lays where it can't be.
    fn shorten(&mut self) {
        let mut step = EXPLORING_STEP.0;
        let mut pool: Vec<Saved> = Vec::new();
        let mut failures = 0;
        while self.share() < EXPLORED {
            let entrants = if pool.is_empty() {
                self.shortened(step, failures / SHEET_GIVEN_UP)
            } else {
                self.out_of_pool(&pool, Restart::Disrupted)
            };
            if entrants.is_empty() {
                failures += 1;
                if step <= EXPLORING_STEP.1
                    && failures > SHEET_GIVEN_UP * self.prepared.ground.beds.len() as u64
                {
                    break;
                }
                step = (step / 2.0).max(EXPLORING_STEP.1);
                continue;
            }
            let finish = self.race(entrants, EXPLORING, EXPLORED);
            if let Some(won) = finish.won {
                self.best = Some(won);
                self.tighten();
                pool.clear();
                failures = 0;
            } else if step > EXPLORING_STEP.1 {
                step = (step / 2.0).max(EXPLORING_STEP.1);
                pool.clear();
            } else {
                failures += 1;
                add(&mut pool, finish.closest);
                if self.prepared.ground.beds.len() > 1 && failures % SHEET_GIVEN_UP == 0 {
                    pool.clear();
                }
            }
        }
    }

    /// Shortens the best lay by ever smaller steps.
    fn compress(&mut self) {
        let mut failures = 0;
        let (first, last) = COMPRESSING_STEP;
        while self.share() < 1.0 {
            let done = ((self.share() - EXPLORED) / (1.0 - EXPLORED)).max(0.0);
            let step = first * (last / first).powf(done);
            let entrants = self.shortened(step, failures);
            failures += 1;
            if entrants.is_empty() {
                if failures > 2 * self.prepared.ground.beds.len() as u64 {
                    break;
                }
                continue;
            }
            if let Some(won) = self.race(entrants, COMPRESSING, 1.0).won {
                self.best = Some(won);
                self.tighten();
                failures = 0;
            }
        }
    }

    /// For each searcher the best lay shortened by a share of its length, each with another cut. The sheet is the last
    /// used, or after failures one before it. None where some item then has no place.
    fn shortened(&mut self, share: f64, failures: u64) -> Vec<Entrant> {
        let generators = self.generators();
        let Some(best) = &self.best else { return Vec::new() };
        let lay = Lay::of(self.prepared, best);
        let beds = &self.prepared.ground.beds;
        let used: Vec<usize> =
            (0..beds.len()).rev().filter(|sheet| lay.ends[*sheet] > beds[*sheet].bounds.y0).collect();
        if used.is_empty() {
            return Vec::new();
        }
        let sheet = used[(failures % used.len() as u64) as usize];
        let by = lay.length() * share;
        generators
            .into_iter()
            .filter_map(|mut random| {
                let mut lay = lay.clone();
                lay.shorten(sheet, by, &mut random).then(|| Entrant { saved: lay.save(), random })
            })
            .collect()
    }

    /// For each searcher a lay of the pool, one with less overlap more often.
    fn out_of_pool(&mut self, pool: &[Saved], restart: Restart) -> Vec<Entrant> {
        let prepared = self.prepared;
        self.generators()
            .into_iter()
            .map(|mut random| {
                let near = random.share().min(random.share()) * pool.len() as f64;
                let mut lay = Lay::of(prepared, &pool[near as usize]);
                match restart {
                    Restart::AsItWas => {}
                    Restart::Disrupted if random.share() < SCATTERED => scatter(&mut lay, &mut random),
                    Restart::Disrupted => disrupt(&mut lay, &mut random),
                }
                Entrant { saved: lay.save(), random }
            })
            .collect()
    }
}

/// How a searcher begins anew from a lay of the pool.
#[derive(Clone, Copy)]
enum Restart {
    /// With the lay as it was.
    AsItWas,
    /// With items thrown together or exchanged.
    Disrupted,
}

/// Where the streams of generators begin that are not those of the first lay.
const STREAMS: u64 = 1000;

/// Adds lays to a pool, which stays in the order of overlap.
fn add(pool: &mut Vec<Saved>, lays: Vec<Saved>) {
    pool.extend(lays);
    pool.sort_by(|a, b| a.overlap.total_cmp(&b.overlap));
    pool.truncate(POOL);
}

/// Puts every item at a random place.
fn scatter(lay: &mut Lay, random: &mut Random) {
    let mut placer = Placer::new(random.clone());
    for item in 0..lay.spots.len() {
        placer.begin();
        if let Some(spot) = placer.anywhere(lay, item)
            && let Some((_, spot)) = placer.look(lay, item, spot, f64::INFINITY)
        {
            lay.put(item, spot);
        }
    }
    *random = placer.random;
}

/// Exchanges two large items, or moves the lines of a group.
fn disrupt(lay: &mut Lay, random: &mut Random) {
    let groups = lay.together.len();
    if groups > 0 && random.share() < SHIFTED {
        let group = random.place(groups);
        lay.shift_group(group, random);
        return;
    }
    let large = large_items(lay.prepared);
    if large.len() < 2 {
        return;
    }
    let first = large[random.place(large.len())];
    let second = large[random.place(large.len())];
    let places = (lay.spots[first], lay.spots[second]);
    let sheets = (lay.way(first).sheet, lay.way(second).sheet);
    let exchanged = [(first, places.0, places.1, sheets.1), (second, places.1, places.0, sheets.0)];
    for (item, from, to, sheet) in exchanged {
        let ways = &lay.prepared.items[item].ways;
        let way = if ways[from.way].sheet == sheet {
            Some(from.way)
        } else {
            ways.iter().position(|way| way.sheet == sheet)
        };
        let Some(way) = way else { return };
        let degrees = if way == from.way { from.degrees } else { ways[way].degrees };
        let Some(spot) = lay.allowed(item, ItemPlace { way, degrees, ..to }, random) else { return };
        lay.put(item, spot);
    }
}

/// The largest items that together hold [`LARGE`] of all area.
fn large_items(prepared: &Prepared) -> Vec<usize> {
    let mut items: Vec<usize> = (0..prepared.items.len()).collect();
    let area = |item: &usize| prepared.items[*item].figure.area;
    items.sort_by(|a, b| area(b).total_cmp(&area(a)));
    let wanted = items.iter().map(area).sum::<f64>() * LARGE;
    let mut held = 0.0;
    let count = items
        .iter()
        .take_while(|item| {
            let more = held < wanted;
            held += area(item);
            more
        })
        .count();
    items.truncate(count);
    items
}
