//! The cutting layout: pieces of a pattern on the cloth at hand.
//!
//! ```text
//! Pattern, Stock, Wish ── Plan::of ──> Plan: copies, grounds, rules ── search ──> Laid, checked ── picture ──> SVG
//! ```
//!
//! The search works on polygons around the cutting lines; [`check`] holds what it finds against the true lines, and
//! knows nothing of the search.
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::Size;
//! use retrue::cloth::layout::{Plan, Wish};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let cloth = "150cm x 4m".parse::<Size>()?.stock()?;
//! let plan = Plan::of(&coat, &cloth, Wish::default())?;
//! assert!(plan.copies.len() > coat.pieces().len(), "left and right lie apart");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod check;
mod copies;
mod error;
mod holds;
mod laid;
mod matches;
mod phases;
mod plan;
mod polygon;
mod reason;
mod region;
mod sheets;

pub use copies::{Copy, Hand};
pub use error::LayError;
pub use laid::{GroundUse, Laid, Lying, Verdict};
pub use matches::{MatchAt, Parting, SeamMatch};
pub use plan::{Plan, Wish};
pub use reason::Reason;
pub use sheets::{Ground, Source, Spread};

pub(crate) use polygon::{around, grown};
