//! Pieces made of others: what a copy is, from the pattern as it is now.
//!
//! A [`MadePiece`] is worked out from fields alone ([`Fields`]), by the operations that make such pieces the first time, by
//! `follow`, which makes them anew, and by the checks, which hold what is drawn against what would be made ([`agreement`]).
//! So there is one answer to what a derived piece should be. May use `parts`, `pattern`, `curve`, `units` and
//! `tolerance`; it puts
//! nothing on a sheet and changes no pattern.
//!
//! ```text
//!   fields (record) ─┐
//!                    ├─> made piece ──> laid on the sheet (recut), or held against the drawn one (truing)
//!   source (now) ────┘
//! ```

mod afresh;
mod agree;
mod band;
mod chain;
mod closed;
mod copy;
mod facing;
mod facing_ends;
mod facing_grain;
mod facing_notches;
mod greatest;
mod lining;
mod linings;
mod made_piece;
mod making;
mod strip;
mod strip_ground;
mod strip_places;
mod strip_shape;
mod turned;
mod whole;

pub use afresh::{afresh, in_order};
pub use agree::{Agreement, agreement, made_before};
pub(crate) use band::pinched;
pub use copy::{CopyPiece, DartsAs};
pub use facing::{AddFacing, EdgeRun};
pub use greatest::greatest_offered;
pub use lining::{PleatFoot, PleatWish};
pub use linings::lining_seams;
pub use made_piece::{MadePiece, UnequalEnds};
pub use making::Fields;
pub use strip::{AddStrip, Over, StripEnd};
pub use whole::StaysWhole;
