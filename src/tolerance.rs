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

/// Sewing: how far parts may be slid along a leg redrawn to a point so that the mouth's ends meet (mm).
///
/// The step this leaves in the seamline is taken up by the blend, which reaches three times as far.
pub const MOST_SLIDE: f64 = 10.0;

/// Sewing: an ease smaller than this is set on the seam but not told (mm).
pub const EASE_TOLD: f64 = 0.05;

/// Sewing: where a straight line from the edge would meet the rest of a seam at more than this angle, the line is drawn
/// as a smooth curve that runs into it (radians).
///
/// Twenty degrees, as from an armhole. A line from the shoulder meets at 10 to 15° and stays straight.
pub const CURVE_FROM_EDGE: f64 = 0.349;

/// Sewing: a dart whose axis stands at no more than this angle to a line runs along it (radians).
///
/// Thirty degrees: beyond it the line would have to turn back on itself to follow the dart.
pub const ALONG_LINE: f64 = 0.524;

/// Sewing: the tip of a dart that stands this near the axis of another faces it (mm).
pub const FACES: f64 = 20.0;

/// Numerical: how near two curves pass before the sweep that trims raw offsets takes them as touching (mm).
///
/// Its own approximations err by far more than this: of 2,000 outlines offset by 4 to 60 mm the worst had its edges
/// 0.1 mm off on average at 0.01, 0.006 mm at 1e-4, and 6e-5 mm at this value, in the same 90 µs.
pub const TRIM_SWEEP: f64 = 1e-6;

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

/// Sewing: a void between two joined seamlines up to this wide is not worth a dart (mm).
///
/// Less than the line a seam is pressed to.
pub const NEGLIGIBLE_VOID: f64 = 1.0;

/// Sewing: pieces that would lie over one another by more than this are not joined (mm).
///
/// Twice what two seamlines may stand apart and still lie together; cloth that is missing cannot be pressed in.
pub const OVERLAP_REFUSED: f64 = 0.1;

/// Numerical: how far apart the places are at which the gap between two seamlines is measured (mm).
pub const VOID_STEP: f64 = 1.0;

/// Sewing: runs whose lengths differ by less than this are sewn as before (mm). A run that was cut and joined again
/// loses up to a cut's accuracy at each joint.
pub const SAME_RUN: f64 = 0.01;

/// Smallest change of area that is written in the record, mm²: well over what rounding leaves on a piece of a square
/// metre, and under what a line moved by a hundredth of a millimetre sweeps over 100 mm.
pub const AREA_RECORDED: f64 = 0.01;

/// Sewing: an area smaller than this is not told (mm²).
///
/// A pencil line of 0.2 mm along ten centimetres.
pub const AREA_TOLD: f64 = 20.0;

/// Sewing: a part turned by less than this is not told (degrees).
///
/// An eighth of an inch over 24 inches is 0.30° (Johnson, Oregon 4-H L-87); a third of that can't be laid on cloth.
pub const PART_TURNED: f64 = 0.1;

/// Sewing: the most ease that a moved seam may have (mm).
///
/// A straight edge against one bowed by 20 mm over 600 mm differs by 1.8 mm; 3 mm over such a length is eased in without
/// a pucker.
pub const MOST_MOVED_EASE: f64 = 3.0;

/// Sewing: a new seam that stands off the grain by more than this is warned of (degrees).
///
/// Beyond it a long edge visibly grows.
pub const OFF_GRAIN_WARNED: f64 = 3.0;

/// Numerical: how finely a width is sought, and how finely an edge is followed to find its widest place (mm).
pub const WIDTH_SOUGHT: f64 = 0.01;

/// Numerical: how far apart the stations are at which shaping is carried from one edge to another (mm).
pub const CARRY_STEP: f64 = 2.0;

/// Numerical: how near an edge that takes over shaping is fitted to its stations (mm).
///
/// Half of what the drawn edge may be off; the law of moved seams allows 0.1 mm of girth.
pub const EDGE_FIT: f64 = 0.01;

/// Sewing: the gap at which a double dart left at a moved seam has its tips (mm).
///
/// Less cannot be taken in by a machine stitch beside the fold.
pub const DART_TIP_GAP: f64 = 0.25;

/// Numerical: a level that ends this near a seam ends at it (mm).
///
/// Levels are drawn to the seamline by hand.
pub const LEVEL_AT_SEAM: f64 = 1.0;

