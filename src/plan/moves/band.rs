//! Bands: borders of even depth cut off along an edge.

use crate::pattern::{EdgeId, Finish};
use crate::plan::moves::{Kind, Lack, Move, Site};
use crate::plan::view::{View, named};
use crate::recut::AddBand;

/// The deepest that a border still is one, mm: beyond that it is a panel.
const DEEPEST: f64 = 150.0;

/// The least depth that can be sewn and turned, mm.
const LEAST: f64 = 20.0;

/// What a new seam takes on the piece beside what it misses, mm: an allowance, and room so that it does not miss again.
const TAKES: f64 = 16.0;

/// A border along each edge that stands across the way the piece misses.
pub(super) fn banded(site: &Site<'_>) -> Vec<Move> {
    if !site.may(Kind::Band) || site.piece.fold().is_some_and(|_| matches!(site.lack, Lack::Width { .. })) {
        return Vec::new();
    }
    let depth = (site.lack.over() + TAKES).max(LEAST);
    if depth > DEEPEST {
        return Vec::new();
    }
    let (view, name) = (View::of(site.piece), site.piece.name());
    let stands = |id: &EdgeId| view.runs_along(*id) == matches!(site.lack, Lack::Width { .. });
    let edges = site.piece.edge_ids().filter(|id| site.piece.edge(*id).finish != Finish::Fold).filter(stands);
    let band = |id: EdgeId| {
        let edge = site.piece.edge(id).name.clone();
        let tale = format!("cut a band off `{name}` along the {edge}");
        let step = AddBand { piece: name.clone(), edge, depth: named(depth), name: None };
        site.draft().does(step).map(|draft| site.made(Kind::Band, draft, tale))
    };
    edges.filter_map(band).collect()
}
