//! The cloth: what is at hand, which pieces it is wide enough for, and how they lie on it.
//!
//! [`Stock`] is all the cloth at hand, as a cloth file ([`mod@file`]) tells it. May use `curve`, `pattern`, `allowance`,
//! `truing`, `units` and `tolerance`; the operations know nothing of it.
//!
//! Places on a length of cloth are millimetres: across from the left selvedge, along from its start, the right side of
//! the cloth up.
//!
//! ```text
//!   0 ──────────────> across
//!   │ ┌────────────┐ start
//!   │ │            │
//!   v │            │ right selvedge (left one straight, this one where the width says)
//! along
//! ```
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::{Size, fit::fit};
//! use retrue::units::Angle;
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let bolt = "37cm x 11.4m".parse::<Size>()?.stock()?;
//! let found = fit(&coat, &bolt, Angle::ZERO)?;
//! assert!(!found.fits, "the back is wider than this cloth");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bolt;
pub mod colours;
mod error;
pub mod file;
pub mod fit;
mod grain_choice;
pub mod kept_width;
pub mod layout;
mod off_selvedge;
mod panel;
pub mod picture;
pub mod search;
mod size;
mod stock;
mod stripes;

pub use bolt::{Bolt, Flaw, Width};
pub use error::ClothError;
pub use grain_choice::GrainChoice;
pub use off_selvedge::OffSelvedge;
pub use panel::Panel;
pub use size::Size;
pub use stock::{Cloth, Crosswise, Direction, Selvedges, Stock, WithoutCloth};
pub use stripes::{Mark, Stripes, StripesAlong, StripesAt};
