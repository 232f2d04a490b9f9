//! Every tolerance of the crate, each a named constant with its reason.
//!
//! Numerical tolerances answer "are these two the same thing, given how f64 was measured?". Sewing tolerances answer
//! "may these two differ in a garment?". The two kinds are never the same constant, even where their values agree.

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

/// Numerical: the accuracy of an offset when nothing finer is asked for (mm).
///
/// A pencil line is 0.3 mm. At this value an armhole takes three cubics and 3.5 µs.
pub const OFFSET_ACCURACY: f64 = 0.01;

/// Numerical: how far, as a multiple of the offset distance, an offset line runs on at a corner inside an edge before
/// it is cut off square to the corner's axis.
///
/// Reached at a turn of 127°; sharper corners inside one edge are drawing faults, and their tips would run off.
pub const CORNER_REACH: f64 = 2.0;

/// Numerical: the finest step that a curve is turned into straight lines with (mm).
pub const FINEST_FLATTENING: f64 = 1e-4;

/// Numerical: two sewn lengths are the same (mm).
///
/// Sums of arc lengths over a whole garment err by about 1e-9.
pub const SAME_LENGTH: f64 = 1e-6;

/// Numerical: a place or a drawn mark this near the outline lies on it (mm).
///
/// Wide enough for a drawing program that rounds to two decimals, narrow enough that no one means a place inside.
pub const ON_OUTLINE: f64 = 0.05;

/// Reading: ends of edges this near each other are welded (mm).
///
/// A drawing program snaps to half a millimetre at worst.
pub const WELD: f64 = 0.5;

/// Numerical: two meetings of a line with an outline nearer than this are one, and a stretch of an edge shorter than
/// this is none (mm).
///
/// A line through a corner meets both edges there; crossings err by up to [`CROSSINGS_APART`].
pub const SAME_CUT: f64 = 1e-3;

/// Numerical: a cut that meets an edge this near its corner is meant to meet the corner (mm).
///
/// A shorter stub of an edge could be neither sewn nor seen; it comes of a place given in rounded millimetres.
pub const CORNER_SNAP: f64 = 0.02;

/// Numerical: ends of parts that should meet after rigid motions are welded within this (mm).
///
/// The law that splitting and merging give the piece back allows 0.01 mm.
pub const JOINT: f64 = 0.01;

/// Sewing: the least area that a cut may leave on either side (mm²).
///
/// A quarter of a square centimetre: smaller than any part that could be sewn on.
pub const LEAST_PART: f64 = 25.0;

/// Numerical: a stretch of a level or style line shorter than this is none (mm).
///
/// What is left where a line runs along the cut itself.
pub const LEAST_STRETCH: f64 = 0.01;

/// Numerical: two directions whose sine is under this are one, where stretches of a level are joined.
///
/// Half a thousandth of a degree: a level of a metre then stands off by a hundredth of a millimetre.
pub const SAME_DIRECTION: f64 = 1e-5;

/// Sewing: a change of girth smaller than this is not told (mm on the whole garment).
///
/// The law of moved seams allows 0.1 mm at each station; no tape shows less.
pub const GIRTH_TOLD: f64 = 0.1;

/// Sewing: two seamlines nearer than this lie together when one is laid on the other (mm).
///
/// A pencil line is four times as wide.
pub const COINCIDE: f64 = 0.05;

/// Numerical: how far apart the places are that are tried when one seamline is laid on another (mm).
pub const LAY_STEP: f64 = 2.0;

/// Sewing: legs of a dart that differ by more than this are refused where the dart is turned about its tip (mm).
///
/// They could only be sewn with a pucker; what differs by less is slid along the leg.
pub const LEGS_EQUAL: f64 = 1.0;

/// Sewing: a leg that leaves its chord by no more than this counts as straight where a dart is turned (mm).
///
/// Redrawn along its chord, a leg of 120 mm then gives or takes less than half a square centimetre.
pub const STRAIGHT_LEG: f64 = 0.5;

/// Sewing: a dart whose tip lies this near a point points at it (mm).
///
/// Tips stand 25 to 65 mm off the bust point (Erwin 1954, p. 30: about 1 to 2½ in by direction).
pub const POINTS_AT: f64 = 60.0;

/// Sewing: a dart whose mouth lies this near the end of a seam takes the seam's end into it (mm).
///
/// One allowance: two seams nearer than that could not be pressed open beside each other.
pub const MOUTH_TAKES_END: f64 = 15.0;

/// Sewing: how far parts may be slid along a leg redrawn to a point so that the mouth's ends meet (mm).
///
/// The step this leaves in the seamline is taken up by the blend, which reaches three times as far.
pub const MOST_SLIDE: f64 = 10.0;

/// Sewing: how far a blended seamline may leave its corner to gain length (mm).
pub const BLEND_DEPARTURE: f64 = 1.0;

/// Sewing: the ease between two blended seamlines that is allowed unless more is asked for (mm).
///
/// A quarter of what is usual near the bust point (0 to ¼ in), since firm cloth takes little.
pub const BLEND_EASE: f64 = 1.5;

/// Sewing: an ease smaller than this is set on the seam but not told (mm).
pub const EASE_TOLD: f64 = 0.05;

/// Numerical: a joint that turns by less than this is no corner (radians).
///
/// A thousandth of a degree.
pub const SMOOTH_JOINT: f64 = 2e-5;

/// Sewing: where a straight line from the edge would meet the rest of a seam at more than this angle, the line is drawn
/// as a smooth curve that runs into it (radians).
///
/// Twenty degrees, as from an armhole. A line from the shoulder meets at 10 to 15° and stays straight.
pub const CURVE_FROM_EDGE: f64 = 0.349;

/// Numerical: a change of area smaller than this is none (mm²).
pub const SAME_AREA: f64 = 1e-3;

/// Sewing: a dart whose axis stands at no more than this angle to a line runs along it (radians).
///
/// Thirty degrees: beyond it the line would have to turn back on itself to follow the dart.
pub const ALONG_LINE: f64 = 0.524;

/// Sewing: the tip of a dart that stands this near the axis of another faces it (mm).
pub const FACES: f64 = 20.0;
