//! Tolerances of the cutting table.

/// To what a seam under the hand is rounded, mm: what a hand can mean, and a step that can be read.
pub const HAND_STEP: f64 = 1.0;

/// Farthest that a hand is drawn to what it may hold at, mm on the piece: beyond it another place is meant, however far
/// the page shows it from.
pub const MOST_HAND_REACH: f64 = 20.0;

/// To what the width is rounded down at which a piece is as wide as its cloth, mm: finer than can be cut, and still read.
pub const HOLD_STEP: f64 = 0.1;

/// Farthest apart that the middles of two edges may lie on the sheet, beyond what is cut beside both, for a hand to have pushed
/// their pieces together, mm: on the sheet pieces lie farther from each other, and no hand lays them nearer where their seam
/// does not run alike.
pub const PUSHED_TOGETHER: f64 = 60.0;

/// How near a width must come to that of the cloth while the place of a cut is sought at which a part is as wide, mm: half of
/// what the place is rounded to.
pub const HOLD_FOUND: f64 = 0.05;

/// The longest and widest panel that may be said by its measures, mm: longer than any cloth that was a garment.
pub const MOST_PANEL: f64 = 20_000.0;

/// Within what an edge counts as lying on the grain for a hand that moves its seam, degrees: over 1 m that is 1 mm, the step of
/// a hand.
pub const ON_GRAIN: f64 = 0.06;
