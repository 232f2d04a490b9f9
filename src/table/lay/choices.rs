//! All that is chosen of a layout.

use clap::Args;

use crate::cloth::GrainChoice;
use crate::cloth::layout::{LayChoices, LayWish};
use crate::cloth::search::Budget;

/// All that is chosen of a layout, as `lay` reads it.
#[derive(Clone, Debug, Args)]
pub(super) struct AllLayChoices {
    #[command(flatten)]
    lay: LayChoices,
    #[command(flatten)]
    grain: GrainChoice,
}

impl AllLayChoices {
    /// How the pieces are to be laid.
    pub(super) fn wish(&self) -> LayWish {
        self.lay.wish(self.grain.grain_tolerance)
    }

    /// How long is searched.
    pub(super) fn budget(&self) -> Budget {
        self.lay.budget()
    }
}
