//! `add-facing`.

pub use crate::derive::{AddFacing, EdgeRun};

use crate::derive::Fields;
use crate::pattern::{Piece, Refusal};
use crate::recut::{Told, Work};

pub(super) fn add_facing(step: &AddFacing, work: &mut Work) -> Result<(), Refusal> {
    let old = step.name.as_ref().and_then(|name| work.pattern.find(name)).cloned();
    let old = old.filter(|piece| is_facing_of(work, piece, step));
    let held = match &old {
        Some(piece) => work.take_off(piece.name())?,
        None => Vec::new(),
    };
    let made = Fields::Facing(step.clone()).made(&work.pattern)?;
    if made.len() > 1 {
        let names = made.iter().map(|one| one.piece.name().clone()).collect();
        work.tell(Told::FacingDivided { names });
    }
    work.put_made(made)?;
    match old {
        Some(piece) => work.keep_seams(&piece, held),
        None => Ok(()),
    }
}

/// Whether a piece is a facing that stands there already: it is sewn to one of the edges.
fn is_facing_of(work: &Work, piece: &Piece, step: &AddFacing) -> bool {
    step.along.0.iter().flat_map(|edge| work.pattern.seams_of(edge)).any(|id| {
        let seam = work.pattern.seam(id);
        seam.edges().any(|run| run.edge.piece == *piece.name())
            && !step.along.0.iter().any(|edge| edge.piece == *piece.name())
    })
}
