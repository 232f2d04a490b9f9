//! Checking: what may differ between the two sides of a seam, or between a piece and its marks.

/// Numerical: how far the legs of a dart run on past its mouth where a level's width net of darts is measured (mm).
///
/// A level drawn straight across a waist leaves the waist's curve by less.
pub const MOUTH_RUN_ON: f64 = 10.0;

/// Sewing: where no limit was given, a finding of a length along a seam up to this much is a warning that says so (mm).
///
/// 1/16 in: the mismatch usually tolerated along a seam (trade magazine, 2018; many take 1/8 in).
pub const TOLERATED_MISMATCH: f64 = 25.4 / 16.0;

/// Law: how far a derived piece may lie from what would be made of its source now (mm).
///
/// What is made anew is the same to a millionth, which sheets round to; a program that rounds to two decimals stays under
/// it, and nobody sews a hundredth.
pub const FOLLOWED: f64 = 0.01;

/// Law: by how much the grain of a derived piece may be turned from that of its source (degrees).
///
/// A grainline of 100 mm whose ends are rounded to two decimals is turned by up to 0.006°.
pub const GRAIN_FOLLOWED: f64 = 0.05;

/// Sewing: two notches further apart than this along their seam are not each other's partners (mm).
///
/// Notches of one seam stand further apart than this, or one is double.
pub const PARTNER_REACH: f64 = 20.0;

/// Sewing: how far apart the ends of a level may lie when the seam across it is sewn before it is told (mm).
///
/// A level is drawn by hand at either side, and a tape laid around a body wanders by as much.
pub const LEVELS_MEET: f64 = 3.0;

/// Sewing: ends of a level further apart than this are no level any more (mm).
///
/// A straight edge that is sewn to one with 40 mm of shaping shifts its levels by up to 8 mm; a side that is sewn upside
/// down, or a waist that is marked at another height, is off by more.
pub const LEVELS_PART: f64 = 10.0;

/// Sewing: the sine of the angle to a seam under which a level runs along it, so that it ends at the edge beyond where it
/// comes to a corner.
///
/// 20°: a level 1 mm off the seam then runs 3 mm beside it.
pub const LEVEL_ALONG_SEAM: f64 = 0.342;

/// How far the tip of a dart must lie from the seamline of another edge, mm: nearer, the tip is caught when the seam is
/// sewn, pressed open or trimmed.
pub const TIP_CLEAR: f64 = 5.0;

/// Sewing: a tip or a point this far outside its piece is outside (mm).
///
/// A drawing program snaps to half a millimetre at worst.
pub const OUTSIDE_PIECE: f64 = 0.5;

/// Sewing: a corner of one side of a seam this near the joint of the other side is sewn into it (mm).
///
/// A notch may be off by 0.5 mm, and a corner is clipped to within 2 mm of its point.
pub const MEETING_CORNER: f64 = 2.0;

/// Sewing: edges of a piece this nearly equal, and corners within the same number of degrees, are each other's mirror
/// image where it is asked whether a piece is alike on both sides (mm, degrees).
///
/// Less is lost in cutting; a piece turned over by mistake shows by far more.
pub const ALIKE: f64 = 1.0;

/// Check: how far the two sides of a seam may differ, notches drift, ends of cutting lines miss one another, and a girth
/// change (mm).
///
/// Half the width of a chalk line.
pub const CHECKED_LENGTH: f64 = 0.5;

/// Check: by how much an edge may turn where it runs on across a seam, and a straight edge stand off the grain (degrees).
///
/// What is left shows neither as a corner nor as a twist once pressed.
pub const CHECKED_ANGLE: f64 = 3.0;

/// Sewing: along less than this an edge of one side of a seam does not lie beside one of the other (mm).
///
/// Two joints that should meet may be off by a notch's limit and the ease between them; a stretch to be sewn is longer.
pub const MET_ALONG: f64 = 2.0;