/// Numerical: an edge that turns by more than this between two of its curves has a corner there (radians).
///
/// A twentieth of a degree: what a drawing program's rounding to two decimals makes of a smooth joint with handles of
/// ten millimetres.
pub const CORNER_IN_EDGE: f64 = 1e-3;

/// Numerical: how far an edge that is drawn anew may leave what was worked out for it (mm).
///
/// The depth of a cutting line is held as exactly, and a pencil line is 0.3 mm.
pub const RESHAPE_ACCURACY: f64 = 0.02;

/// Numerical: how far the legs of a dart run on past its mouth where a level's width net of darts is measured (mm).
///
/// A level drawn straight across a waist leaves the waist's curve by less.
pub const MOUTH_RUN_ON: f64 = 10.0;

/// Sewing: a finding of a length up to this much is a warning that says so (mm).
///
/// 1/16 in: the mismatch usually tolerated along a seam (trade magazine, 2018; many take 1/8 in).
pub const TOLERATED_MISMATCH: f64 = 25.4 / 16.0;

/// Sewing: two notches further apart than this along their seam are not each other's partners (mm).
///
/// Notches of one seam stand further apart than this, or one is double.
pub const PARTNER_REACH: f64 = 20.0;

/// Sewing: an edge that turns at a fold by more than this is meant to have a point there (degrees).
///
/// A pointed hem or a V neck; a fold met carelessly is off by far less.
pub const POINT_MEANT: f64 = 30.0;

/// Sewing: an edge further than this from the grain is not meant to run along it (degrees).
///
/// Half way from the straight grain to the true bias.
pub const LENGTHWISE: f64 = 22.5;

/// Sewing: a tip or a point this far outside its piece is outside (mm).
///
/// A drawing program snaps to half a millimetre at worst.
pub const OUTSIDE_PIECE: f64 = 0.5;
/// Sewing: the widest allowance that may be set (mm).
///
/// Half a metre: a faced hem is a fifth of that, and more is a slip of the unit.
pub const MOST_ALLOWANCE: f64 = 500.0;

/// Sewing: the most ease that may be declared on a seam (mm).
///
/// A gathered flounce three times its band of two metres takes four.
pub const MOST_EASE: f64 = 10_000.0;

/// Sewing: how far a fold, or a line that gives the grain, may stand off the straight line between its ends (mm).
///
/// A third of a pencil line: what opens or laps there when the piece is cut on folded cloth is twice that.
pub const STRAIGHT: f64 = 0.1;

/// Sewing: how far the two halves of a whole piece may differ where it is folded (mm).
///
/// What a pencil and a tracing wheel leave is three times as much.
pub const SYMMETRY: f64 = 0.1;

/// Sewing: corners of the two halves of a whole piece this near to each other's mirror image divide it alike (mm).
///
/// Five times what the halves may differ by: a corner between two edges that meet nearly straight is seen less surely
/// than the edges are.
pub const CORNER_TWIN: f64 = 0.5;

/// Sewing: notches of the two halves of a whole piece this near to each other's mirror image are twins (mm).
///
/// What a notch may drift by before it is a finding.
pub const NOTCH_TWIN: f64 = 0.5;

/// Sewing: how far the depth of a band may differ along it (mm).
///
/// As exact as the distance of a cutting line from its seamline.
pub const BAND_ACCURACY: f64 = 0.02;
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

/// Sewing: a finding that a step leaves further off than it was by more than this is told as new (mm or degrees).
///
/// A fiftieth of the finest limit of a check; measuring adds far less.
pub const FINDING_GROWN: f64 = 0.01;

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

/// Numerical: the distance between places at which a trimmed allowance is looked for (mm).
pub const TRIM_STEP: f64 = 1.0;

/// Sewing: a cutting line that leaves the line beside its edge by less than this is not told as trimmed (mm).
///
/// A third of a pencil line.
pub const TRIM_TOLD: f64 = 0.1;
/// Reading: a gap between ends of edges is told when it is over this (mm).
///
/// A tenth of what is welded; drawing programs that snap leave none.
pub const GAP_TOLD: f64 = 0.05;

/// Sewing: legs of a dart that differ by more than this cannot be turned onto one another (mm).
///
/// Up to a millimetre is pressed in at the mouth.
pub const LEGS_DIFFER: f64 = 1.0;

