//! `add-facing`.

pub use crate::derive::{AddFacing, EdgeRun};

use crate::derive::Fields;
use crate::pattern::{Piece, Refusal};
use crate::recut::{Notice, Work};

pub(super) fn add_facing(step: &AddFacing, work: &mut Work) -> Result<(), Refusal> {
    let old = step.name.as_ref().and_then(|name| work.pattern.find(name)).cloned();
    let old = old.filter(|piece| is_facing_of(work, piece, step));
    let mut gone = None;
    let held = match &old {
        Some(piece) => {
            let area = piece.net_area() * f64::from(piece.times());
            let held = work.take_off(piece.name())?;
            gone = Some(area);
            held
        }
        None => Vec::new(),
    };
    let made = Fields::Facing(step.clone()).made(&work.pattern)?;
    if made.len() > 1 {
        let names = made.iter().map(|one| one.piece.name().clone()).collect();
        work.tell(Notice::FacingDivided { names });
    }
    let first = made.first().map(|one| (one.piece.name().clone(), f64::from(one.piece.times())));
    work.put_made(made)?;
    if let (Some((name, times)), Some(area)) = (first, gone) {
        work.declare_made(&name, -area / times);
    }
    match old {
        Some(piece) => work.keep_seams(&piece, held),
        None => Ok(()),
    }
}

/// Whether a piece is a facing that stands there already: it is one by how it was made or what it is called, and sewn to one
/// of the edges.
fn is_facing_of(work: &Work, piece: &Piece, step: &AddFacing) -> bool {
    piece.is_facing()
        && step.along.0.iter().flat_map(|edge| work.pattern.seams_of(edge)).any(|id| {
            let seam = work.pattern.seam(id);
            seam.edges().any(|run| run.edge.piece == *piece.name())
        })
}
