//! The resew proof: the new pieces laid back onto the old ones.
//!
//! [`resew`] takes a pattern before its steps and after them, does the recorded steps again to get the patterns in
//! between, and measures every step by what its record says and nothing else: each part of an old piece is carried by
//! its recorded motion and held against the new piece, edge by edge and area by area. The code of the operations is not
//! asked how it moved anything; a step that recorded a motion and drew another piece is found, and so is a sheet that was
//! drawn on since. Uses `recut` and what that uses; knows nothing of files or cutting lines.
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

mod error;
mod group;
mod lines;
mod measure;
mod part;
mod replay;
mod same;
mod verdict;

pub use error::{MeasureError, ResewError};
pub use measure::{Deviation, ResewnGroup};
pub use same::DrawnByHand;
pub use verdict::ResewLimits;

use crate::pattern::Pattern;

/// What laying the new pieces back has shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Resewn {
    /// The steps since the old pattern, in order.
    pub steps: Vec<ResewnStep>,
    /// Where the new drawing is not what its steps give.
    pub by_hand: Vec<DrawnByHand>,
}

/// One step laid back.
#[derive(Clone, Debug, PartialEq)]
pub struct ResewnStep {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The operation.
    pub operation: String,
    /// The pieces that it cut, joined or drew anew, those that exchanged cloth together. Empty where it moved none.
    pub groups: Vec<ResewnGroup>,
}

/// Lays the pieces of a pattern back onto those of an older one, step by step.
///
/// # Errors
///
/// [`ResewError`] where the older pattern is not the one that the steps were done on.
pub fn resew(old: &Pattern, new: &Pattern) -> Result<Resewn, ResewError> {
    let chain = replay::replay(old, new)?;
    let mut steps = Vec::new();
    for link in &chain.links {
        let groups = group::groups(&link.before, &link.after, &link.recorded)
            .map_err(|source| ResewError::Measured { step: link.number, source })?;
        let measured: Result<Vec<ResewnGroup>, _> =
            groups.iter().map(|group| measure::measured(group, &link.recorded)).collect();
        let groups = measured.map_err(|source| ResewError::Measured { step: link.number, source })?;
        steps.push(ResewnStep { number: link.number, operation: link.operation.clone(), groups });
    }
    Ok(Resewn { steps, by_hand: same::drawn_by_hand(&chain.last, new) })
}
