//! What a lining is drawn otherwise in than the piece that it is copied from.
//!
//! It ends at the inner edges of the facings on its piece, goes over the armhole seam with its underarm raised, ends above the
//! hem, and has room for movement in a pleat at the centre back. Each is done on a [`draft::LiningDraft`], in that order.

mod at_facing;
mod draft;
mod hem;
mod pleat;
mod pleat_parts;
mod raise;
mod raised;
mod raised_notches;

pub(super) use at_facing::facing_seams;
pub(super) use draft::divided;
pub use pleat::{PleatFoot, PleatWish};
pub(super) use pleat_parts::pleats_of_parts;

use crate::pattern::{DartKind, LaidPart, Pattern, Piece, Refusal};
use crate::units::Length;

/// What is wished of a lining.
#[derive(Clone, Debug, Default)]
pub(super) struct LiningWish<'a> {
    /// The pleat at the centre.
    pub pleat: Option<&'a PleatWish>,
    /// By how much the underarm is raised.
    pub raise: Option<Length>,
    /// By how much it ends above the hem.
    pub shorter: Option<Length>,
    /// What its darts become.
    pub darts: DartKind,
    /// The allowance of edges that are drawn anew.
    pub allowance: Option<Length>,
}

/// A lining as it is drawn.
pub(super) struct Lined {
    /// The piece.
    pub piece: Piece,
    /// How it lies on the piece that it lines.
    pub laid: LaidPart,
    /// What was wished and has no place on this piece.
    pub idle: Vec<Refusal>,
}

/// A plain copy of a piece as its lining is drawn.
///
/// # Errors
///
/// Refuses what cannot be drawn on this piece. What it has no place for is told apart.
pub(super) fn lined(
    pattern: &Pattern,
    source: &Piece,
    copy: Piece,
    wish: &LiningWish,
) -> Result<Lined, Refusal> {
    let mut idle = Vec::new();
    let mut draft = draft::LiningDraft::of(copy);
    at_facing::end_at_facings(pattern, source, &mut draft, wish.allowance)?;
    if let Some(by) = wish.raise {
        idle.extend(raise::raise(pattern, source, &mut draft, by)?);
    }
    if let Some(by) = wish.shorter {
        idle.extend(hem::shorten(&mut draft, by)?);
    }
    if let Some(pleat) = wish.pleat {
        idle.extend(pleat::pleat(pattern, source, &mut draft, pleat, wish.allowance)?);
    }
    if wish.darts == DartKind::Pleat {
        draft.darts.iter_mut().for_each(|dart| dart.kind = DartKind::Pleat);
    }
    let (piece, laid) = draft.finish(source)?;
    Ok(Lined { piece, laid, idle })
}