/// Sewing: legs that stand off their chord by no more than this are straight (mm).
///
/// They are sewn over a pressed fold, which is straight.
pub const LEGS_STRAIGHT: f64 = 0.5;

/// Sewing: how far a blended seamline may pass from the corner it replaces so that both panels become equally long (mm).
pub const BLEND_DEPARTURE: f64 = 1.0;

/// Sewing: the most ease left between two blended seamlines unless more is allowed (mm).
///
/// Factories often allow none; 1.5 mm over 60 mm is taken up by any woven cloth.
pub const MOST_BLEND_EASE: f64 = 1.5;

/// Sewing: darts whose tip lies this near the point of a princess seam are taken in unless others are named (mm).
pub const DART_NEAR_POINT: f64 = 60.0;

/// Sewing: the most by which the way to a seam's end may turn from the way to its point (degrees).
///
/// From a low armhole across to the point and down it is about a right angle; more comes back to where it came from.
pub const MOST_SEAM_TURN: f64 = 120.0;

/// Sewing: a dart whose mouth lies this near the end of a princess line gives the line its legs (mm).
pub const DART_AT_LINE: f64 = 15.0;

/// Sewing: how far a fold may stand off the grain where a piece is cut along both (degrees).
///
/// An eighth of an inch over 24 inches is 0.30° (Johnson, L-87); cloth is laid no straighter.
pub const FOLD_ON_GRAIN: f64 = 0.3;

/// Sewing: the greatest difference between two seamlines that is trued at their end (mm).
///
/// A hem is levelled by so much without being seen; more is a dart or a fault of the drawing.
pub const MOST_TRUED: f64 = 15.0;

/// Sewing: how far along an edge a change of its end fades (mm).
///
/// Wide enough that 15 mm are levelled at a slope no steeper than 16°, narrow enough to leave the middle of a hem as it
/// was.
pub const RESHAPE_REACH: f64 = 100.0;

/// Sewing: the greatest kink across a seam that is smoothed (degrees).
///
/// At 30° the edges would be moved by 7 mm; such corners, as of a V neck, are meant.
pub const MOST_SMOOTHED: f64 = 30.0;

/// Numerical: a kink across a seam up to this is none (degrees).
///
/// What fitting within [`RESHAPE_ACCURACY`] leaves.
pub const KINK_SEEN: f64 = 0.01;

/// Sewing: a corner of one side of a seam this near the joint of the other side is sewn into it (mm).
///
/// A notch may be off by 0.5 mm, and a corner is clipped to within 2 mm of its point.
pub const MEETING_CORNER: f64 = 2.0;

/// Sewing: edges of a piece this nearly equal, and corners within the same number of degrees, are each other's mirror
/// image where it is asked whether a piece is alike on both sides (mm, degrees).
///
/// Less is lost in cutting; a piece turned over by mistake shows by far more.
pub const ALIKE: f64 = 1.0;

/// Numerical: a segment of a trimmed outline shorter than this is a remnant of the sweep and is taken out (mm).
///
/// The sweep leaves some of 1e-4 mm that double back where a loop came off; trimmed outlines are promised within this.
pub const SPECK: f64 = 1e-3;

/// Reading: dashes of one kind of line differ by no more than this (mm).
///
/// Converters round lengths to a hundredth of a point; sizes are told apart by dashes of a millimetre and more.
pub const SAME_DASH: f64 = 0.1;

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
/// Cutting: how far a piece may lie over another, or over the edge of the cloth (mm).
///
/// Thirty times finer than a chalk line; what a sum of curves, offsets and turns errs by lies under a hundredth of it.
pub const LAID_OVER: f64 = 0.01;

/// Numerical: how far a polygon that stands for a cutting line in a layout may lie outside it (mm).
///
/// A tenth of a millimetre costs a thousandth of the cloth at most, and keeps an armhole to some twenty corners. The
/// polygon never lies inside the line, so that what is laid with it holds for the line itself.
pub const LAY_FLATTENING: f64 = 0.1;

/// Numerical: a cutting line this near to the line of a fold lies on it (mm).
///
/// Corners at a fold are worked out from offsets good to [`OFFSET_ACCURACY`].
pub const FOLD_LINE: f64 = 0.02;
/// Numerical: how far outlines are drawn in where a lay is searched for (mm).
///
/// Pieces that touch along an edge then stand apart by twice this, over what turning leaves of a straight edge of ten
/// metres (1e-11), so that touching is never taken for overlapping; what is found overlaps by twice this at most, under
/// [`LAY_OVERLAP`].
pub const LAY_DRAWN_IN: f64 = 0.002;

