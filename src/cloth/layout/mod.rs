//! The cutting layout: pieces of a pattern on the cloth at hand.
//!
//! ```text
//! Pattern, Stock, Wish ── LayTask::of ──> LayTask: copies, grounds, rules ── search ──> Laid, checked ── picture ──> SVG
//! ```
//!
//! The search works on polygons around the cutting lines; [`check`] holds what it finds against the true lines, and
//! knows nothing of the search.
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::Size;
//! use retrue::cloth::layout::{LayTask, Wish};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let cloth = "150cm x 4m".parse::<Size>()?.stock()?;
//! let task = LayTask::of(&coat, &cloth, Wish::default())?;
//! assert!(task.copies.len() > coat.pieces().len(), "left and right lie apart");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod check;
mod copies;
mod error;
mod holds;
mod laid;
mod matches;
mod phases;
mod polygon;
mod reason;
mod region;
mod sheets;
mod task;

pub use copies::{BodySide, PieceCopy};
pub use error::LayError;
pub use laid::{GroundUse, Laid, LaidCopy, Verdict};
pub use matches::{MatchAt, Parting, SeamMatch};
pub use reason::Reason;
pub use sheets::{Ground, GroundSource, Spread};
pub use task::{LayTask, Wish};

pub(crate) use polygon::{around, grown};
