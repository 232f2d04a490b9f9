//! What is looked at: pictures, prints, tables.

/// Limit: the signs of one text that a picture or a print shows, and the width to which a column of a table lines up.
///
/// The longest sentence on a printed piece has 90. A text of a line of newsprint is read no better in a picture, and
/// one of 100,000 signs would be kilometres of paper.
pub const MOST_SHOWN: usize = 200;
