//! Tolerances of the cutting table.

/// To what a seam under the hand is rounded, mm: what a hand can mean, and a step that can be read.
pub const HAND_STEP: f64 = 1.0;

/// Farthest that a hand is drawn to what it may hold at, mm on the piece: beyond it another place is meant, however far
/// the page shows it from.
pub const MOST_HAND_REACH: f64 = 20.0;

/// To what the width is rounded down at which a piece is as wide as its cloth, mm: finer than can be cut, and still read.
pub const HOLD_STEP: f64 = 0.1;
