//! Planning recuts.

/// Recipes: places and widths are named to this (mm): what is laid out with a ruler.
pub const NAMED_TO: f64 = 0.1;

/// Numerical: how finely outlines are followed to see how far a piece reaches where it is planned (mm).
///
/// From the reach come places that are shares of a width or a length, and lines through a piece; what a step cuts is
/// worked out exactly afterwards.
pub const PLAN_FLATTENING: f64 = 1.0;

/// Numerical: how far beyond a piece's reach a line through it begins and ends (mm).
///
/// The reach may fall short by [`PLAN_FLATTENING`].
pub const BEYOND_REACH: f64 = 1.0;

/// Sewing: the shortest way through a piece along which a seam is planned (mm). What is shorter only touches a corner.
pub const SHORTEST_WAY_THROUGH: f64 = 1.0;

/// Sewing: the least share of its length that a seam across a piece cuts off.
///
/// Two to five centimetres of a garment, which its two allowances would fill.
pub const LEAST_CUT_OFF: f64 = 0.05;

/// Sewing: how much more comes off a piece along a new seam than it misses (mm), so that it does not miss again by places
/// [`NAMED_TO`] a tenth, and by an allowance that slants a little.
pub const SEAM_ROOM: f64 = 1.0;

/// Sewing: the same where a seam is moved and the width kept is tried again (mm): twice what naming rounds off.
pub const TRY_ROOM: f64 = 0.2;

/// How far apart seams on either side of a joint may end and still run on as one, mm: what is seen as one line from a step
/// away, a third of the usual allowance.
pub const SEAMS_RUN_ON: f64 = 5.0;

/// From how far on seams on either side of a joint are not seen to miss each other, mm: they are two seams in two places.
pub const SEAMS_APART: f64 = 40.0;

/// Sewing: how far inside a selvedge the stitching runs where it is lapped over another, mm: as a usual selvedge is wide,
/// 5/16 in, so that all of it is caught.
pub const SELVEDGE_LAP: f64 = 8.0;
