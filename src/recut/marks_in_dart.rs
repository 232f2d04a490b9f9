//! What is drawn inside a dart that is taken into a seam: it belongs to neither panel, and is not to be lost.

use crate::curve::Point;
use crate::parts::assemble::{Assembled, Part};
use crate::parts::membership::lies;
use crate::parts::ties::first_least;
use crate::pattern::{NamedPoint, Piece};

/// Puts marks and points that lie in no part onto the piece of the nearest one, carried along with it; each part is
/// given with the place of its piece. Gives what was put so, by name.
pub(super) fn keep(piece: &Piece, parts: &[(usize, &Part)], made: &mut [Assembled]) -> Vec<String> {
    let mut kept = Vec::new();
    for mark in &piece.marks {
        let Some(anchor) = mark.anchor else { continue };
        if parts.iter().any(|(_, part)| holds(part, anchor)) {
            continue;
        }
        let Some((of, part)) = nearest(parts, anchor) else { continue };
        made[of].piece.marks.push(mark.moved(&part.motion));
        kept.push(mark.id.clone().unwrap_or_else(|| "a mark".to_owned()));
    }
    for point in &piece.points {
        let root = |other: &NamedPoint| other.name.is_numbered_from(&point.name);
        if made.iter().any(|made| made.piece.points.iter().any(root)) {
            continue;
        }
        let Some((of, part)) = nearest(parts, point.at) else { continue };
        made[of].piece.points.push(NamedPoint { at: part.motion.apply(point.at), ..point.clone() });
        kept.push(point.name.to_string());
    }
    kept
}

fn holds(part: &Part, point: Point) -> bool {
    part.region.as_ref().is_none_or(|region| lies(part.piece, region, point).goes_along())
}

fn nearest<'a, 'b>(parts: &[(usize, &'a Part<'b>)], point: Point) -> Option<(usize, &'a Part<'b>)> {
    let off = |part: &Part| part.region.as_ref().map_or(0.0, |region| region.distance(point));
    first_least(parts.iter().copied(), |(_, part)| off(part))
}
