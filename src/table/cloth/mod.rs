//! The cloth set by hand: on its strip, by numbers, on its photographs; written to the cloth file of the folder, which its own
//! reader judges.

mod file;
mod form;
mod hand;
mod keeping;
mod listed;
mod photograph;
pub(super) mod serve;
mod wedges;

pub use file::{ClothFile, ClothHome, ClothTextReader};
