//! Cutting lines, and taking allowances off them.

/// Numerical: the accuracy of an offset when nothing finer is asked for (mm).
///
/// A pencil line is 0.3 mm. At this value an armhole takes three cubics and 3.5 µs.
pub const OFFSET_ACCURACY: f64 = 0.01;

/// Reading: ends of edges this near each other are welded (mm).
///
/// A drawing program snaps to half a millimetre at worst.
pub const WELD: f64 = 0.5;

/// Sewing: how far from the corner the tip of a mitre may stand, as a multiple of the deeper of its two allowances.
///
/// Reached with equal allowances at a corner of 39°. A sharper tip carries cloth that is clipped off before the seam is
/// turned anyway, and costs room on the lay.
pub const MITRE_REACH: f64 = 3.0;

/// Sewing: where the outline turns by less than this (as a sine), one edge runs straight on into the next, and unequal
/// allowances are stepped there instead of run on to a far meeting.
///
/// Five degrees: 15 mm beside 25 mm would run on for over 100 mm.
pub const STRAIGHT_ON: f64 = 0.087;

/// Numerical: two allowances that differ by less than this are equal (mm).
///
/// An allowance given in sixteenths of an inch and one in tenths of a millimetre are meant to be different ones.
pub const SAME_ALLOWANCE: f64 = 1e-3;

/// Sewing: two corners whose angles differ by no more than this are mitred alike (radians).
///
/// Two degrees move the end of a 15 mm mitre by half a millimetre at a right angle.
pub const MITRE_ANGLES: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// Sewing: two mitres whose ends would stand further apart than this are squared instead (mm).
///
/// Half of the half millimetre by which cut ends may miss one another.
pub const MITRES_MEET: f64 = 0.25;

/// Sewing: over what length from the mouth a dart's leg is taken to be straight when its cap is drawn (mm).
///
/// The cap stands within an allowance of the mouth; legs curve over their whole length.
pub const LEG_CHORD: f64 = 25.0;

/// Numerical: the distance between places at which what is left of an allowance is measured (mm).
///
/// A third of what is left at a step beside a corner of 45° is no more than this off what is left at the next.
pub const SHORTAGE_STEP: f64 = 0.5;

/// Sewing: an allowance that lacks less than this is whole (mm).
///
/// A third of a pencil line.
pub const SHORTAGE_TOLD: f64 = 0.1;

/// Sewing: how far inside an edge its allowance is asked for (mm).
///
/// A stitch is 2 to 3 mm long: the last one before a corner needs the cloth beside its middle, and nothing is sewn nearer.
pub const INSIDE_EDGE: f64 = 1.0;

/// Numerical: how far straight stretches may leave a seamline and a cutting line while it is asked whether all of an
/// allowance is there (mm).
///
/// Both together, and [`OFFSET_ACCURACY`], stay below [`SHORTAGE_TOLD`], so that a whole allowance is seen to be whole.
pub const ROOM_FLATTENING: f64 = 0.02;

/// Sewing: how far inside a seamline its cutting line is looked for where it may be cut off (mm).
///
/// One that is cut off further in than this is found from where the cutting line crosses it.
pub const SEAMLINE_CUT_OFF: f64 = 10.0;

/// Sewing: the share of an allowance that must be left at least.
///
/// Of 15 mm that leaves 5: what remains of a seam that is trimmed and turned. Less frays out to the stitching.
pub const LEAST_SHARE_LEFT: f64 = 1.0 / 3.0;

/// Sewing: what must be left of an allowance at least, however narrow it was written (mm).
///
/// The trade trims a seam's layers to 3 mm and no closer, for the stitching then holds by so many threads.
pub const LEAST_LEFT: f64 = 3.0;

/// Numerical: the distance between places at which a line inside a drawn cutting line is looked at (mm).
pub const TAKE_OFF_STEP: f64 = 1.0;

/// Numerical: how closely a line inside a drawn cutting line keeps to its allowance (mm).
///
/// A seamline comes back within 0.05 mm; drawing the cutting line already took [`OFFSET_ACCURACY`] of it.
pub const TAKE_OFF_ACCURACY: f64 = 0.002;

/// Numerical: a joint of a drawn cutting line that turns by no more than this is smooth (radians).
///
/// Half a degree: a squared end that stands so little off its neighbour's line puts the corner off by 0.003 mm at
/// 40 mm, while programs that round to two decimals make kinks of 0.1° of smooth joints.
pub const KINK_IN_CUT: f64 = 0.0087;

