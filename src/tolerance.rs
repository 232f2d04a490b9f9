//! Every tolerance, with its reason. All lengths are millimetres.
//!
//! Two sorts are kept apart. A numerical tolerance says when two numbers are the same; a sewing tolerance
//! says how far two things may differ on the table. No constant is both.

// --- Numerical: when two numbers are the same -------------------------------------------------------

/// Two lengths are the same. Sums of arc lengths over a whole garment err by about 1e-9.
pub const SAME_LENGTH: f64 = 1e-6;

/// A place or a drawn mark this near the outline lies on it. Wide enough for a drawing program that rounds
/// to two decimals, narrow enough that no one means a place inside.
pub const ON_OUTLINE: f64 = 0.05;

// --- Reading -------------------------------------------------------------------------------------------

/// Ends of edges this near each other are welded. A drawing program snaps to half a millimetre at worst.
pub const WELD: f64 = 0.5;
