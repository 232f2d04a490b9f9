//! The pleat of a lining whose piece was cut across its centre since: it goes on in each part where it ends in the one above.

use crate::curve::Curve;
use crate::derive::lining::pleat::{PleatFoot, PleatWish, place_of};
use crate::pattern::{EdgeId, Pattern, Piece, PieceName};
use crate::tolerance::PLEAT_WRITTEN;
use crate::units::Length;

/// A part that the centre goes through.
struct OnCentre<'a> {
    part: usize,
    piece: &'a Piece,
    /// From its top down.
    centre: Curve,
    above: EdgeId,
    below: EdgeId,
}

impl OnCentre<'_> {
    fn of<'a>(pattern: &'a Pattern, part: usize, name: &PieceName) -> Option<OnCentre<'a>> {
        let piece = pattern.find(name)?;
        let id = pattern.centre_edge(piece)?;
        let curve = piece.edge(id).curve.clone();
        Some(match (curve.end() - curve.start()).dot(piece.grain_or_down()) >= 0.0 {
            true => OnCentre { part, piece, centre: curve, above: piece.previous(id), below: piece.next(id) },
            false => OnCentre {
                part,
                piece,
                centre: curve.reversed(),
                above: piece.next(id),
                below: piece.previous(id),
            },
        })
    }

    /// How far down from its top a place of its centre is, mm.
    fn depth(&self, at: f64) -> f64 {
        (self.centre.point_at(at) - self.centre.start()).dot(self.piece.grain_or_down())
    }

    /// Whether another part begins at its foot.
    fn is_above(&self, pattern: &Pattern, other: &OnCentre<'_>) -> bool {
        let (foot, top) = (self.piece.edge_ref(self.below), other.piece.edge_ref(other.above));
        let sewn = pattern.seams_of(&foot).any(|id| pattern.seam(id).edges().any(|run| run.edge == top));
        sewn && self.part != other.part
    }
}

/// The pleat of the copy of each part, as that of the whole: none of a part below the level at which it has run out.
pub(in crate::derive) fn pleats_of_parts(
    pattern: &Pattern,
    parts: &[PieceName],
    wish: &PleatWish,
) -> Vec<Option<PleatWish>> {
    let mut wishes = vec![Some(wish.clone()); parts.len()];
    let down_the_centre = down_the_centre(pattern, parts);
    let of_level = |on: &OnCentre<'_>| match &wish.to {
        PleatFoot::Level(level) => on
            .piece
            .levels
            .iter()
            .find(|own| own.name == *level)
            .map(|own| on.depth(place_of(own, &on.centre))),
        PleatFoot::Even | PleatFoot::Depth(_) => None,
    };
    let whole = |on: &OnCentre<'_>| on.depth(on.centre.length());
    let ends = down_the_centre.iter().position(|on| of_level(on).is_some());
    let (foot, last) = match (&wish.to, ends) {
        (PleatFoot::Depth(foot), _) => (foot.mm(), down_the_centre.len()),
        (PleatFoot::Level(_), Some(last)) => (0.0, last + 1),
        (PleatFoot::Level(_), None) | (PleatFoot::Even, _) => return wishes,
    };
    let deep: f64 = down_the_centre[..last].iter().map(|on| of_level(on).unwrap_or_else(|| whole(on))).sum();
    let takes = |depth: f64| {
        let by = wish.by.mm() + (foot - wish.by.mm()) * depth / deep;
        Length::from_mm((by / PLEAT_WRITTEN).round() * PLEAT_WRITTEN)
    };
    let mut above = 0.0;
    for (place, on) in down_the_centre.iter().enumerate() {
        let below = above + whole(on);
        wishes[on.part] = match (&wish.to, ends) {
            _ if place >= last => None,
            (PleatFoot::Level(_), Some(ends)) if place == ends => {
                Some(PleatWish { by: takes(above), to: wish.to.clone() })
            }
            _ => Some(PleatWish { by: takes(above), to: PleatFoot::Depth(takes(below)) }),
        };
        above = below;
    }
    wishes
}

/// The parts that the centre goes through, from its top down.
fn down_the_centre<'a>(pattern: &'a Pattern, parts: &[PieceName]) -> Vec<OnCentre<'a>> {
    let numbered = parts.iter().enumerate();
    let mut left: Vec<OnCentre<'a>> =
        numbered.filter_map(|(part, name)| OnCentre::of(pattern, part, name)).collect();
    let is_top = |on: &OnCentre<'_>| !left.iter().any(|other| other.is_above(pattern, on));
    let Some(top) = left.iter().position(is_top) else { return Vec::new() };
    let mut ordered = vec![left.swap_remove(top)];
    while let Some(next) =
        left.iter().position(|on| ordered.last().is_some_and(|last| last.is_above(pattern, on)))
    {
        ordered.push(left.swap_remove(next));
    }
    ordered
}
