//! A pattern as it stands on a sheet.

use crate::pattern::{Pattern, Snapped};

/// A pattern, and what of it lies elsewhere than it is drawn on the sheet that it was read from.
#[derive(Clone, Copy, Debug)]
pub struct DrawnPattern<'a> {
    /// The pattern.
    pub pattern: &'a Pattern,
    /// What lies elsewhere than it is drawn.
    pub snapped: &'a [Snapped],
}

/// A pattern that was not read from a sheet: all of it lies where it lies.
impl<'a> From<&'a Pattern> for DrawnPattern<'a> {
    fn from(pattern: &'a Pattern) -> DrawnPattern<'a> {
        DrawnPattern { pattern, snapped: &[] }
    }
}
