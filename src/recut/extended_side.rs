//! What becomes of the edges at the sides of an extension.

use crate::parts::assemble::EdgeLook;
use crate::pattern::{EdgeEnd, EdgeId, EdgeRef, EdgeTip, Finish, Piece, Refusal, Seam, Travel};
use crate::recut::divide::join;
use crate::recut::{Notice, Work};

/// What is added at the side of an extension is called after the edge that it goes on from, and this.
pub(super) const LAP: &str = "lap";

/// The neighbour of an extended edge at one of its ends.
pub(super) struct Neighbour {
    pub id: EdgeId,
    /// At which end of the extended edge.
    end: EdgeEnd,
    pub look: EdgeLook,
}

impl Neighbour {
    pub(super) fn of(piece: &Piece, id: EdgeId, end: EdgeEnd) -> Neighbour {
        let beside = piece.beside(id, end);
        let edge = piece.edge(beside);
        let finish = if edge.finish == Finish::Seam { Finish::Free } else { edge.finish };
        let look = EdgeLook {
            finish,
            allowance: edge.allowance,
            ..EdgeLook::seam(edge.name.clone(), edge.allowance)
        };
        Neighbour { id: beside, end, look }
    }
}

/// What becomes of an edge at the side of an extension: on from a fold it is fold; on from a seam it is sewn to what goes on
/// from the other side of that, once that is extended too; until then it is a seam that is sewn to nothing.
pub(super) fn settle_side(
    work: &mut Work,
    beside: &EdgeRef,
    side: &Neighbour,
    lap: &EdgeRef,
) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(beside)?;
    if piece.edge(id).finish == Finish::Fold {
        let lap = piece.edge_named(&lap.edge)?;
        return match lap_joins_fold(piece, id, lap) {
            Some(ids) if beside.piece == *piece.name() => join(work, &piece.clone(), ids),
            _ => Ok(()),
        };
    }
    if piece.edge(id).finish != Finish::Seam || work.pattern.seams_of(lap).next().is_some() {
        return Ok(());
    }
    let tip = (beside.clone(), side.end.other());
    let allowance = piece.edge(id).allowance;
    let mut seams = work.pattern.seams_of(beside).map(|seam| work.pattern.seam(seam));
    let partner = seams.find_map(|seam| partner_tip(seam, &tip));
    drop(seams);
    let Some(partner) = partner else { return Ok(()) };
    match lap_at(work, &partner, lap) {
        Some((other, travel)) => {
            for edge in [lap, &other] {
                let piece = work.pattern.piece_mut(&edge.piece)?;
                let id = piece.edge_named(&edge.edge)?;
                let settings = piece.edge_settings(id);
                *settings.finish = Finish::Seam;
                *settings.allowance = allowance;
            }
            work.add_new_seam_walked(lap, side.end.away(), &other, travel)
        }
        None => {
            let piece = work.pattern.piece_mut(&lap.piece)?;
            let id = piece.edge_named(&lap.edge)?;
            let settings = piece.edge_settings(id);
            (*settings.finish, *settings.allowance) = (Finish::Seam, allowance);
            work.tell(Notice::NotSewnYet { edge: lap.clone(), partner: partner.0 });
            Ok(())
        }
    }
}

/// A fold and the edge that goes on from it, in their order, where both are of one piece and meet.
fn lap_joins_fold(piece: &Piece, fold: EdgeId, lap: EdgeId) -> Option<[EdgeId; 2]> {
    if piece.next(fold) == lap { Some([fold, lap]) } else { (piece.next(lap) == fold).then_some([lap, fold]) }
}

/// The end of an edge that a seam lays on an end of its first or last edge.
fn partner_tip(seam: &Seam, (edge, end): &EdgeTip) -> Option<EdgeTip> {
    [seam.clone(), seam.swapped()].iter().flat_map(|seam| [seam.clone(), seam.reversed()]).find_map(|seam| {
        let (own, other) = (seam.first.first_and_last().0, seam.second.first_and_last().0);
        let is_here = own.edge == *edge && own.travel.enters_at() == *end;
        is_here.then(|| (other.edge.clone(), other.travel.enters_at()))
    })
}

/// The unsewn edge that goes on from an end of an edge beyond its own piece, and how it runs outward: on its piece, or on the
/// border that is sewn to that.
fn lap_at(work: &Work, tip: &EdgeTip, own: &EdgeRef) -> Option<(EdgeRef, Travel)> {
    let pattern = &work.pattern;
    let beyond = |(edge, end): &EdgeTip| -> Option<EdgeTip> {
        let (piece, id) = pattern.find_on_piece(edge)?;
        let next = piece.edge_ref(piece.beside(id, *end));
        Some((EdgeRef { copy: edge.copy, ..next }, end.other()))
    };
    let is_free_lap = |(edge, _): &EdgeTip| {
        pattern.find_edge(edge).is_some_and(|found| {
            let goes_on = found.name.is_numbered_from(&tip.0.edge.with(LAP))
                || (edge.piece != tip.0.piece && found.name.is_numbered_from(&tip.0.edge));
            goes_on && matches!(found.finish, Finish::Free | Finish::Seam) && found.origins.is_empty()
        }) && edge != own
            && pattern.seams_of(edge).next().is_none()
    };
    let beside = beyond(tip)?;
    let across = pattern.seams_of(&beside.0).filter_map(|seam| partner_tip(pattern.seam(seam), &beside));
    let borders = across.collect::<Vec<_>>().into_iter().filter_map(|tip| beyond(&tip));
    let found = std::iter::once(beside.clone()).chain(borders).find(is_free_lap)?;
    Some((found.0, found.1.away()))
}
