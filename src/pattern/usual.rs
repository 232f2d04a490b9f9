//! What is usual on a piece.

use crate::pattern::{Finish, Piece};
use crate::tolerance::{HOME_ALLOWANCE, SAME_CUT};
use crate::units::Length;

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
        usual.map_or(Length::from_mm(HOME_ALLOWANCE), |(allowance, _)| allowance)
    }
}
