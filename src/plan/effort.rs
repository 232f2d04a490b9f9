//! How hard to search.

use std::time::Duration;

use crate::cloth::lay::Limit;

/// How hard to search. With iterations for limits and no deadline the same seed finds the same plans on any machine.
#[derive(Clone, Debug, PartialEq)]
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
    /// How long the best few are laid.
    pub good: Limit,
    /// How many alternatives are offered, at most.
    pub alternatives: usize,
    /// When no more layouts are begun, from the start.
    pub deadline: Option<Duration>,
}

impl Default for Effort {
    fn default() -> Effort {
        Effort {
            seed: 1,
            searchers: 2,
            recuts: 1200,
            trials: 16,
            quick: Limit::Iterations(150),
            good: Limit::Iterations(4000),
            alternatives: 5,
            deadline: None,
        }
    }
}

/// How far the planning has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum News {
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
    /// One of the best few was laid well.
    Laid {
        /// Its place among them, from 1.
        number: usize,
        /// Of how many.
        of: usize,
    },
}
