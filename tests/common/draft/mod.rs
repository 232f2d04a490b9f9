//! Drafts of whole garments from body measures, by public drafting rules, as pattern sheets.
//!
//! Nothing here knows the library under test: pieces are drafted with `kurbo` alone, so that what
//! the library reads, walks and recuts is held against a draft made independently of it. Every draft
//! is true in itself for any [`Measures`] of [`measures::BUST_RANGE`]: lengths that must agree are
//! solved for, edges that run on across a seam are drawn square to it.
//!
//! The board has y downward, like the sheet. Pieces are drafted with the centre on the left and the
//! side on the right, and turned to their own side at the end.
#![allow(dead_code, reason = "each test draws the garments that it needs")]

pub mod awkward;
pub mod board;
pub mod coat;
pub mod curve;
pub mod dress;
pub mod measures;
mod seamlines;
pub mod sheet;
mod skirt;
mod sleeve;

pub use awkward::awkward;
pub use coat::coat;
pub use dress::dress;
pub use measures::Measures;
pub use skirt::skirt_shaped_back;
