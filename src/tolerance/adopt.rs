//! Bringing in drawings: what is taken as likely.

/// Guessing: two edges no further apart in length than this are taken for edges of one length (mm).
///
/// Half a millimetre: bought patterns are true to it where an edge is sewn without ease, and edges that are alike by chance
/// seldom are.
pub const SEWN_ALIKE: f64 = 0.5;

/// Guessing: edges further apart in length than this are not taken for the two sides of a seam (mm).
///
/// The back of a shoulder is eased in by up to 10 mm.
pub const SEWN_LENGTHS_GUESSED: f64 = 10.0;

/// Guessing: how far two notches may lie apart that are taken for partners, besides what is eased in (mm).
///
/// A notch is snipped to a millimetre or two.
pub const SEWN_NOTCHES_GUESSED: f64 = 2.0;

/// Guessing: how far two bent edges may lie apart that are taken for the same curve (mm).
///
/// A facing is traced from its piece; two curves that only look alike are further apart at their deepest.
pub const SEWN_SHAPE_GUESSED: f64 = 0.5;

/// Guessing: an edge that bends by less than this from the straight line is taken for straight (mm).
pub const SEWN_BEND: f64 = 1.5;

/// Guessing: how much an edge may be longer than those that it is sewn to, as a share of these.
///
/// A sleeve cap of a coat is eased in by 25 to 45 mm of 500; what is gathered is more, and is not guessed.
pub const SEWN_EASE_GUESSED: f64 = 0.12;

/// Guessing: how many times as long as its counterpart an edge of a front is at most that is drawn like its back.
///
/// The neckline of a front is up to twice as long as that of its back; all else of a front is nearer to it.
pub const COUNTERPART_LONGER: f64 = 2.2;

/// Guessing: how far the corners of a front turn otherwise than those of its back at most (rad).
///
/// 40°: slopes of shoulders and hems differ by a few degrees, deep necklines by 30.
pub const COUNTERPART_TURN: f64 = 0.7;

/// Guessing: a corner at which the mouth of a dart ends turns by no more than this, where the edge goes on over the mouth (rad).
///
/// 60°: an edge is bent at a mouth by half the dart's angle at most; a dart that opens at a corner of the piece ends at one of
/// about 90°.
pub const MOST_MOUTH_TURN: f64 = std::f64::consts::FRAC_PI_3;

/// Bringing in: how far the legs of a dart may end short of the edge on which it opens (mm).
///
/// A dart that is drawn once for all sizes ends at the smallest: waists lie 5 to 10 mm apart from size to size, and five sizes are
/// drawn in one another.
pub const DART_SHORT: f64 = 45.0;

/// Guessing: how far an edge may be from even beside the line that is cut, to be its seamline (mm).
///
/// What rounding of a page to hundredths of a point and fitting of flattened curves leave.
pub const ALLOWANCE_EVEN: f64 = 0.3;

/// Guessing: the widest allowance that is looked for between two lines (mm).
///
/// The hem of a coat is 50 mm deep, that of a curtain 100.
pub const WIDEST_ALLOWANCE: f64 = 110.0;

/// Guessing: an allowance from this on, and greater than the usual one, is a hem that is turned up (mm).
///
/// Seams have up to 25 mm; turned hems begin at 20 with shirts, which are left to be said.
pub const LEAST_HEM: f64 = 25.0;

/// Guessing: how far from an edge its writing stands at most (mm), and besides in heights of its letters.
///
/// Names of seams are set within the allowance or just inside of the seamline; large letters stand further off.
pub const WRITING_BESIDE_EDGE: f64 = 12.0;
/// See [`WRITING_BESIDE_EDGE`].
pub const WRITING_BESIDE_EDGE_HEIGHTS: f64 = 1.5;

/// Guessing: how far from the way of an edge its writing may turn: the sine of 10°.
///
/// Writing is set along the chord of a bent edge, not along its tangent.
pub const ALONG_EDGE: f64 = 0.18;

/// Guessing: how far from a line its name begins at most (mm), and besides in heights of its letters.
///
/// What a name belongs to stands nearer than the next line does.
pub const NAME_BESIDE_LINE: f64 = 6.0;
/// See [`NAME_BESIDE_LINE`].
pub const NAME_BESIDE_LINE_HEIGHTS: f64 = 1.5;

/// Guessing: how far the two ticks of a double notch stand apart at most (mm).
///
/// They are drawn 5 to 6 mm apart; notches of their own stand further from each other.
pub const TICKS_APART: f64 = 8.0;

/// Guessing: how far along the seamline a mark on the line that is cut lies at most from one on the seamline that says the
/// same (mm).
///
/// Where the seamline bends, the place opposite of a mark moves by so much.
pub const MARKED_TWICE: f64 = 4.0;
