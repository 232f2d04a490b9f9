//! How much of a piece a cloth lets stand: the width it may keep when a seam is moved, or a panel may have.

use crate::advice;
use crate::allowance::{as_cut, lies_within};
use crate::cloth::fit::{FitError, width_for};
use crate::cloth::{Cloth, Stock};
use crate::pattern::{
    EdgeId, EdgeRef, Operation, Pattern, Piece, PieceName, Refusal, RefusalKind, Side, settle,
};

/// What a cloth gives a piece, and what the piece may keep of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeptWidth {
    /// The width of the cloth, mm.
    pub gives: f64,
    /// The finished width of the piece as drawn, half of it for a half piece, mm.
    pub keeps: f64,
}

/// What the edge becomes along which a piece keeps its width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeBecomes {
    /// Finished and cut as it was.
    AsItWas,
    /// Free on the selvedge, without allowance.
    FreeOnSelvedge,
}

/// The finished width that a piece may keep beside a seam so that it fits its cloth: the cloth's width less the
/// allowances of both sides, none at a free selvedge; half of that for a half piece.
///
/// # Errors
///
/// Refuses a piece whose cloth is not at hand or is not as long as the piece, a seam that it does not have, and a cloth
/// narrower than the allowances.
pub fn kept_beside(
    pattern: &Pattern,
    stock: &Stock,
    seam: &EdgeRef,
    from: &PieceName,
    new: EdgeBecomes,
) -> Result<KeptWidth, FitError> {
    let piece = pattern.piece(from)?;
    let gives = given(pattern, stock, piece)?;
    let seam = pattern.seam(pattern.seam_named(&settle(pattern, seam), Some(from))?);
    let runs = Side::BOTH.into_iter().flat_map(|side| seam.side(side).edges());
    let ids = runs.filter(|run| run.edge.piece == *from).filter_map(|run| piece.find_edge(&run.edge.edge));
    let ids: Vec<_> = ids.collect();
    let allowance = |id| piece.edge(id).cut_allowance().mm();
    let own = match new {
        EdgeBecomes::AsItWas => ids.iter().copied().map(allowance).fold(0.0, f64::max),
        EdgeBecomes::FreeOnSelvedge => 0.0,
    };
    let keeps = if piece.fold().is_some() {
        gives / 2.0 - own
    } else {
        let other = opposite(piece, &ids).map_or(0.0, allowance);
        gives - own - other
    };
    if keeps <= 0.0 {
        let what = format!("the allowances take all of the cloth's {gives:.1} mm");
        return Err(Refusal::new(RefusalKind::BadWidth, from, what, "set smaller allowances").into());
    }
    Ok(KeptWidth { gives, keeps })
}

/// The width that a panel of a piece may have as it is cut, so that it fits the piece's cloth, mm.
///
/// # Errors
///
/// Refuses a piece whose cloth is not at hand, or is not as long as the piece.
pub fn widest_panel(pattern: &Pattern, stock: &Stock, piece: &PieceName) -> Result<f64, FitError> {
    given(pattern, stock, pattern.piece(piece)?)
}

/// How wide a piece is as it is cut, mm, where that is more than the cloth gives; none where it is not, or where the
/// piece cannot be cut.
#[must_use]
pub fn wider_than(pattern: &Pattern, piece: &PieceName, gives: f64) -> Option<f64> {
    let piece = pattern.find(piece)?;
    let width = as_cut(pattern, piece).ok()?.width();
    (!lies_within(width, gives)).then_some(width)
}

fn given(pattern: &Pattern, stock: &Stock, piece: &Piece) -> Result<f64, FitError> {
    let cloth = cloth_of(stock, piece)?;
    width_for(pattern, piece, cloth)?.ok_or_else(|| {
        let what =
            format!("the piece is longer than the cloth `{}`, {:.0} mm", cloth.name(), cloth.longest());
        Refusal::new(RefusalKind::BadWidth, piece.name(), what, "cut the piece across first, with split")
            .into()
    })
}

/// The cloth of a piece.
///
/// # Errors
///
/// Refuses a piece whose cloth is not at hand.
fn cloth_of<'a>(stock: &'a Stock, piece: &Piece) -> Result<&'a Cloth, Refusal> {
    stock.find(&piece.cloth).ok_or_else(|| {
        let way_out = match stock.nearest(&piece.cloth) {
            Some(known) => {
                advice!(format!("did you mean `{known}`? The piece names it with "), Operation::SetPiece)
            }
            None => advice!(format!("add [{}] to the cloth file", piece.cloth)),
        };
        let what = format!("the piece is cut from `{}`, which the cloth file does not describe", piece.cloth);
        Refusal::new(RefusalKind::UnknownName, piece.name(), what, way_out)
    })
}

/// The edge across the piece from others: of those that run mainly along the grain the one farthest off.
fn opposite(piece: &Piece, from: &[EdgeId]) -> Option<EdgeId> {
    let grain = piece.grain_or_down();
    let middle = |id| {
        let curve = &piece.edge(id).curve;
        curve.point_at(curve.length() / 2.0)
    };
    let first = middle(*from.first()?);
    let lengthwise = |id: &EdgeId| {
        let curve = &piece.edge(*id).curve;
        let chord = curve.end() - curve.start();
        chord.dot(grain).abs() >= chord.cross(grain).abs()
    };
    let off = |id: EdgeId| (middle(id) - first).cross(grain).abs();
    let others = piece.edge_ids().filter(|id| !from.contains(id)).filter(lengthwise);
    others.max_by(|a, b| off(*a).total_cmp(&off(*b)))
}
