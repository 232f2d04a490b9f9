//! A wish to stop, raised while a search runs on another thread.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::problem::Continue;

/// A wish to stop: all that were cloned of one are raised together.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Raises it, for good.
    pub fn raise(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was raised.
    #[must_use]
    pub fn is_raised(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// What the listener of a search answers then.
    #[must_use]
    pub fn goes_on(&self) -> Continue {
        if self.is_raised() { Continue::Stop } else { Continue::Search }
    }
}
