//! Taking allowances off a cutting line that was drawn, so that the seamline comes back.
//!
//! ```text
//!     ┌────────────┐  cutting line, as drawn
//!     │  ┌ ─ ─ ─┐  │
//!     │  │         │  seamline, found
//! ```
//!
//! The inverse of [`crate::allowance::cutting_line`]. Each edge's line is brought inward by its allowance; each corner is
//! undone whatever the shape it was cut in (`corner`); a dart's cap is folded back (`dart`). Where the cutting line does
//! not tell the seamline, because an allowance had no room or an edge that bends was cut short at a corner, the stretch
//! is told ([`UnknownStretch`]) and runs on smoothly. A hollow so narrow that the cutting line passes straight over it
//! leaves no trace there, and none comes back.

mod assemble;
mod corner;
mod dart;
mod drawn;
mod error;
mod inside;
mod run_on;
mod seamline;
mod settle;
mod span;
mod taken;

pub use drawn::{DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch};
pub use error::{TakeOffError, TakeOffPlace};
pub use taken::{
    DartKnownBy, OnSeamline, TakenCorner, TakenDart, TakenEdge, TakenOff, Unknown, UnknownStretch,
};

pub use assemble::take_off;
