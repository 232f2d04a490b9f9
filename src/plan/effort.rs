//! How hard to search.

use std::time::Duration;

use crate::cloth::search::{Limit, Stop};
use crate::plan::Alternative;
use crate::units::counted_as;

/// How hard to search. With iterations for limits and no deadline the same seed finds the same plans on any machine.
#[derive(Clone, Debug)]
pub struct Effort {
    /// Another seed lays otherwise.
    pub seed: u64,
    /// How many searches of a layout run side by side.
    pub searchers: usize,
    /// How many recuts are looked at, at most.
    pub recuts: usize,
    /// How many of those that fit by width and area are laid quickly.
    pub trials: usize,
    /// How long each is laid at first.
    pub quick: Limit,
    /// How long what does not lie is laid once more before it is given up, and what more cloth is tried with.
    pub again: Limit,
    /// How long the best few are laid.
    pub good: Limit,
    /// How many alternatives are offered, at most.
    pub alternatives: usize,
    /// When no more layouts are begun, from the start.
    pub deadline: Option<Duration>,
    /// Raised, no more is looked at or laid: what was found so far is given.
    pub stop: Stop,
}

impl Default for Effort {
    fn default() -> Effort {
        Effort {
            seed: 1,
            searchers: 2,
            recuts: 1200,
            trials: 16,
            quick: Limit::Iterations(150),
            again: Limit::Iterations(1000),
            good: Limit::Iterations(1200),
            alternatives: 5,
            deadline: None,
            stop: Stop::default(),
        }
    }
}

/// How far the planning has come.
#[derive(Clone, Copy, Debug)]
pub enum News<'a> {
    /// Recuts looked at so far, and how many of them fit by width and area.
    Searching {
        /// Looked at.
        recuts: usize,
        /// That fit.
        fitting: usize,
    },
    /// One more was laid quickly.
    Tried {
        /// How many were laid so far.
        trials: usize,
        /// How many lie.
        lie: usize,
    },
    /// One that was laid quickly lies.
    Fits(&'a Alternative),
    /// One of the best few was laid well.
    Laid {
        /// Its place among them, from 1.
        number: usize,
        /// Of how many.
        of: usize,
    },
}

impl News<'_> {
    /// How far the planning has come, in words; nothing of what only comes with other news.
    #[must_use]
    pub fn sentence(&self) -> Option<String> {
        match self {
            News::Searching { recuts, fitting } => {
                Some(format!("{recuts} ways tried, {fitting} fit by width and area"))
            }
            News::Tried { trials, lie } => {
                Some(format!("{trials} tried, {}", counted_as(*lie, "fits", "fit")))
            }
            News::Fits(_) => None,
            News::Laid { number, of } => Some(format!("laying the best: {number} of {of}")),
        }
    }
}
