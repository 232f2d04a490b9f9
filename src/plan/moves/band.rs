//! Bands: borders of even depth cut off along an edge.

use crate::pattern::{EdgeId, Finish, Seam};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{UprightPiece, named};
use crate::recut::AddBand;

/// The deepest that a border still is one, mm: beyond that it is a panel.
pub(super) const DEEPEST: f64 = 150.0;

/// The least depth that can be sewn and turned, mm.
pub(super) const LEAST: f64 = 20.0;

/// A border along each edge that stands across the way the piece misses.
pub(super) fn banded(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::Band) {
        return Vec::new();
    }
    let depth = site.must_give().max(LEAST);
    if depth > DEEPEST {
        return Vec::new();
    }
    let name = site.piece.name();
    let band = |id: EdgeId| {
        let edge = site.piece.edge(id).name.clone();
        let tale = format!("cut a band off `{name}` along the {edge}");
        let step = AddBand::of(name.clone(), edge, named(depth));
        site.draft().does(step).map(|draft| site.made(ChangeKind::Band, draft, tale))
    };
    bandable(site).into_iter().filter_map(band).collect()
}

/// The edges at which the garment ends that stand across the way the piece misses.
pub(super) fn bandable(site: &Site<'_>) -> Vec<EdgeId> {
    let is_too_wide = matches!(site.lack, Lack::Width { .. });
    if is_too_wide && site.piece.fold().is_some() {
        return Vec::new();
    }
    let view = UprightPiece::of(site.piece);
    let stands = |id: &EdgeId| view.runs_along(*id) == is_too_wide;
    site.piece.edge_ids().filter(|id| ends_garment(site, *id)).filter(stands).collect()
}

/// Whether the garment ends at an edge: it is turned up or bound, or sewn only to pieces that lie under it.
fn ends_garment(site: &Site<'_>, id: EdgeId) -> bool {
    let edge = site.piece.edge(id);
    let own = site.piece.edge_ref(id);
    // A seam to the mirrored copy, as down the middle of a back, is walked the same way on both sides too.
    let is_to_itself = |seam: &Seam| seam.edges().all(|run| run.edge.piece == own.piece);
    let layered =
        |seam: &Seam| seam.first.edges()[0].travel == seam.second.edges()[0].travel && !is_to_itself(seam);
    match edge.finish {
        Finish::Hem | Finish::Free => true,
        Finish::Fold => false,
        Finish::Seam => {
            site.state.pattern.seams().iter().filter(|seam| seam.side_of(&own).is_some()).all(layered)
        }
    }
}
