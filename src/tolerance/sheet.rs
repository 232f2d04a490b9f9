//! Reading: sheets, foreign drawings, and what a drawing program may have rounded.

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

/// Sewing: a finding that a step leaves further off than it was by more than this is told as new (mm or degrees).
///
/// A fiftieth of the finest limit of a check; measuring adds far less.
pub const FINDING_GROWN: f64 = 0.01;

/// Reading: a gap between ends of edges is told when it is over this (mm).
///
/// A tenth of what is welded; drawing programs that snap leave none.
pub const GAP_TOLD: f64 = 0.05;

/// Reading: dashes of one kind of line differ by no more than this (mm).
///
/// Converters round lengths to a hundredth of a point; sizes are told apart by dashes of a millimetre and more.
pub const SAME_DASH: f64 = 0.1;

/// Reading: lines of one kind are of one width to this much (mm).
///
/// A third of a quarter of a point, the least step in which lines are made wider so that sizes can be told apart.
pub const SAME_LINE_WIDTH: f64 = 0.03;

/// Reading: a line that ends this near to the frame of a page is cut off by it (mm).
///
/// Pages are cut up to half a millimetre short of their frame or over it, and the frame's own line is half as wide.
pub const CUT_AT_FRAME: f64 = 1.0;

/// Reading: the least width and height of the frame of a page (mm).
///
/// Half sheets of home paper with wide margins; test squares are smaller or have no lines that end at them.
pub const LEAST_FRAME: f64 = 90.0;

/// Reading: a filled shape up to this large is a letter, a solid arrow head or a solid notch, and no piece (mm).
///
/// Titles are printed up to 30 mm high; the smallest piece that is cut, a belt loop, is longer and drawn by a line.
pub const LARGEST_WRITING: f64 = 40.0;

/// Reading: what lies this near to the edge of a clip path shows (mm).
///
/// Half of the line of a frame drawn on the very edge of its clip path is seen; a hairline is 0.1 mm wide.
pub const ON_CLIP: f64 = 0.1;

/// Reading: a part of a line shorter than this has no direction of its own (mm).
///
/// What rounding to two decimals of a point leaves between two ends that were meant to be one.
pub const SHORT_PART: f64 = 0.02;

/// Reading: corners nearer to each other than this are one, and directions at a corner are taken over this length (mm).
///
/// Three pencil lines: no one sews an edge that short, while converters chamfer corners by tenths.
pub const CORNERS_APART: f64 = 1.0;

/// Reading: a straight line longer than this is no part of a flattened curve (mm).
///
/// At a flattening of 0.1 mm it belongs to a radius of two metres, which is straight to the eye.
pub const FLATTENED_LONGEST: f64 = 40.0;

/// Reading: how near a curve passes to the corners of the polygon that a converter made of it (mm).
///
/// Of the 0.05 mm that such an edge may be off, half is left to what the converter itself lost.
pub const FLATTENED_FIT: f64 = 0.02;

/// Reading: a flattened curve that turns by less than this from the straight line before it ran smoothly out of it
/// (radians).
///
/// Three degrees: half of what a chord of 5 mm turns by on a radius of 50 mm.
pub const FLATTENED_TANGENT: f64 = 0.052;

/// Reading: a line drawn twice lies no further from itself than this (mm).
pub const DRAWN_TWICE: f64 = 0.05;

/// Reading: a closed line is taken for the outline of a piece from this size on: its longer side (mm).
///
/// Buttons, tabs and arrows are smaller, the smallest pieces larger.
pub const LEAST_OUTLINE: f64 = 30.0;

/// Reading: the least width of a closed line that is taken for an outline (mm).
pub const LEAST_OUTLINE_WIDTH: f64 = 8.0;

/// Reading: ends of long lines up to this far apart are told as a gap in an outline (mm).
pub const GAP_LOOKED_FOR: f64 = 20.0;

/// Reading: a scale that is off by more than this is told (a ratio).
///
/// A tenth of a millimetre on a metre, as an edge may be off; converters that round a page to pixels of the screen are off
/// by twice that, those that shrink it to fit its margins by ten times.
pub const SCALE_OFF: f64 = 1e-4;

/// Cutting: how far a piece may lie over another, or over the edge of the cloth (mm).
///
/// Thirty times finer than a chalk line; what a sum of curves, offsets and turns errs by lies under a hundredth of it.
pub const LAID_OVER: f64 = 0.01;

/// Sewing: a corner of a dart's line that turns by more than this is a tip (rad).
///
/// 60°: a tip of up to 120° turns by more, and where legs are bent or a double dart is widest they turn by less.
pub const SHARP_AS_A_TIP: f64 = std::f64::consts::FRAC_PI_3;

/// Numerical: how much two scales may differ and still be one (a ratio): what rounding in a product of a few matrices
/// leaves.
pub const SAME_SCALE: f64 = 1e-9;

/// Numerical: an arc of a drawing whose chord is shorter than this is a point (user units).
///
/// Squares of products would vanish on the way to its centre.
pub const SHORTEST_CHORD: f64 = 1e-100;

/// Numerical: how much of an arc may be left over when it is divided into cubics, and none is added for it (a share of
/// one of them): rounding in a whole number of quarters.
pub const WHOLE_ARCS: f64 = 1e-9;
/// Limit: the signs of a name.
///
/// The longest that people give have some forty; a name is written on its piece, and is quoted in messages.
pub const MOST_NAME: usize = 120;

/// Limit: the layers in which one edge is sewn.
///
/// Shell, underlining, interfacing, facing, lining, piping and a stay tape are seven; each layer is walked, and held
/// against the ends of every other.
pub const MOST_LAYERS: usize = 32;

/// Limit: the edges of one run of a seam.
///
/// A long hem facing of a skirt in gores has some thirty; an edge cut into more than this is a broken drawing.
pub const MOST_IN_RUN: usize = 500;

/// Limit: the notches on one piece.
///
/// Every notch of a seam is held against every other of it. A gathered edge marked at each centimetre of 4 m has 400.
pub const MOST_NOTCHES: usize = 1_000;

/// Limit: the darts, tucks and pleats on one piece, each held against each other.
///
/// A skirt pleated all round at each centimetre of 4 m has 400.
pub const MOST_DARTS: usize = 500;

/// Numerical: how many edges a piece may have. Hundreds already say that every curve was taken for an edge; the outline is
/// tested edge against edge.
pub const MOST_EDGES: usize = 500;

/// Cutting: how far a cutting line that is drawn on a sheet may be off the one that is reckoned (mm).
///
/// A tenth of a chalk line, and more than drawing programs round to.
pub const DRAWN_CUT_OFF: f64 = 0.05;
