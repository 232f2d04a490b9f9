//! A piece that is pushed to another one.

use kurbo::Affine;

use crate::canvas::path_data;
use crate::curve::{Point, Vec2};
use crate::pattern::{EdgeRef, Pattern, Piece, Side};
use crate::recut::MergeAtSeamline;
use crate::table::hand::motion::{Hand, Held};
use crate::table::snap::SnapSeen;
use crate::tolerance::PUSHED_TOGETHER;

/// An edge of a piece and one that it is sewn to, the middles of both.
struct SewnMiddles {
    own: Point,
    to: EdgeRef,
    there: Point,
}

impl SewnMiddles {
    fn apart(&self, by: Vec2) -> f64 {
        (self.own + by).distance(self.there)
    }
}

/// What a piece is joined to that is pushed so far: what it is sewn to with the middles of both edges nearest to each other, once
/// they are together. The other piece stays where it lies.
pub(super) fn pushed(hand: &Hand, piece: &Piece, pattern: &Pattern) -> Held {
    let by = hand.at() - hand.from();
    let pairs = pairs(pattern, piece).into_iter();
    let nearest = pairs.min_by(|a, b| a.apart(by).total_cmp(&b.apart(by)));
    let drawn = path_data(&(Affine::translate(by) * piece.outline().to_path()));
    let Some(pair) = nearest else { return Held { drawn, ..Held::default() } };
    let (now, before) = (pair.apart(by), pair.apart(Vec2::ZERO));
    let is_together = now <= PUSHED_TOGETHER && now < before / 2.0;
    let place = SnapSeen { says: format!("sewn to {} here", pair.to), at: [pair.there.x, pair.there.y] };
    let held = match is_together {
        true => Held::step(MergeAtSeamline::of(pair.to)),
        false => Held::default(),
    };
    Held { drawn, snaps: vec![place], ..held }
}

/// All edges of a piece with those of other pieces that they are sewn to.
fn pairs(pattern: &Pattern, piece: &Piece) -> Vec<SewnMiddles> {
    let middle = |piece: &Piece, edge: &EdgeRef| {
        let curve = &piece.edge(piece.find_edge(&edge.edge)?).curve;
        Some(curve.point_at(curve.length() / 2.0))
    };
    let sides = pattern
        .seams()
        .iter()
        .flat_map(|seam| Side::BOTH.map(|side| (seam.side(side), seam.side(side.other()))));
    let all = sides.flat_map(|(own, other)| {
        let own = own.edges().iter().filter(|run| run.edge.piece == *piece.name());
        own.flat_map(move |own| other.edges().iter().map(move |other| (&own.edge, &other.edge)))
    });
    let of_others = all.filter(|(_, other)| other.piece != *piece.name());
    let found = of_others.filter_map(|(own, other)| {
        let beside = pattern.find(&other.piece)?;
        Some(SewnMiddles { own: middle(piece, own)?, to: other.clone(), there: middle(beside, other)? })
    });
    found.collect()
}
