//! The resew proof: the new pieces laid back onto the old ones.
//!
//! [`resew`] takes a pattern before its steps and after them, does the recorded steps again to get the patterns in
//! between, and measures every step by what its record says and nothing else: each part of an old piece is carried by
//! its recorded motion and held against the new piece, edge by edge and area by area. The code of the operations is not
//! asked how it moved anything; a step that recorded a motion and drew another piece is found, and so is a sheet that was
//! drawn on since. What the steps give is then compared with the new pattern in all that the model holds ([`Change`]). Uses
//! `recut` and what that uses; knows nothing of files or cutting lines.
//!
//! ```text
//!     old piece              parts, recorded            new pieces
//!     ┌───────┐              ┌───┐  ┌───┐               ┌───┐   ┌───┐
//!     │   ╎   │   ──cut──>   │   │  │   │  ──moved──>   │   │   │    \
//!     └───────┘              └───┘  └───┘               └───┘   └───┘
//!       missing, doubled?  <──────┘   └──────>  off by how much?
//! ```
//!
//! # Examples
//!
//! ```
//! use retrue::resew::{ResewLimits, resew};
//! use retrue::sheet::read;
//!
//! # let (old, new) = (std::fs::read("fixtures/coat.svg")?, std::fs::read("examples/narrow-coat.svg")?);
//! let coat = read(&old, &Default::default())?.pattern;
//! let narrow_coat = read(&new, &Default::default())?.pattern;
//! let resewn = resew(&coat, &narrow_coat)?;
//! assert!(resewn.findings(&ResewLimits::default()).is_empty(), "every step is as its record says");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod changes;
mod drawn;
mod error;
mod group;
mod lines;
mod made;
mod measure;
mod part;
mod record;
mod replay;
mod step;
mod verdict;

pub use changes::{Change, ChangedSince, is_other};
pub use drawn::DrawnPattern;
pub use error::{MeasureError, ResewError};
pub use made::ResewnMade;
pub use measure::{Deviation, ResewnGroup};
pub use record::{BrokenRecord, Replayed};
pub use replay::Replay;
pub use step::ResewnStep;
pub use verdict::{ResewLimits, Resewn};

/// Does the recorded steps again on an older pattern, lays the pieces of each back onto those before it, and compares
/// what comes of them with the newer pattern.
///
/// # Errors
///
/// [`ResewError`] where the older pattern is not the one that the steps were done on, or is the later of the two.
pub fn resew<'a>(
    old: impl Into<DrawnPattern<'a>>,
    new: impl Into<DrawnPattern<'a>>,
) -> Result<Resewn, ResewError> {
    Ok(Replay::of(old, new)?.resewn())
}
