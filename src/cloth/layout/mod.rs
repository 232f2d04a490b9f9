//! The cutting layout: pieces of a pattern on the cloth at hand.
//!
//! ```text
//! Pattern, Stock, Wish ── Plan::of ──> Plan: copies, grounds, rules ── search ──> Laid, checked ── picture ──> SVG
//! ```
//!
//! The search works on polygons around the cutting lines; [`check`] holds what it finds against the true lines, and
//! knows nothing of the search.

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
