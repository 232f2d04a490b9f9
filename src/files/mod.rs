//! Files that are written whole or not at all. Knows nothing of what stands in them, and uses no other floor.

mod whole;

pub use whole::{Existing, WriteFault, folder_of, write_whole};
