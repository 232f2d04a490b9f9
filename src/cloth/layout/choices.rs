//! What may be chosen of a layout: the one definition that the command line and the table share.

use clap::Args;

use crate::cloth::layout::{LayWish, Spread};
use crate::cloth::search::{Budget, Limit};
use crate::pattern::{EdgeRef, LevelName};
use crate::units::Angle;

/// How long a layout is searched for when nothing else is said.
pub const USUAL_SECONDS: f64 = 20.0;

/// The most that may be asked for: a day.
pub const MOST_SECONDS: f64 = 86_400.0;

/// How many searches run side by side. Fixed, since a layout that is to come out the same depends on it.
const SEARCHERS: usize = 2;

/// What may be chosen of a layout and the search for it.
#[derive(Clone, Debug, Args)]
pub struct LayChoices {
    /// Fold the cloth lengthwise, right sides together: pairs are cut at once, half pieces lie on the fold.
    #[arg(long, help_heading = "Cloth")]
    pub folded: bool,
    /// A seam at which like is to meet like, by any edge of it: front.side. Stripes, plaids and marks are brought together
    /// at the stitching line; of colours and photographs, places are looked for where both sides look alike. May be said
    /// again for others.
    #[arg(long = "match", value_name = "PIECE.EDGE", help_heading = "Cloth")]
    pub matches: Vec<EdgeRef>,
    /// A level that is to lie at the same place of the cloth's pattern in all pieces that carry it: waist. May be said again
    /// for others; levels come before seams.
    #[arg(long = "match-level", value_name = "LEVEL", help_heading = "Cloth")]
    pub match_levels: Vec<LevelName>,
    /// Search for so many seconds (default 20). What is found then depends on the machine.
    #[arg(long, value_name = "N", value_parser = seconds, conflicts_with = "iterations", help_heading = "Search")]
    pub seconds: Option<f64>,
    /// Search for so many passes: the same passes and seed find the same layout.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..), help_heading = "Search")]
    pub iterations: Option<u64>,
    /// Another seed finds another layout.
    #[arg(long, value_name = "N", default_value = "1", help_heading = "Search")]
    pub seed: u64,
}

fn seconds(text: &str) -> Result<f64, String> {
    let seconds = text.trim().parse::<f64>().ok();
    seconds
        .filter(|seconds| *seconds > 0.0 && *seconds <= MOST_SECONDS)
        .ok_or_else(|| "write seconds over 0, up to a day: 60".to_owned())
}

impl LayChoices {
    /// How the pieces are to be laid, so far off the grain at the most.
    #[must_use]
    pub fn wish(&self, grain_tolerance: Angle) -> LayWish {
        LayWish {
            spread: if self.folded { Spread::Folded } else { Spread::Single },
            grain_tolerance,
            matches: self.matches.clone(),
            levels: self.match_levels.clone(),
        }
    }

    /// How long is searched, and from which seed.
    #[must_use]
    pub fn budget(&self) -> Budget {
        let limit = match self.iterations {
            Some(passes) => Limit::Iterations(passes),
            None => Limit::Seconds(self.seconds.unwrap_or(USUAL_SECONDS)),
        };
        Budget { seed: self.seed, searchers: SEARCHERS, limit }
    }
}
