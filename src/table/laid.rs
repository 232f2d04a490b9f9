//! What lies on the table at one time.

use std::sync::Arc;

use crate::cloth::Stock;
use crate::pattern::Pattern;
use crate::table::holds::HoldsFound;
use crate::table::made::Made;
use crate::units::Unit;

/// What lies on the table at one time.
#[derive(Debug)]
pub struct Laid {
    pub(super) made: Made,
    pub(super) stock: Option<Arc<Stock>>,
    pub(super) unit: Unit,
    pub(super) text: String,
    pub(super) holds: HoldsFound,
}

impl Laid {
    /// The text of the recipe.
    #[must_use]
    pub fn recipe(&self) -> &str {
        &self.text
    }

    /// The pattern that it makes; steps that are refused are passed over.
    #[must_use]
    pub fn pattern(&self) -> &Pattern {
        &self.made.pattern
    }

    /// The sheet that it makes; none where a step of it is refused.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        self.made.sheet.as_deref()
    }
}

/// What befell the files of the table that it did not do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Outside {
    /// Nothing.
    Nothing,
    /// The sheet is not the one that was written.
    Sheet,
    /// The recipe, or the pattern that it begins with, is such that nothing can be made of it.
    Recipe(String),
    /// What is kept in the recipe could not be written elsewhere: it is tried again.
    Unwritten(String),
}
