//! Files that are written whole or not at all. Knows nothing of what stands in them, and uses no other floor.
//!
//! # Examples
//!
//! ```
//! use retrue::files::{Existing, FileFault, write_whole};
//!
//! # let folder = tempfile::tempdir()?;
//! let file = folder.path().join("back.svg");
//! write_whole(&file, b"<svg/>", Existing::Keep)?;
//! let again = write_whole(&file, b"", Existing::Keep);
//! assert!(matches!(again, Err(FileFault::AlreadyThere)));
//! assert_eq!(std::fs::read(&file)?, b"<svg/>");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod whole;

pub use whole::{Existing, FileFault, folder_of, write_whole};
