//! Several searchers that try to get lays apart side by side; the first to do so wins.
//!
//! First by the number of passes, not by the clock: a searcher gives up once another has won with fewer passes than it
//! has made. So who wins, and with what lay, does not depend on how fast each thread runs.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Instant;

use super::lay::{Lay, Saved};
use super::placing::Placer;
use super::prepared::Prepared;
use super::random::Random;
use super::separating::{Ended, Tries, Watch, separate};

/// One searcher at the start of a race.
#[derive(Debug)]
pub(super) struct Entrant {
    pub saved: Saved,
    pub random: Random,
}

/// How a race went.
#[derive(Debug)]
pub(super) struct RaceEnd {
    /// The lay of the winner; none where none got apart.
    pub won: Option<Saved>,
    /// Where none won, the lay of each.
    pub closest: Vec<Saved>,
    /// Passes that count: the winner's, or the most of any.
    pub passes: u64,
    /// Places looked at by the winner, or by all where none won.
    pub looked_at: u64,
}

/// What ends a race early.
#[derive(Clone, Copy, Debug)]
pub(super) struct RaceLimits {
    /// The most passes of one searcher.
    pub passes: u64,
    /// When time is up.
    pub deadline: Option<Instant>,
}

/// Passes of a searcher that races against none.
pub(super) struct Passes {
    limits: RaceLimits,
    /// How many it has made.
    pub(super) made: u64,
}

impl Passes {
    /// None made yet.
    pub fn within(limits: RaceLimits) -> Passes {
        Passes { limits, made: 0 }
    }
}

impl Watch for Passes {
    fn goes_on(&mut self) -> bool {
        let late = self.limits.deadline.is_some_and(|deadline| Instant::now() >= deadline);
        let goes_on = !late && self.made < self.limits.passes;
        self.made += u64::from(goes_on);
        goes_on
    }
}

/// Called by the first searcher before each pass, with the passes it has made; false halts the race.
pub(super) type Listen<'a> = &'a mut dyn FnMut(u64) -> bool;

/// What the searchers of a race have in common.
struct Track {
    bounds: RaceLimits,
    /// The fewest passes that anyone won with.
    won_after: AtomicU64,
    halted: AtomicBool,
}

struct Runner<'a, 'l> {
    track: &'a Track,
    passes: u64,
    listen: Option<Listen<'l>>,
}

impl Watch for Runner<'_, '_> {
    fn goes_on(&mut self) -> bool {
        let track = self.track;
        if let Some(listen) = &mut self.listen
            && !listen(self.passes)
        {
            track.halted.store(true, Ordering::Relaxed);
        }
        let late = track.bounds.deadline.is_some_and(|deadline| Instant::now() >= deadline);
        let goes_on = !late
            && !track.halted.load(Ordering::Relaxed)
            && self.passes < track.bounds.passes
            && self.passes < track.won_after.load(Ordering::Relaxed);
        self.passes += u64::from(goes_on);
        goes_on
    }
}

/// What one searcher brings home.
struct BroughtHome {
    ended: Ended,
    saved: Saved,
    passes: u64,
    looked_at: u64,
}

/// Runs a race.
pub(super) fn race(
    prepared: &Prepared,
    entrants: Vec<Entrant>,
    effort: Tries,
    bounds: RaceLimits,
    listen: Listen,
) -> RaceEnd {
    let track = Track { bounds, won_after: AtomicU64::new(u64::MAX), halted: AtomicBool::new(false) };
    let mut entrants = entrants.into_iter();
    let first = entrants.next();
    let runs: Vec<BroughtHome> = std::thread::scope(|scope| {
        let others: Vec<_> = entrants
            .map(|entrant| {
                let track = &track;
                scope.spawn(move || run(prepared, entrant, effort, Runner { track, passes: 0, listen: None }))
            })
            .collect();
        let first = first.map(|entrant| {
            run(prepared, entrant, effort, Runner { track: &track, passes: 0, listen: Some(listen) })
        });
        first
            .into_iter()
            .chain(others.into_iter().map(|other| other.join().unwrap_or_else(|panic| resume_unwind(panic))))
            .collect()
    });
    finish(runs)
}

fn run(prepared: &Prepared, entrant: Entrant, effort: Tries, mut runner: Runner) -> BroughtHome {
    let mut lay = Lay::of(prepared, &entrant.saved);
    let mut placer = Placer::new(entrant.random);
    let ended = separate(&mut lay, &mut placer, effort, &mut runner);
    if ended == Ended::Apart {
        runner.track.won_after.fetch_min(runner.passes, Ordering::Relaxed);
    }
    BroughtHome { ended, saved: lay.save(), passes: runner.passes, looked_at: placer.looked_at }
}

fn finish(runs: Vec<BroughtHome>) -> RaceEnd {
    let winner = runs
        .iter()
        .enumerate()
        .filter(|(_, run)| run.ended == Ended::Apart)
        .min_by_key(|(place, run)| (run.passes, *place))
        .map(|(place, _)| place);
    let most = runs.iter().map(|run| run.passes).max().unwrap_or(0);
    match winner.and_then(|place| runs.get(place)) {
        Some(run) => RaceEnd {
            won: Some(run.saved.clone()),
            closest: Vec::new(),
            passes: run.passes,
            looked_at: run.looked_at,
        },
        None => RaceEnd {
            won: None,
            passes: most,
            looked_at: runs.iter().map(|run| run.looked_at).sum(),
            closest: runs.into_iter().map(|run| run.saved).collect(),
        },
    }
}
