//! Stretches of seams that are left open: where they are, and what stands in the way of recutting such a seam.

use crate::advice;
use crate::parts::seam_side::BothSides;
use crate::pattern::{EdgeRef, Field, Opening, Operation, Refusal, RefusalKind};
use crate::recut::Work;
use crate::recut::notice::Notice;
use crate::truing::{beneath_lap, faced_with};
use crate::units::Length;

/// Refuses a seam of which a stretch is left open, or that runs on in one that is: what is open belongs to the seamline as it
/// lies, and would be lost with it.
pub(super) fn refuse_opened(sides: &BothSides) -> Result<(), Refusal> {
    for side in [&sides.base, &sides.other] {
        let (before, after) = side.neighbours();
        let along = side.edges.iter().copied().chain([before, after]);
        let opened = along.into_iter().find_map(|id| Some((id, side.piece.edge(id).open?)));
        if let Some((id, purpose)) = opened {
            let edge = side.piece.edge_ref(id);
            return Err(Refusal::new(
                RefusalKind::BadSeam,
                &edge,
                format!("the seam is left open here for a {}", purpose.word()),
                advice!(
                    "sew it up first, and open it again after the recut: ",
                    Operation::CloseSeam.with(Field::Seam, &edge)
                ),
            ));
        }
    }
    Ok(())
}

/// The allowance with which an opening is faced; with one side lapped under the other, that of the lap where it is more.
pub(super) fn faced(purpose: Opening, lap: Option<Length>) -> Length {
    let faced = faced_with(purpose);
    lap.map_or(faced, |lap| Length::from_mm(faced.mm().max(beneath_lap(lap).mm())))
}

/// Makes the allowance of an edge at least so wide, and tells it.
pub(super) fn widen(work: &mut Work, edge: &EdgeRef, least: Length) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    if piece.edge(id).cut_allowance().mm() < least.mm() {
        *piece.edge_settings(id).allowance = least;
        work.tell(Notice::AllowanceWidened { edge: edge.clone(), to: least });
    }
    Ok(())
}
