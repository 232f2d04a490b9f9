//! Recutting: cuts, blends, parts put together, and what is told of them.

/// Numerical: two sewn lengths are the same (mm).
///
/// Sums of arc lengths over a whole garment err by about 1e-9.
pub const SAME_LENGTH: f64 = 1e-6;

/// Numerical: a place or a drawn mark this near the outline lies on it (mm).
///
/// Wide enough for a drawing program that rounds to two decimals, narrow enough that no one means a place inside.
pub const ON_OUTLINE: f64 = 0.05;

/// Numerical: a cut that meets an edge this near its corner is meant to meet the corner (mm).
///
/// A shorter stub of an edge could be neither sewn nor seen; it comes of a place given in rounded millimetres.
pub const CORNER_SNAP: f64 = 0.02;

/// Numerical: how far beside a dart a panel's seam runs that just does not cross it (mm).
///
/// What is left of the edge beside the mouth is still so long that its direction is kept when the sheet is written to a
/// millionth, and too short to be seen.
pub const BESIDE_DART: f64 = 0.1;

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

/// Sewing: a seam moved back that meets its neighbour this near to where a strip was joined to it meets the joint (mm).
///
/// Moved by as much as before, it misses the joint of the coat's armhole by 0.05 mm; a stub of an edge that long can be
/// neither sewn nor cut. It tilts a side seam by less than 0.03°.
pub const STUB_AT_JOINT: f64 = 0.25;

/// Sewing: the sine of the angle between down the sheet and a grain that is up and down the garment.
///
/// 30°: sleeves and skirt panels are drawn leaning to save paper; a bias grain stands at 45°, and is told apart.
pub const GRAIN_DOWN_THE_SHEET: f64 = 0.5;

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

/// Sewing: a gap between two joined seamlines up to this wide is not worth a dart (mm).
///
/// Less than the line a seam is pressed to.
pub const NEGLIGIBLE_GAP: f64 = 1.0;

/// Sewing: pieces that would lie over one another by more than this are not joined (mm).
///
/// Twice what two seamlines may stand apart and still lie together; cloth that is missing cannot be pressed in.
pub const OVERLAP_REFUSED: f64 = 0.1;

/// Numerical: how far apart the places are at which the gap between two seamlines is measured (mm).
pub const GAP_STEP: f64 = 1.0;

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

/// Sewing: the most by which the sides of a moved seam may differ where they are trued at the hem (mm).
///
/// The levels of the two pieces part along the seam by as much: more, and they are no levels any more.
pub const MOST_MOVED_TRUED: f64 = super::LEVELS_PART;

/// Sewing: how far the ends of two seamlines of one length may lie apart when one is laid on the other by the chord (mm).
///
/// The levels of the strip part from those of the piece by as much. A side bowed by 40 mm over 600 mm and a straight one as
/// long differ by 7.
pub const CHORDS_DIFFER: f64 = super::LEVELS_PART;

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

/// Law: how far a level is run on along its own line to see at which seam it would end (mm).
///
/// On the most slanted side of the shipped pieces a level that is drawn a hand's breadth too high or low still ends there.
pub const LEVEL_RUNS_ON: f64 = 100.0;

/// Numerical: an edge that turns by more than this between two of its curves has a corner there (radians).
///
/// A twentieth of a degree: what a drawing program's rounding to two decimals makes of a smooth joint with handles of
/// ten millimetres.
pub const CORNER_IN_EDGE: f64 = 1e-3;

/// Numerical: how far an edge that is drawn anew may leave what was worked out for it (mm).
///
/// The depth of a cutting line is held as exactly, and a pencil line is 0.3 mm.
pub const RESHAPE_ACCURACY: f64 = 0.02;

/// Sewing: the widest allowance that may be set (mm).
///
/// Half a metre: a faced hem is a fifth of that, and more is a slip of the unit.
pub const MOST_ALLOWANCE: f64 = 500.0;

/// Sewing: the narrowest allowance that is offered so that a piece fits its cloth (mm).
///
/// A quarter of an inch, the narrowest that is sewn without being trimmed after: twice what must be left of any,
/// [`LEAST_LEFT`](super::LEAST_LEFT).
pub const LEAST_NARROWED: f64 = 6.0;

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

/// Sewing: where two parts lie as near to the centre as this, another rule tells which comes first (mm).
///
/// Less is not seen when both lie on the table.
pub const AS_NEAR: f64 = 1.0;

/// Sewing: a curve that leaves the point of a seam at less than this angle to a dart's leg runs along it (radians).
///
/// Over half a degree: two lines of 60 mm from one point then end as far apart as a pencil line and its double.
pub const APART_FROM_LEG: f64 = 0.01;

