//! What a hand means, by what it holds.

use crate::pattern::{Refusal, RefusalKind};
use crate::table::hand::grip::{Grip, Handling, ways};
use crate::table::hand::motion::{BeneathHand, Hand, Held};
use crate::table::hand::seam_runs::SeamRuns;
use crate::table::hand::{cut, dart, edge, grain, joined, onto_cloth, seam};

impl Hand {
    /// What the hand means on what lies under it.
    ///
    /// # Errors
    ///
    /// Refuses what is not there, and what cannot be done with it.
    pub(in crate::table) fn held(&self, ground: BeneathHand<'_>) -> Result<Held, Refusal> {
        let piece = match &self.holds {
            Grip::Edge(edge) => &edge.piece,
            Grip::Tip(piece, _) | Grip::Mouth(piece, _) | Grip::Grain(piece) | Grip::Piece(piece) => piece,
        };
        self.refuse_beyond(piece)?;
        let piece = ground.pattern.piece(piece)?;
        let usual = || ways(&self.holds, ground.pattern).first().map(|seen| seen.way);
        match (&self.holds, self.way.or_else(usual)) {
            (Grip::Edge(edge), Some(Handling::Straight)) => {
                seam::moved(self, edge, SeamRuns::Straight, ground)
            }
            (Grip::Edge(edge), Some(Handling::AsItRan)) => seam::moved(self, edge, SeamRuns::AsItRan, ground),
            (Grip::Edge(edge), Some(way)) => edge::dragged(self, edge, way, ground),
            (Grip::Tip(_, dart), _) => dart::run_out(self, piece, dart, ground),
            (Grip::Mouth(_, dart), _) => dart::turned(self, piece, dart, ground),
            (Grip::Grain(_), _) => grain::turned(self, piece, ground),
            (Grip::Piece(_), Some(Handling::Cut)) => cut::drawn(self, piece, ground),
            (Grip::Piece(_), _) => Ok(onto_cloth::laid_on(self, piece, ground)
                .unwrap_or_else(|| joined::pushed(self, piece, ground))),
            (Grip::Edge(edge), None) => {
                // There is no such edge: the piece says which there are.
                piece.edge_named(&edge.edge)?;
                let what = "nothing can be done with it by hand";
                Err(Refusal::new(RefusalKind::NotOfThatSort, edge, what, "take the piece's form"))
            }
        }
    }
}
