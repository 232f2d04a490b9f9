//! Getting overlapping items apart: guided local search after Gardeyn et al. (arXiv 2509.13329).
//!
//! In every pass each item that overlaps something moves to a better place. Overlaps that stay weigh more and more, so
//! that what was the best place for an item ceases to be, and the lay leaves its dead ends.

use super::lay::Lay;
use super::placing::Placer;

/// How long it is tried to get a lay apart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tries {
    /// Passes without progress after which the best lay so far is taken up again.
    pub patience: usize,
    /// How often in a row it may be taken up in vain.
    pub attempts: usize,
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// Nothing overlaps.
    Apart,
    /// The lay is as far apart as was reached.
    Stuck,
    /// The watch called a halt.
    Halted,
}

/// Asked before every pass whether to go on.
pub(super) trait Watch {
    /// Whether one more pass may be made.
    fn goes_on(&mut self) -> bool;
}

/// The share of the least overlap so far that must be gained for a pass to count as progress.
const PROGRESS: f64 = 0.98;

/// Gets the items of a lay apart.
pub(super) fn separate(lay: &mut Lay, placer: &mut Placer, effort: Tries, watch: &mut dyn Watch) -> Ended {
    let mut least = lay.save();
    let mut failed = 0;
    while failed < effort.attempts {
        let before = least.overlap;
        let mut idle = 0;
        while idle < effort.patience {
            if least.overlap == 0.0 {
                lay.restore(&least);
                return Ended::Apart;
            }
            if !watch.goes_on() {
                lay.restore(&least);
                return Ended::Halted;
            }
            pass(lay, placer);
            let overlap = lay.overlap();
            idle = if overlap < least.overlap * PROGRESS { 0 } else { idle + 1 };
            if overlap < least.overlap {
                least = lay.save();
            }
            lay.weigh();
        }
        failed = if least.overlap < before * PROGRESS { 0 } else { failed + 1 };
        lay.restore(&least);
    }
    Ended::Stuck
}

/// Moves every item that overlaps something, in a random order.
fn pass(lay: &mut Lay, placer: &mut Placer) {
    let mut colliding: Vec<usize> = lay.colliding().collect();
    placer.random.shuffle(&mut colliding);
    for item in colliding {
        if lay.collides(item) {
            placer.improve(lay, item);
        }
    }
}
