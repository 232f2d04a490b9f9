//! What is usual on a piece.

use crate::pattern::{Finish, Piece};
use crate::tolerance::SAME_CUT;
use crate::units::Length;

/// Allowance of a new seam on a piece that has no seam allowance to go by: the standard home allowance
/// (Oregon 4-H 320-19, 2014).
const HOME_ALLOWANCE: Length = Length::from_mm(15.0);

impl Piece {
    /// The allowance most of the sewn edges have, by length; of equals the first.
    #[must_use]
    pub fn usual_allowance(&self) -> Length {
        let mut found: Vec<(Length, f64)> = Vec::new();
        for edge in self.edges().iter().filter(|edge| edge.finish == Finish::Seam) {
            match found.iter_mut().find(|(allowance, _)| *allowance == edge.allowance) {
                Some((_, length)) => *length += edge.curve.length(),
                None => found.push((edge.allowance, edge.curve.length())),
            }
        }
        let most = found.iter().map(|(_, length)| *length).fold(0.0, f64::max);
        let usual = found.into_iter().find(|(_, length)| *length >= most - SAME_CUT);
        usual.map_or(HOME_ALLOWANCE, |(allowance, _)| allowance)
    }
}
