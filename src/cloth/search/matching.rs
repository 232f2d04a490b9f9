//! Looking for a lay in which what is joined looks alike.
//!
//! From a lay without overlap some items are put where the sheet looks like that beside their partners, whatever lies
//! there; then all are got apart, with unlikeness drawing at them as overlap does. Overlaps that stay weigh more and more,
//! unlikeness does not: so a lay without overlap is found in the end. Then each item goes downhill to where it looks more
//! alike without lying over anything. What came of it is taken up if it looks more alike, or a little less at first.

use super::lay::{Lay, Saved};
use super::phases::Search;
use super::placing::Placer;
use super::prepared::Prepared;
use super::race::{Passes, RaceLimits};
use super::random::Random;
use super::separating::{Ended, Tries, separate};
use super::ways::ItemPlace;

/// How long one attempt lasts.
const MATCHING: Tries = Tries { patience: 60, attempts: 1 };

/// How strongly unlikeness of one draws at an item, as a share of the mean extent of items: with as much as overlaps of
/// some millimetres.
const PULL: f64 = 0.5;

/// How many places are looked at for an item that is put where it looks alike.
const SAMPLES: usize = 250;

/// The share of attempts in which all items are put anew, one after another by their joints, and not one alone.
const ANEW: f64 = 0.25;

/// The share of attempts in which the lines of a group are chosen anew, where there are groups, and of how many.
const SHIFTED: f64 = 0.25;
const LINES: usize = 32;

/// How much less alike a lay may look than the one before and still be taken up, at first; less and less later.
const LENIENCE: f64 = 0.15;

/// How often each item goes downhill at the end of an attempt.
const POLISHED: usize = 3;

/// How much likeness a metre of the sheets is worth (CIEDE2000, on the mean of all joints): lays that look the same are
/// told apart by their length.
const WORTH_OF_METRE: f64 = 0.1;

/// A lay without overlap, and how good it is.
#[derive(Clone, Debug)]
struct Scored {
    saved: Saved,
    unlike: f64,
    score: f64,
}

impl Scored {
    fn of(lay: &Lay<'_>) -> Scored {
        let unlike = lay.unlike();
        Scored { saved: lay.save(), unlike, score: unlike + WORTH_OF_METRE * lay.length() / 1000.0 }
    }
}

/// What one attempt came to.
struct Attempt {
    found: Option<Scored>,
    passes: u64,
    looked_at: u64,
}

impl Search<'_, '_> {
    /// Makes the best lay look as alike as can be where items are joined, for all that is left of the budget.
    pub(super) fn match_up(&mut self) {
        let Some(best) = &self.best else { return };
        let mut first = Lay::of(self.prepared, best);
        for (end, bed) in first.ends.iter_mut().zip(&self.prepared.ground.beds) {
            *end = bed.bounds.y1;
        }
        let mut best = Scored::of(&first);
        let mut current = best.clone();
        while self.share() < 1.0 {
            self.unlike = Some(best.unlike);
            let generators = self.generators();
            let limits = self.bounds(1.0);
            if !self.goes_on() {
                break;
            }
            let attempts = attempts(self.prepared, &current.saved, generators, limits);
            self.spent += attempts.iter().map(|attempt| attempt.passes).max().unwrap_or(0).max(1);
            self.looked_at += attempts.iter().map(|attempt| attempt.looked_at).sum::<u64>();
            let found = attempts.into_iter().filter_map(|attempt| attempt.found);
            let Some(found) = found.min_by(|a, b| a.score.total_cmp(&b.score)) else { continue };
            if found.score < best.score {
                best = found.clone();
                self.alike = Some(best.saved.clone());
            }
            let lenience = LENIENCE * (1.0 - self.share()).max(0.0);
            if found.score < current.score * (1.0 + lenience) {
                current = found;
            } else if current.score > best.score * (1.0 + lenience) {
                current = best.clone();
            }
        }
        self.unlike = Some(best.unlike);
        self.best = Some(best.saved);
    }
}

