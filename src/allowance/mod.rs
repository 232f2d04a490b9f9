//! Cutting lines: what to cut so that a piece can be sewn on its seamlines.
//!
//! A cutting line is derived from the seamlines, their allowances, and which seam is sewn first; it is never edited.
//!
//! ```text
//!     ┌────────────┐  cutting line
//!     │  ┌──────┐  │
//!     │  │      │  │  seamline
//! ```
//!
//! Each edge has a line of its own beside it, with the caps of its darts ([`Cap`]); at each corner the two lines that
//! come together there are joined in one of the trade's shapes ([`CutShape`]); where an allowance is deeper than a
//! hollow in the outline has room for, the loops that come of it are taken off, and what stands beyond a selvedge is cut
//! back to it. What is then left beside a seamline is measured on the line itself ([`CuttingLine::shortages`]).
//!
//! How wide a piece is as it is cut is told here and nowhere else ([`as_cut`]).
//!
//! May use `curve`, `pattern`, `units` and `tolerance`.
//!
//! # Examples
//!
//! ```
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let lines = retrue::allowance::cutting_lines(&coat)?;
//! let back = lines.of(&"back".parse()?).expect("every piece has a cutting line");
//! assert!(back.path.segments().count() > 6);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod as_cut;
mod assemble;
mod beside;
mod cap;
mod corner;
mod ends;
mod error;
mod line;
mod order;
mod press;
mod selvedge;
mod shape;
mod shortage;
mod take_off;
mod trim;
mod way;

pub(crate) use as_cut::turned;
pub use as_cut::{AsCut, Halves, as_cut, lies_within, opened};
pub use assemble::{CuttingLines, cutting_line, cutting_lines};
pub use ends::CuttingLineEnds;
pub use error::AllowanceError;
pub use line::{Cap, CutCorner, CutShape, CuttingLine};
pub use order::SewingOrder;
pub use selvedge::selvedge;
pub use shortage::Shortage;
pub use take_off::{
    DartKnownBy, DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch, OnSeamline,
    TakeOffError, TakeOffPlace, TakenCorner, TakenDart, TakenEdge, TakenOff, Unknown, UnknownStretch,
    take_off,
};
