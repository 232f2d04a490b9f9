//! What is saved besides the recipe and its sheet: the pattern on paper, the layout, the report; byte for byte what the
//! commands write from the same sheet.

mod paper;
mod report;
pub(super) mod serve;
mod written;

pub use written::ProductSeen;

pub(super) use written::WrittenFiles;
