//! Every tolerance and limit, each with its unit and its reason.
//!
//! Numerical tolerances ("these two points are one") and sewing tolerances ("these two seams may
//! differ") are never the same constant.

/// Furthest that a point of a drawing may lie from the sheet's origin, mm.
///
/// A hundred metres: no roll of paper or cloth comes near it, and below it an f64 still resolves
/// 2e-11 mm. Beyond it stand slips such as `1e38`, which are valid numbers and poison every length.
pub const FURTHEST_COORDINATE: f64 = 1e5;

/// How far a cubic may stray from the elliptical arc it stands for, mm.
///
/// A hundredth of the 0.001 mm that reading and writing may move a point; at a radius of 750 mm it
/// takes pieces of 17 degrees. Smaller only adds segments.
pub const ARC_ACCURACY: f64 = 1e-5;

/// Radius over chord beyond which an arc is taken as straight (a ratio).
///
/// The arc rises 1/8e7 of its chord there, 1e-5 mm on 800 mm, while its centre lies so far away that
/// f64 places points on it no better than that.
pub const FLATTEST_ARC: f64 = 1e7;

/// How much the scales across and down a sheet may differ, relative.
///
/// Programs round page sizes to two or three decimals of a point, which makes 1e-5 on a page.
/// Anything over 1e-4 shows as 0.1 mm on a metre and means that the drawing is stretched.
pub const UNEQUAL_SCALES: f64 = 1e-4;

/// How closely the length of a curve of known length is measured, in the drawing's own units.
///
/// The scale of a whole drawing follows from it: on a bar of 100 units 1e-9 is 1e-11 of every length.
pub const MEASURING_ACCURACY: f64 = 1e-9;
