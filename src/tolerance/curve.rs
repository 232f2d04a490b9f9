//! Curves, and what every floor shares: when two things measured are the same thing.

/// Numerical: two points nearer than this are one point (mm).
///
/// A thousandth of the 0.001 mm that reading and writing may move a point by, and well above what crossings of two
/// cubics are off by (1.6e-7 mm measured), so that a meeting is found whichever way it was computed.
pub const SAME_POINT: f64 = 1e-6;

/// Numerical: the accuracy asked of arc lengths (mm).
///
/// The quadrature's bound is pessimistic: asking for 1e-6 gives errors near 2e-12 on pattern-sized cubics, in 0.06 µs.
pub const LENGTH_ACCURACY: f64 = 1e-6;

/// Numerical: the accuracy asked of the parameter at a given length (mm along the curve).
pub const PLACE_ACCURACY: f64 = 1e-9;

/// Numerical: the accuracy of the parameter of a nearest point (share of the segment).
pub const PARAMETER_ACCURACY: f64 = 1e-12;

/// Numerical: how closely the greatest distance between two curves is told (mm).
///
/// A tenth of what reading and writing may move a point by.
pub const APART_ACCURACY: f64 = 1e-4;

/// Numerical: the accuracy of a root of a polynomial (share of its range); the last digits of f64.
pub const ROOT_ACCURACY: f64 = 1e-15;

/// Numerical: the largest coordinate accepted (mm).
///
/// A hundred metres of cloth. Beyond it f64 still resolves 1e-11 mm, but such numbers come from a wrong unit or a
/// hostile file (`1e38`), and products of them overflow.
pub const LARGEST_COORDINATE: f64 = 1e5;

/// Numerical: two crossings nearer than this along both curves are one crossing (mm).
///
/// One crossing at a joint is found once for each segment that meets there; at a shallow angle the findings lie some
/// hundred times [`SAME_POINT`] apart.
pub const CROSSINGS_APART: f64 = 1e-4;

/// Numerical: two directions whose sine is under this are parallel where two curves are tested for running together.
///
/// [`SAME_POINT`] over [`OVERLAP_STEP`], with a tenfold margin for short remaining stretches.
pub const PARALLEL: f64 = 1e-5;

/// Numerical: how far along two curves are followed from a meeting to see whether they run together there (mm).
///
/// Two curves that merely touch stand apart by half the difference of their curvatures times the square of this: over
/// [`SAME_POINT`] unless their curvatures agree to 2e-6 per mm.
pub const OVERLAP_STEP: f64 = 1.0;

/// Numerical: the shortest stretch on which running together can be told from crossing at a shallow angle (mm).
pub const SHORTEST_OVERLAP: f64 = 0.01;

/// Numerical: how far the entries of a stored rigid motion may be from those of a turn.
///
/// Six written decimals.
pub const RIGID: f64 = 1e-6;

/// Numerical: the finest accuracy that an offset or a fit may be asked for (mm).
///
/// Finer than this the subdivision of an offset runs to its depth limit on ordinary curves without reaching it.
pub const FINEST_ACCURACY: f64 = 1e-5;

/// Numerical: the greatest turn at a joint (radians, or sine of an angle) at which a fitted curve is smooth.
///
/// What welding two ends within [`SAME_POINT`] costs on a handle of a tenth of a millimetre.
pub const SMOOTH_JOINT: f64 = 1e-5;

/// Numerical: how far, as a multiple of the offset distance, an offset line runs on at a corner inside an edge before
/// it is cut off square to the corner's axis.
///
/// Reached at a turn of 127°; sharper corners inside one edge are drawing faults, and their tips would run off.
pub const CORNER_REACH: f64 = 2.0;

/// Numerical: the finest step that a curve is turned into straight lines with (mm).
pub const FINEST_FLATTENING: f64 = 1e-4;

/// Numerical: two meetings of a line with an outline nearer than this are one, and a stretch of an edge shorter than
/// this is none (mm).
///
/// A line through a corner meets both edges there; crossings err by up to [`CROSSINGS_APART`].
pub const SAME_CUT: f64 = 1e-3;

/// Numerical: how near two curves pass before the sweep that trims raw offsets takes them as touching (mm).
///
/// Its own approximations err by far more than this: of 2,000 outlines offset by 4 to 60 mm the worst had its edges
/// 0.1 mm off on average at 0.01, 0.006 mm at 1e-4, and 6e-5 mm at this value, in the same 90 µs.
pub const TRIM_SWEEP: f64 = 1e-6;

/// Numerical: a segment of a trimmed outline shorter than this is a remnant of the sweep and is taken out (mm).
///
/// The sweep leaves some of 1e-4 mm that double back where a loop came off; trimmed outlines are promised within this.
pub const SPECK: f64 = 1e-3;

/// Numerical: how far rings may stray where their areas are swept as polygons (mm).
///
/// That is done where the sweep errs on curves that run into one another.
pub const SWEEP_FLATTENING: f64 = 1e-4;

/// Numerical: by how much the areas that a sweep finds may miss those of the rings themselves before another sweep is
/// tried (mm²).
pub const SWEEP_MISSED: f64 = 0.02;

/// Numerical: the least sine of the angle at which a line crosses itself for the crossing not to be taken for a touch.
pub const CLEAR_CROSSING: f64 = 1e-3;

/// Numerical: how near two findings of one crossing lie in the parameters of the segments (a share of a segment).
pub const SAME_PARAMETER: f64 = 1e-3;

/// Numerical: the share of the accuracy asked for that the offset of a cubic is asked for.
///
/// It judges its error at eight places, between which it was measured to be up to 1.23 times as large (5,000 gentle
/// cubics).
pub const KEPT_ACCURACY: f64 = 0.75;

/// Numerical: the share of an offset's accuracy by which a curve may stray from points that lie densely on it.
///
/// The offset of that curve is asked for the rest.
pub const DENSE_KEPT: f64 = 0.25;

/// Numerical: points of a line nearer than this to the next are crowded (mm).
///
/// A drawing rounded to hundredths turns by more than 5° from one such point to the next and back, though its line is smooth.
pub const CROWDED: f64 = 0.15;

/// Numerical: the share of an offset's accuracy by which crowded points may be left out.
///
/// Of [`OFFSET_ACCURACY`](super::OFFSET_ACCURACY) that is 0.0075 mm, a little more than the 0.0071 by which rounding to
/// hundredths moves a point.
pub const CROWDED_KEPT: f64 = 0.75;

/// Numerical: to what a shift is found at which one outline lies best within another, and by how much it then misses (mm).
///
/// A hundredth of [`FITS_WITHIN`](super::FITS_WITHIN), by which what fits may miss.
pub const SHIFTED_TO: f64 = 5e-5;
