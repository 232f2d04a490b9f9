//! The gate before cutting: all checks over a whole pattern.

use crate::pattern::Pattern;
use crate::truing::{
    Finding, Limits, cut_checks, dart_checks, derived_checks, garment_checks, level_checks, lining_checks,
    mirror_checks, opening_checks, piece_checks, seam_checks,
};

/// Everything about a pattern that is not true: the pieces in the order of the sheet, then the seams, then the whole
/// garment. Empty where all is true.
#[must_use]
pub fn check(pattern: &Pattern, limits: &Limits) -> Vec<Finding> {
    let mut found = Vec::new();
    for piece in pattern.pieces() {
        piece_checks::check(piece, limits, &mut found);
        dart_checks::check(piece, limits, &mut found);
        level_checks::check(piece, &mut found);
    }
    piece_checks::check_grain(pattern, limits, &mut found);
    piece_checks::check_narrow_allowances(pattern, &mut found);
    seam_checks::check(pattern, limits, &mut found);
    level_checks::check_meetings(pattern, &mut found);
    cut_checks::check(pattern, limits, &mut found);
    garment_checks::check(pattern, limits, &mut found);
    mirror_checks::check(pattern, &mut found);
    lining_checks::check(pattern, &mut found);
    derived_checks::check(pattern, &mut found);
    opening_checks::check(pattern, limits, &mut found);
    found
}