/// Sewing: a drawn corner that stands off one of the trade's shapes by no more than this has that shape (mm).
///
/// A third of a pencil line.
pub const SHAPE_FITS: f64 = 0.1;

/// Numerical: a drawn corner that takes in a kink of an edge's own line must stand off its shape by no more than this
/// (mm).
///
/// Three times what offsets are off. A kink may be the edge's own, which a shape fits by chance within
/// [`SHAPE_FITS`].
pub const KINK_FITS: f64 = 0.03;

/// Numerical: lines that end this near each other once their allowances are off end at one corner (mm).
///
/// Twice what the offsets of both may be off.
pub const ENDS_MEET: f64 = 0.03;

/// Sewing: how far a mouth's end may lie from the seamline that comes back (mm).
///
/// Tick and leg are drawn by hand; a dart of 30 mm is sewn no closer.
pub const MOUTH_OFF: f64 = 1.0;

/// Sewing: over what length the bend of a seamline is taken to change by its own size (mm).
///
/// Armholes and necklines, the most curved of seamlines, go from straight to their fullest in about twice so much. Of
/// 2,000 careless pieces one was found to be off by more than its doubt at twice the length.
pub const BEND_KEPT: f64 = 25.0;

/// Numerical: the shortest segment whose curvature is taken as that of the line it ends (mm).
///
/// Shorter ones are remnants of cutting and of rounding.
pub const BEND_SEEN: f64 = 3.0;

/// Sewing: a line that ends on a circle smaller than this in radius runs on straight instead (mm).
///
/// No seamline is so tight where an allowance hides it; what looks so comes of rounding.
pub const SHARPEST_RUN_ON: f64 = 8.0;

/// Sewing: where the seamline may be off by more than this it is told as unknown (mm).
///
/// What a seamline that comes back is held to.
pub const SEAMLINE_UNSURE: f64 = 0.05;

/// Numerical: how far before and after a dart's cap the lines of its edge are looked at, beyond the reach of its corner, and
/// how wide a mouth may be (mm).
///
/// Twice the widest of bust darts.
pub const CAP_REACH: f64 = 80.0;

/// Sewing: a cutting line that turns inward by more than this has a dart cut into it (radians).
///
/// A dart of 90°, which is no dart any more, turns by as much at its tip.
pub const WEDGE_TURN: f64 = std::f64::consts::FRAC_PI_2;

/// Numerical: lines that end within this of where their tangents cross are taken to meet there (mm).
///
/// Over so little an armhole leaves its tangent by 0.008 mm.
pub const NEARBY: f64 = 1.0;

/// Reading: a segment of a drawn cutting line shorter than this means nothing (mm).
///
/// Cutting, trimming and rounding leave such segments at corners, in directions that are noise; a pencil line is fifteen
/// times as wide.
pub const DRAWN_SPECK: f64 = 0.02;

/// Numerical: over what length before its end the change of a line's bend is seen (mm).
///
/// Long enough that what an offset is off does not show as a change, short enough to be that of the end.
pub const BEND_CHANGE: f64 = 12.0;

/// Sewing: a seamline run on where its cutting line does not reach is told as unknown where it may be off by more than
/// this (mm).
///
/// What [`SEAMLINE_UNSURE`] leaves at a corner for each of its two lines, once drawing the cutting line has taken
/// [`OFFSET_ACCURACY`].
pub const RUN_ON_UNSURE: f64 = 0.02;

/// Sewing: how far out from a place on the seamline its cutting line is sought (mm).
///
/// The deepest allowance that may be set, where it runs out into a mitre.
pub const FURTHEST_CUT: f64 = super::MOST_ALLOWANCE * MITRE_REACH;

/// Sewing: how far inside the end of an allowance it is asked how far the cloth runs on (mm).
///
/// Above the error of a cutting line, [`OFFSET_ACCURACY`], and a tenth of the width of a chalk line.
pub const JUST_INSIDE: f64 = 0.05;

/// Cutting: by how much a piece may be wider than what the cloth gives, or than it is limited to (mm).
///
/// Widths are told to a hundredth of a millimetre, so that what is told is off by up to half of one: a piece lies on cloth that is
/// as wide as it is told to be.
pub const FITS_WITHIN: f64 = 0.006;
