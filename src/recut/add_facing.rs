//! `add-facing`.

pub use crate::derive::{AddFacing, EdgeRun};

use crate::derive::{Fields, greatest_offered};
use crate::pattern::{Piece, Refusal, RefusalKind};
use crate::recut::{Notice, Work};
use crate::tolerance::LEAST_DIVIDED;
use crate::units::Length;

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
    let made = Fields::Facing(step.clone()).made(&work.pattern);
    let made = made.map_err(|refusal| with_deepest(step, work, refusal))?;
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

/// The refusal of a facing that is too deep, with the greatest depth that there is.
fn with_deepest(step: &AddFacing, work: &Work, refusal: Refusal) -> Refusal {
    if refusal.kind != RefusalKind::BadWidth {
        return refusal;
    }
    let is_made = |depth: f64| {
        let step = AddFacing { depth: Length::from_mm(depth), ..step.clone() };
        Fields::Facing(step).made(&work.pattern).is_ok()
    };
    match greatest_offered((LEAST_DIVIDED, step.depth.mm()), is_made) {
        Some(most) => Refusal {
            way_out: format!("give a depth of up to {most:.1}mm, or name fewer edges").into(),
            ..refusal
        },
        None => refusal,
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
