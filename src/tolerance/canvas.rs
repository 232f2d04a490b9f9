//! What is looked at: pictures, prints, tables.

/// Limit: the signs of one text that a picture or a print shows, and the width to which a column of a table lines up.
///
/// The longest sentence on a printed piece has 90, and the line over a sheet, with the girths at a dozen levels, under 500;
/// a name has at most 120. A longer text is read no better in a picture, and one of 100,000 signs would be kilometres of
/// paper.
pub const MOST_SHOWN: usize = 600;

/// Numerical: how finely lines are followed when labels as large as on paper keep clear of them (mm): well within the air
/// around labels, which is 0.7 mm.
pub const LABELS_FOLLOW: f64 = 0.1;

/// Limit: the least height of the font of anything that is printed (mm): six points.
///
/// Smaller letters fill in when a print is copied, and cannot be read at arm's length over a table.
pub const LEAST_PRINTED: f64 = 2.12;

/// Limit: how far a label keeps off a seamline (mm), where a line that only guides asks for the air around every label.
///
/// Who traces a pattern with a wheel or folds it on its seamline reads what stands beside it afterwards.
pub const OFF_SEAMLINE: f64 = 1.2;

/// Limit: how near to the end of its edge a tick of a notch may stand (mm).
///
/// A snip nearer to a corner falls into the seam that crosses there, and cannot be told from the corner.
pub const NOTCH_OFF_CORNER: f64 = 4.0;

/// Limit: two seamlines of one kind that lie this near to each other in a picture are drawn as one (mm).
///
/// Less than the width of the thinner of the two; drawn twice, the dashes of one would fill the gaps of the other.
pub const DRAWN_AS_ONE: f64 = 0.3;

/// Numerical: how near circles that are drawn come to true ones (mm).
pub const ROUND: f64 = 0.01;