/// Numerical: the cosine of the angle to the grain (or to down the sheet) under which a direction stands square to it, so
/// that neither way along it is above the other. A cut whose normal stands so runs with the grain.
///
/// 0.06°: far over what rounding turns a line by, and far under any slant that is meant.
pub const BESIDE_GRAIN: f64 = 1e-3;

/// Sewing: how far apart the sides of a seam may lie, over the depth of a facing, when they are laid together at its edge
/// (mm); beyond it the facing is divided there.
///
/// A pencil line is 0.3 mm wide: what lies flat within it lies flat on the table.
pub const FACING_FLAT: f64 = 0.3;

/// Numerical: how exactly the lines of a facing stand from its edges (mm). The law allows 0.01 mm.
pub const FACING_ACCURACY: f64 = 0.002;

/// Sewing: the greatest share of a facing's sewn edge that may be eased, where it is smaller.
///
/// 3 %: more puckers in firm cloth.
pub const MOST_FACING_EASE: f64 = 0.03;
/// Sewing: the shortest stretch that is left of an edge when it is divided, and the shortest opening (mm).
///
/// A stitch is 2 to 3 mm long; what is shorter than one is no edge.
pub const LEAST_DIVIDED: f64 = 3.0;

/// Sewing: what an allowance must hold beyond a lap that is sewn on it, so that the under edge is caught (mm).
///
/// A needle's breadth of cloth on the far side of the stitching, as at an enclosed edge trimmed to 1/8 in.
pub const LAP_HELD: f64 = 3.0;

/// Sewing: the allowance with which the sides of an opening are faced: of a buttonhole, of a pocket, of a vent (mm).
///
/// A basic seam is 10 to 15 mm (Aldrich, Metric Pattern Cutting, from memory); a buttonhole is stitched round within 10,
/// the mouth of a pocket turned with 15; a vent is turned up as deep as a hem of 1 1/4 in.
pub const BUTTONHOLE_FACED: f64 = 10.0;
/// See [`BUTTONHOLE_FACED`].
pub const POCKET_FACED: f64 = 15.0;
/// See [`BUTTONHOLE_FACED`].
pub const VENT_FACED: f64 = 32.0;

/// Sewing: by how much a buttonhole is longer than a flat button is wide (mm).
///
/// Textiles and Garment Construction, Form Three (Tanzania Institute of Education, 2022), p. 72.
pub const BUTTONHOLE_LONGER: f64 = 3.0;

/// Sewing: how many times as long as a ball button is wide its buttonhole is.
///
/// Watson, Textiles and Clothing, p. 106.
pub const BALL_BUTTONHOLE: f64 = 1.25;

/// Sewing: how far a front laps beyond half its button (mm).
///
/// 1/4 in: Standards of Quality for Custom Clothing (Association of Sewing and Design Professionals).
pub const LAP_BEYOND_BUTTON: f64 = 6.35;

/// Sewing: the least angle to an edge at which its neighbour's line is run on beyond it (radians).
///
/// At 20° the end of an extension is three times as long as the extension is deep.
pub const LEAST_END_ANGLE: f64 = 0.35;

/// Sewing: the most by which an edge is extended, and the greatest button (mm).
///
/// A border of a metre makes a waist a floor-length skirt; a button of 100 mm is a plate.
pub const MOST_EXTENDED: f64 = 1000.0;
/// See [`MOST_EXTENDED`].
pub const MOST_BUTTON: f64 = 100.0;

/// Numerical: how nearly an extension is as deep as asked for (mm).
///
/// A fifth of what a cutting line may be off.
pub const EXTENSION_ACCURACY: f64 = 0.002;

/// Sewing: over what share of an armhole's length on either side of the underarm it is drawn anew where that is raised.
///
/// A quarter: to about the notches, above which the sleeve hangs and is left as it is.
pub const RAISED_REACH: f64 = 0.25;

/// Numerical: how exactly a raised edge is drawn (mm).
///
/// Well under the hundredth in which two lengths that are sewn together are shown.
pub const RAISED_ACCURACY: f64 = 0.005;

/// Sewing: what is turned in along the free edges of a strip (mm).
///
/// 6 mm, as of a binding (*Textiles and Garment Construction*, Form Three, p. 117); whoever folds more sets it.
pub const STRIP_TURNING: f64 = 6.0;

/// Sewing: the allowance of a new seam on a piece that has none to go by (mm): the standard home allowance (Oregon 4-H 320-19,
/// 2014).
pub const HOME_ALLOWANCE: f64 = 15.0;

/// Rounding: the depth of a pleat where it goes on in another part of its piece, mm.
///
/// Both parts have it written alike, so that they meet whatever it is rounded to.
pub const PLEAT_WRITTEN: f64 = 0.01;
