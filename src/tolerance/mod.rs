//! Every tolerance of the crate, each a named constant with its reason.
//!
//! Numerical tolerances answer "are these two the same thing, given how f64 was measured?". Sewing tolerances answer
//! "may these two differ in a garment?". The two kinds are never the same constant, even where their values agree.
//!
//! They stand by the floor that they were made for; every one is used by its plain name.
//!
//! # Examples
//!
//! How far apart the two sides of a seam may be depends on who asks: measured, they are equal; sewn, they may differ.
//!
//! ```
//! use retrue::tolerance::{SAME_LENGTH, TOLERATED_MISMATCH};
//!
//! let (front, back) = (417.2, 418.0);
//! let off: f64 = back - front;
//! assert!(off > SAME_LENGTH && off < TOLERATED_MISMATCH);
//! ```

mod adopt;
mod allowance;
mod canvas;
mod cloth;
mod curve;
mod pages;
mod plan;
mod recut;
mod resew;
mod sheet;
mod table;
mod truing;

pub use adopt::*;
pub use allowance::*;
pub use canvas::*;
pub use cloth::*;
pub use curve::*;
pub use pages::*;
pub use plan::*;
pub use recut::*;
pub use resew::*;
pub use sheet::*;
pub use table::*;
pub use truing::*;
