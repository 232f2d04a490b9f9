//! What may be chosen of a plan: the one definition that the command line and the table share.

use std::time::Duration;

use clap::Args;

use crate::cloth::search::Limit;
use crate::plan::Effort;

/// When no more layouts are begun where nothing is said of iterations, seconds: so that all is done within a minute.
const LAST_BEGUN: Duration = Duration::from_secs(45);

/// What may be chosen of the search for plans.
#[derive(Clone, Debug, Args)]
pub struct PlanChoices {
    /// How many alternatives are offered, at most.
    #[arg(long, value_name = "N", default_value = "5", value_parser = clap::value_parser!(u8).range(1..=20), help_heading = "Search")]
    pub alternatives: u8,
    /// Try at most this many recuts.
    #[arg(long, value_name = "N", default_value = "1200", value_parser = clap::value_parser!(u32).range(1..=100_000), help_heading = "Search")]
    pub recuts: u32,
    /// Lay the best few for so many passes, however long it takes: the same passes and seed find the same plans.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..), help_heading = "Search")]
    pub iterations: Option<u64>,
    /// Another seed finds other layouts.
    #[arg(long, value_name = "N", default_value = "1", help_heading = "Search")]
    pub seed: u64,
}

impl PlanChoices {
    /// How hard is searched.
    #[must_use]
    pub fn effort(&self) -> Effort {
        let usual = Effort::default();
        Effort {
            seed: self.seed,
            recuts: self.recuts as usize,
            alternatives: usize::from(self.alternatives),
            good: self.iterations.map_or(usual.good, Limit::Iterations),
            deadline: self.iterations.is_none().then_some(LAST_BEGUN),
            ..usual
        }
    }
}
