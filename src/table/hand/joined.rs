//! A piece that is pushed to another one.

use kurbo::Affine;

use crate::canvas::path_data;
use crate::curve::{Point, Vec2};
use crate::pattern::{EdgeRef, Pattern, Piece, Side};
use crate::recut::MergeAtSeamline;
use crate::table::hand::motion::{BeneathHand, FallsShort, Hand, Held};
use crate::table::snap::SnapSeen;
use crate::tolerance::PUSHED_TOGETHER;
use crate::units::Length;

/// An edge of a piece and one that it is sewn to, the middles of both.
struct SewnMiddles {
    edge: EdgeRef,
    own: Point,
    to: EdgeRef,
    there: Point,
    /// What is cut beside both together, mm: so far apart are their seamlines where their cut edges touch.
    allowances: f64,
}

impl SewnMiddles {
    fn apart(&self, by: Vec2) -> f64 {
        (self.own + by).distance(self.there)
    }

    /// How near the middles must come for their pieces to be pushed together: seam to seam, or cut edge to cut edge, as a
    /// maker lays them. Where they lie near each other already they must come half the way nearer.
    fn together_within(&self) -> f64 {
        let before = self.apart(Vec2::ZERO);
        let between = before - self.allowances;
        let at_seam = (before / 2.0).min(self.allowances + PUSHED_TOGETHER);
        let at_cut_edge = self.allowances + PUSHED_TOGETHER.min(between / 2.0);
        if between > 0.0 { at_seam.max(at_cut_edge) } else { at_seam }
    }
}

/// What a piece is joined to that is pushed so far: what it is sewn to with the middles of both edges nearest to each other, once
/// they are together. The other piece stays where it lies.
pub(super) fn pushed(hand: &Hand, piece: &Piece, ground: BeneathHand<'_>) -> Held {
    let by = hand.at() - hand.from();
    let pairs = pairs(ground.pattern, piece).into_iter();
    let nearest = pairs.min_by(|a, b| a.apart(by).total_cmp(&b.apart(by)));
    let drawn = path_data(&(Affine::translate(by) * piece.outline().to_path()));
    let Some(pair) = nearest else { return Held { drawn, ..Held::default() } };
    let too_far = pair.apart(by) - pair.together_within();
    let at = [pair.there.x, pair.there.y];
    let SewnMiddles { edge, to, .. } = pair;
    if too_far <= 0.0 {
        let place = SnapSeen { says: format!("{edge} is sewn to {to} here"), at };
        return Held { drawn, snaps: vec![place], ..Held::step(MergeAtSeamline::of(to)) };
    }
    let nearer = Length::from_mm(too_far.ceil()).show(ground.unit);
    let falls_short = FallsShort {
        what: format!("{edge} would be sewn to {to}, and is not there yet"),
        way_out: format!("bring it nearer: {nearer}"),
    };
    let place = SnapSeen { says: format!("{edge} would be sewn to {to} here; {}", falls_short.way_out), at };
    Held { drawn, snaps: vec![place], falls_short: Some(falls_short), ..Held::default() }
}

/// All edges of a piece with those of other pieces that they are sewn to.
fn pairs(pattern: &Pattern, piece: &Piece) -> Vec<SewnMiddles> {
    let middle = |piece: &Piece, edge: &EdgeRef| {
        let found = piece.edge(piece.find_edge(&edge.edge)?);
        let curve = &found.curve;
        Some((curve.point_at(curve.length() / 2.0), found.allowance.mm()))
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
        let ((own_middle, left), (there, left_there)) = (middle(piece, own)?, middle(beside, other)?);
        let (edge, to) = (own.clone(), other.clone());
        Some(SewnMiddles { edge, own: own_middle, to, there, allowances: left + left_there })
    });
    found.collect()
}