/// Numerical: two things overlap or reach over a border by less than this where a lay is searched for: they touch (mm).
///
/// The depth of circles is worked out with 24 bits, 2e-4 on a piece of two metres.
pub const LAY_APART: f64 = 0.004;

/// Sewing: the deepest overlap of two pieces in a lay, and the furthest that one reaches over a border or flaw (mm).
///
/// A thirtieth of a pencil line.
pub const LAY_OVERLAP: f64 = 0.01;

/// Numerical: how far one of two outlines is moved before they are tested for crossing (mm).
///
/// Two pieces put against one selvedge have corners exactly on each other's edges, where crossing can't be told from
/// touching. Well over the rounding of products of metres (1e-9 mm), and nothing beside [`LAY_DRAWN_IN`].
pub const LAY_NUDGE: f64 = 1e-7;

/// Sewing: how far an edge that lies on the selvedge may bend, or lie inside the outermost line of its piece (mm).
///
/// A seam may differ by as much.
pub const SELVEDGE_STRAYS: f64 = 0.5;

/// Sewing: how far inside a selvedge an edge that lies on it may be (mm).
///
/// A woven edge wavers by a thread or two; a strip wider than this would have to be cut off, and the finish with it.
pub const OFF_SELVEDGE: f64 = 1.0;

/// Sewing: how far stripes may part in a seam and still be said to meet (mm).
///
/// One sixteenth of an inch, the mismatch usually tolerated along a seam (trade magazine, 2018).
pub const STRIPES_MEET: f64 = 1.5875;

/// Sewing: the shortest stretch of a seam on which stripes must meet for a match to be worth its cloth (mm).
pub const LEAST_MATCH: f64 = 50.0;

/// Numerical: how far apart the places are at which stripes are compared along a seam (mm).
pub const MATCH_STEP: f64 = 2.0;

/// Numerical: how finely cutting lines are followed in the final check of a layout (mm).
///
/// A tenth of [`LAID_OVER`], the overlap that is allowed.
pub const CHECK_FLATTENING: f64 = 0.001;

/// Numerical: how far a piece in a layout may be turned from an allowed direction beyond the tolerance asked for
/// (degrees).
///
/// A piece of a metre then lies off by less than two thousandths of a millimetre.
pub const GRAIN_TURNED: f64 = 1e-4;

/// Sewing: a seamline run on where its cutting line does not reach is told as unknown where it may be off by more than
/// this (mm).
///
/// What [`SEAMLINE_UNSURE`] leaves at a corner for each of its two lines, once drawing the cutting line has taken
/// [`OFFSET_ACCURACY`].
pub const RUN_ON_UNSURE: f64 = 0.02;

/// Law: how far an old edge may lie from where the new pieces have it once they are laid back, unless a step declares
/// that it redrew it (mm).
///
/// The law that splitting and merging give the piece back allows as much.
pub const RESEWN_EDGE: f64 = 0.01;

/// Law: how much area may lie twice, be missing, or change beyond what a step declares (mm²).
///
/// The welds of a new piece may move its corners by [`JOINT`]; along 200 mm of edges that fade from them it is this much.
/// A pencil line covers it in 5 mm.
pub const RESEWN_AREA: f64 = 1.0;

/// Law: how far a drawing may lie from what its recorded steps give (mm). Writing and reading move a point by less.
pub const REPLAYED: f64 = 1e-3;

/// Numerical: how far apart the places are at which old and new edges are held against one another (mm).
pub const RESEW_STEP: f64 = 2.0;

/// Numerical: a ledger and a pattern that agree within this are of one pattern (mm or mm²). Sheets are written to a
/// millionth; the sum of all areas errs by that much along every edge.
pub const SAME_LEDGER: f64 = 0.1;
/// Numerical: how far a line may lie from where it lay before to count as not redrawn (mm).
///
/// Ten times the 0.001 mm by which reading and writing may move a point, and far less than any step moves one.
pub const REDRAWN: f64 = 0.01;

/// Sewing: the least difference of two seamlines that a report tells (mm); finer than a needle's hole.
pub const TOLD_DIFFERENCE: f64 = 0.05;
