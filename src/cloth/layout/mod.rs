//! The cutting layout: pieces of a pattern on the cloth at hand.
//!
//! ```text
//! Pattern, Stock, LayWish ── LayTask::of ──> LayTask: copies, grounds, rules ── search ──> Laid, checked ── picture ──> SVG
//! ```
//!
//! The search works on polygons around the cutting lines; [`check`] holds what it finds against the true lines, and
//! knows nothing of the search.
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::Size;
//! use retrue::cloth::layout::{LayTask, LayWish};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let cloth = "150cm x 4m".parse::<Size>()?.stock()?;
//! let task = LayTask::of(&coat, &cloth, LayWish::default())?;
//! assert!(task.copies.len() > coat.pieces().len(), "left and right lie apart");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod alike;
mod by_hand;
pub mod check;
mod choices;
mod copies;
mod error;
mod holds;
mod joints;
mod laid;
mod levels;
mod matches;
mod met;
mod mirrors;
mod partners;
mod phases;
mod polygon;
mod readings;
mod reason;
mod region;
mod room;
mod sentences;
mod sewn;
mod shades;
mod sheets;
mod task;
mod turns;

pub use alike::{Alike, PlaceAlike, SeamAlike, SewingAlike, seam_alike};
pub use by_hand::{HandTurn, LayoutByHand};
pub use choices::{LayChoices, MOST_SECONDS, USUAL_SECONDS};
pub use copies::{BodySide, PieceCopy};
pub use error::LayError;
pub use laid::{GroundUse, Laid, LaidMatch, LaidVerdict};
pub use levels::{LaidLevel, LevelMatch, LevelMet, LevelPlace};
pub use matches::{SeamMatch, WishKept};
pub use met::{PairMet, PlaceMet, SeamMet, SewingMet, seam_met};
pub use partners::{BodyHalf, LyingCopy};
pub use readings::MetAlong;
pub use reason::Reason;
pub use sentences::{MatchTold, used_of, used_told};
pub use sewn::{MatchAt, Parting};
pub use sheets::{Ground, GroundSource, Spread};
pub use task::{LaidCopy, LayTask, LayWish};

pub(crate) use alike::places_sewn;
pub(in crate::cloth) use holds::off_selvedge;
pub(crate) use partners::Serving;
pub(crate) use polygon::{around, grown};
pub(in crate::cloth) use room::PanelRooms;
