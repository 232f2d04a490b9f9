//! Pieces that are drawn alike, edge for edge, as a front is and its back: what lies at the same place of both is sewn
//! together, and nothing else of theirs.

use crate::adopt::likely::sides::{Ends, LikelySide, SideAt};
use crate::tolerance::{COUNTERPART_LONGER, COUNTERPART_TURN};

/// The fewest edges by which a piece is told from its mirror image.
const LEAST_EDGES: usize = 5;

/// By how much the one way of laying two pieces on each other must be better than any other. Of less, each is as good.
const CLEAR: f64 = 0.5;

/// What two edges of two pieces are to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EdgesStand {
    /// They lie at the same place of two pieces that are drawn alike.
    SamePlace,
    /// Their pieces are drawn alike, and they lie at different places of them.
    Elsewhere,
    /// Nothing is known.
    Unknown,
}

/// The edges of one piece with those of another that they lie on.
type LaidEdges = Vec<(SideAt, SideAt)>;

/// Pieces that are drawn alike.
pub(super) struct Counterparts {
    /// For each two pieces, the edges of the one with those of the other, and the ends of them that meet.
    pairs: Vec<(usize, usize, LaidEdges, Ends)>,
}

impl Counterparts {
    pub fn of(sides: &[LikelySide]) -> Counterparts {
        let mut pieces: Vec<Vec<SideAt>> = Vec::new();
        for (at, side) in sides.iter().enumerate() {
            if side.piece >= pieces.len() {
                pieces.resize(side.piece + 1, Vec::new());
            }
            pieces[side.piece].push(at);
        }
        let mut pairs = Vec::new();
        for (one, own) in pieces.iter().enumerate() {
            for (other, others) in pieces.iter().enumerate().skip(one + 1) {
                if let Some((laid, ends)) = laid_alike(sides, own, others) {
                    pairs.push((one, other, laid, ends));
                }
            }
        }
        Counterparts { pairs }
    }

    /// What two edges are to each other that are sewn with these ends together.
    pub fn standing(&self, sides: &[LikelySide], one: SideAt, other: SideAt, ends: Ends) -> EdgesStand {
        let (first, second) = if sides[one].piece < sides[other].piece { (one, other) } else { (other, one) };
        let pieces = (sides[first].piece, sides[second].piece);
        let known = self.pairs.iter().find(|(one, other, ..)| (*one, *other) == pieces);
        match known {
            None => EdgesStand::Unknown,
            Some((.., laid, laid_ends)) if *laid_ends == ends && laid.contains(&(first, second)) => {
                EdgesStand::SamePlace
            }
            Some(_) => EdgesStand::Elsewhere,
        }
    }
}

/// How two pieces of one cloth lie on each other edge for edge, where only one way of laying them does so. One that is
/// traced from the other says nothing: a lining lies on its shell, and is not sewn to all of it.
fn laid_alike(sides: &[LikelySide], own: &[SideAt], others: &[SideAt]) -> Option<(LaidEdges, Ends)> {
    let count = own.len();
    let is_one_cloth = own.first().map(|at| &sides[*at].cloth) == others.first().map(|at| &sides[*at].cloth);
    if count < LEAST_EDGES || others.len() != count || !is_one_cloth {
        return None;
    }
    let ways = Ends::BOTH.into_iter().flat_map(|ends| (0..count).map(move |shift| (ends, shift)));
    let laid = ways.filter_map(|(ends, shift)| {
        let partner = |at: usize| match ends {
            Ends::Alike => (at + shift) % count,
            Ends::Across => (shift + count - at) % count,
        };
        let pairs: LaidEdges = (0..count).map(|at| (own[at], others[partner(at)])).collect();
        Some((unlike(sides, &pairs, ends)?, pairs, ends))
    });
    let mut laid: Vec<(f64, LaidEdges, Ends)> = laid.collect();
    laid.sort_by(|a, b| a.0.total_cmp(&b.0));
    let is_clear = laid.len() < 2 || laid[1].0 >= laid[0].0 + CLEAR;
    let (_, pairs, ends) = laid.into_iter().next().filter(|_| is_clear)?;
    let is_traced = pairs.iter().all(|(one, other)| sides[*one].is_traced_from(&sides[*other], ends));
    (!is_traced).then_some((pairs, ends))
}

/// How unlike two pieces are, laid on each other so: by the lengths of their edges and the turns of their corners; none where
/// any of these is too far apart.
fn unlike(sides: &[LikelySide], pairs: &[(SideAt, SideAt)], ends: Ends) -> Option<f64> {
    let mut sum = 0.0;
    for (one, other) in pairs {
        let (one, other) = (&sides[*one], &sides[*other]);
        let longer = (one.length / other.length).ln().abs();
        // The last corner of the one lies on the last of the other, or on its first: the last of the edge before it.
        let corner = match ends {
            Ends::Alike => other.turn,
            Ends::Across => sides[other.before].turn,
        };
        let turned = (one.turn - corner).abs();
        if longer > COUNTERPART_LONGER.ln() || turned > COUNTERPART_TURN {
            return None;
        }
        sum += longer + turned;
    }
    Some(sum)
}
