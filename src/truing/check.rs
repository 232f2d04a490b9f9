//! The gate before cutting: all checks over a whole pattern.

use crate::pattern::Pattern;
use crate::tolerance::{CHECKED_ANGLE, CHECKED_LENGTH, LEGS_DIFFER, TOLERATED_MISMATCH};
use crate::truing::{
    Finding, Weight, cut_checks, dart_checks, garment_checks, level_checks, lining_checks, mirror_checks,
    piece_checks, seam_checks,
};
use crate::units::Length;

/// How far a length may be off along a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SeamLimit {
    /// As usual: over 0.5 mm is told, over 1/16 in is not true, since paper patterns are drawn to a sixteenth.
    Usual,
    /// As it was asked for: over it is not true.
    Given(Length),
}

impl SeamLimit {
    /// The length over which it is a finding.
    #[must_use]
    pub fn length(self) -> Length {
        match self {
            SeamLimit::Usual => Length::from_mm(CHECKED_LENGTH),
            SeamLimit::Given(length) => length,
        }
    }

    /// The same, in millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.length().mm()
    }

    /// The verdict on a difference over the limit, mm.
    pub(super) fn weight(self, mm: f64) -> Weight {
        match self {
            SeamLimit::Usual if mm.abs() <= TOLERATED_MISMATCH => Weight::Warning,
            SeamLimit::Usual | SeamLimit::Given(_) => Weight::Untrue,
        }
    }
}

impl From<Length> for SeamLimit {
    fn from(length: Length) -> SeamLimit {
        SeamLimit::Given(length)
    }
}

/// How far things may be off before they are a finding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Difference of the two sides of a seam in length, and of their allowances: 0.5 mm.
    pub length: SeamLimit,
    /// How far a notch may be from its partner: 0.5 mm.
    pub notch: SeamLimit,
    /// How far apart the ends of the cutting lines of a seam may lie when its stitching lines are matched: 0.5 mm.
    pub cut_ends: SeamLimit,
    /// How far an edge may turn where it runs on across a seam, a fold or a closed dart, degrees: 3.
    pub kink_degrees: f64,
    /// How far an edge that should run along the grain may stand off it, degrees: 3.
    pub off_grain_degrees: f64,
    /// Difference of a dart's legs in length: 1 mm.
    pub dart_legs: Length,
    /// Change of girth on the whole garment: 0.5 mm.
    pub girth: Length,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            length: SeamLimit::Usual,
            notch: SeamLimit::Usual,
            cut_ends: SeamLimit::Usual,
            kink_degrees: CHECKED_ANGLE,
            off_grain_degrees: CHECKED_ANGLE,
            dart_legs: Length::from_mm(LEGS_DIFFER),
            girth: Length::from_mm(CHECKED_LENGTH),
        }
    }
}

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
    found
}