/// One attempt for each generator, side by side.
fn attempts(prepared: &Prepared, from: &Saved, generators: Vec<Random>, limits: RaceLimits) -> Vec<Attempt> {
    std::thread::scope(|scope| {
        let running: Vec<_> = generators
            .into_iter()
            .map(|random| scope.spawn(move || attempt(prepared, from, random, limits)))
            .collect();
        let ended = running.into_iter();
        ended.map(|run| run.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    })
}

fn attempt(prepared: &Prepared, from: &Saved, random: Random, limits: RaceLimits) -> Attempt {
    let mut lay = Lay::of(prepared, from);
    let mut placer = Placer::new(random);
    let mut passes = Passes::within(limits);
    disturb(&mut lay, &mut placer);
    lay.pull = pull(prepared);
    let ended = separate(&mut lay, &mut placer, MATCHING, &mut passes);
    if ended != Ended::Apart {
        return Attempt { found: None, passes: passes.made, looked_at: placer.looked_at };
    }
    polish(&mut lay, &mut placer);
    Attempt { found: Some(Scored::of(&lay)), passes: passes.made, looked_at: placer.looked_at }
}

fn pull(prepared: &Prepared) -> f64 {
    let extents: f64 = prepared.items.iter().map(|item| item.figure.extent).sum();
    PULL * extents / prepared.items.len().max(1) as f64
}

/// Puts one item that has joints, or all of them one after another, where they look alike.
fn disturb(lay: &mut Lay<'_>, placer: &mut Placer) {
    let joined: Vec<usize> =
        (0..lay.spots.len()).filter(|item| !lay.prepared.joints_of[*item].is_empty()).collect();
    if joined.is_empty() {
        return;
    }
    if !lay.together.is_empty() && placer.random.share() < SHIFTED {
        shift_alike(lay, &mut placer.random);
        return;
    }
    if placer.random.share() >= ANEW {
        let item = unlike_item(lay, &joined, placer);
        put_alike(lay, item, placer, &|_| true);
        return;
    }
    let mut placed = vec![false; lay.spots.len()];
    let first = joined[placer.random.place(joined.len())];
    placer.begin();
    if let Some(spot) = placer.anywhere(lay, first).and_then(|spot| placer.held(lay, first, spot)) {
        lay.put(first, spot);
    }
    placed[first] = true;
    while let Some(next) = next_joined(lay, &placed, &joined, placer) {
        let known = placed.clone();
        put_alike(lay, next, placer, &|other| known[other]);
        placed[next] = true;
    }
}

/// Chooses the lines of a group so that what follows them looks most alike, of many.
fn shift_alike(lay: &mut Lay<'_>, random: &mut Random) {
    let group = random.place(lay.together.len());
    let mut best: Option<(f64, Saved)> = None;
    for _ in 0..LINES {
        lay.shift_group(group, random);
        let unlike = lay.unlike();
        if best.as_ref().is_none_or(|(least, _)| unlike < *least) {
            best = Some((unlike, lay.save()));
        }
    }
    if let Some((_, saved)) = best {
        lay.restore(&saved);
    }
}

/// An item, of two the one that looks less alike.
fn unlike_item(lay: &Lay<'_>, joined: &[usize], placer: &mut Placer) -> usize {
    let some = [0, 1].map(|_| joined[placer.random.place(joined.len())]);
    let [first, second] = some.map(|item| lay.unlike_at(item, lay.spots[item], &|_| true));
    if first >= second { some[0] } else { some[1] }
}

/// An item not yet placed that is joined to one that is, or else any.
fn next_joined(lay: &Lay<'_>, placed: &[bool], joined: &[usize], placer: &mut Placer) -> Option<usize> {
    let left: Vec<usize> = joined.iter().copied().filter(|item| !placed[*item]).collect();
    let likeness = lay.prepared.likeness.as_ref()?;
    let is_joined = |item: &usize| {
        let joints = lay.prepared.joints_of[*item].iter().map(|joint| likeness.joints[*joint].items);
        joints.flatten().any(|other| placed[other])
    };
    let near: Vec<usize> = left.iter().copied().filter(is_joined).collect();
    let among = if near.is_empty() { left } else { near };
    (!among.is_empty()).then(|| among[placer.random.place(among.len())])
}

/// Puts an item where it looks most like those that count, of many places.
fn put_alike(lay: &mut Lay<'_>, item: usize, placer: &mut Placer, counts: &dyn Fn(usize) -> bool) {
    placer.begin();
    let mut best: Option<(f64, ItemPlace)> = None;
    for _ in 0..SAMPLES {
        let Some(spot) = placer.anywhere(lay, item).and_then(|spot| placer.held(lay, item, spot)) else {
            continue;
        };
        let unlike = lay.unlike_at(item, spot, counts);
        if best.is_none_or(|(least, _)| unlike < least) {
            best = Some((unlike, spot));
        }
    }
    if let Some((_, spot)) = best {
        lay.put(item, spot);
    }
}

/// Each item goes downhill to where it looks more alike, and lies over nothing.
fn polish(lay: &mut Lay<'_>, placer: &mut Placer) {
    let mut items: Vec<usize> =
        (0..lay.spots.len()).filter(|item| !lay.prepared.joints_of[*item].is_empty()).collect();
    lay.forbid_overlap();
    for _ in 0..POLISHED {
        placer.random.shuffle(&mut items);
        for item in &items {
            let before = lay.spots[*item];
            placer.improve(lay, *item);
            if lay.overlap() > 0.0 {
                lay.put(*item, before);
            }
        }
    }
}
