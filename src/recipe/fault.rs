//! What is wrong with a recipe.

use crate::toml_file::TextFault;

/// What is wrong with a recipe, and the way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RecipeFault {
    /// Something at a place in its text.
    InText(TextFault),
    /// Something about all of it.
    InFile {
        /// What is wrong.
        what: String,
        /// What the user can do about it.
        way_out: String,
    },
    /// Something about the values given in place of its own.
    Given {
        /// What is wrong.
        what: String,
        /// What the user can do about it.
        way_out: String,
    },
}

impl From<TextFault> for RecipeFault {
    fn from(fault: TextFault) -> RecipeFault {
        RecipeFault::InText(fault)
    }
}
