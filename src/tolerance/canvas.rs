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
