//! The edges of a pattern as they may be sewn: how long, where marked, how shaped, and what two have in common.

use crate::curve::{Curve, Point, turn_between};
use crate::pattern::{ClothName, Edge, EdgeEnd, EdgeId, EdgeRef, Finish, NotchCount, Pattern, Piece};
use crate::tolerance::{
    SEWN_ALIKE, SEWN_BEND, SEWN_EASE_GUESSED, SEWN_LENGTHS_GUESSED, SEWN_NOTCHES_GUESSED, SEWN_SHAPE_GUESSED,
    WELD,
};

/// Which edge of all that a pattern has.
pub(super) type SideAt = usize;

/// An edge.
pub(super) struct LikelySide {
    pub edge: EdgeRef,
    /// Its piece, counted in the order of the pattern.
    pub piece: usize,
    pub finish: Finish,
    /// What is sewn of it, mm.
    pub length: f64,
    /// Its notches along what is sewn, from its first corner, mm.
    pub notches: Vec<(f64, NotchCount)>,
    pub allowance: f64,
    pub cloth: ClothName,
    shape: SideShape,
    /// By how much the outline turns at its last corner, radians.
    pub turn: f64,
    /// The edges before and after it, clockwise.
    pub before: SideAt,
    pub after: SideAt,
    /// Whether its piece is cut with a mirrored copy.
    pub is_mirrored: bool,
}

/// How an edge bends.
enum SideShape {
    /// Hardly.
    Straight,
    /// How far places at equal shares of it lie from its first corner, mm. The same of its mirror image.
    Bent { from_first: Vec<f64>, from_last: Vec<f64>, depth: f64 },
}

/// From which share of its length on an edge is bent much that leaves its chord by so much: a neckline is by a fifth, a
/// shoulder or a side seam by less than a thirtieth.
const BENT_MUCH: f64 = 0.1;

/// Which ends of two edges meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ends {
    /// The first corner of the one and the last of the other: as two pieces lie side by side.
    Across,
    /// The first corners of both: as one piece lies on another, or on its mirrored copy.
    Alike,
}

impl Ends {
    pub const BOTH: [Ends; 2] = [Ends::Across, Ends::Alike];

    /// The end of the other edge that meets an end of the one.
    pub fn met_by(self, end: EdgeEnd) -> EdgeEnd {
        match self {
            Ends::Alike => end,
            Ends::Across => end.other(),
        }
    }
}

impl LikelySide {
    /// All edges of a pattern.
    pub fn all(pattern: &Pattern) -> Vec<LikelySide> {
        let mut sides = Vec::new();
        for (at, piece) in pattern.pieces().enumerate() {
            let first = sides.len();
            let count = piece.edges().len();
            sides.extend(piece.edge_ids().enumerate().map(|(k, id)| {
                let (before, after) = (first + (k + count - 1) % count, first + (k + 1) % count);
                LikelySide::of(piece, id, at, (before, after))
            }));
        }
        sides
    }

    fn of(piece: &Piece, id: EdgeId, at: usize, (before, after): (SideAt, SideAt)) -> LikelySide {
        let edge = piece.edge(id);
        let notches = piece.notches.iter().filter(|notch| notch.edge == edge.name);
        let mut notches: Vec<(f64, NotchCount)> =
            notches.map(|notch| (piece.to_sewn(id, notch.at), notch.count)).collect();
        notches.sort_by(|a, b| a.0.total_cmp(&b.0));
        LikelySide {
            edge: EdgeRef::new(piece.name().clone(), edge.name.clone()),
            piece: at,
            finish: edge.finish,
            length: piece.sewn_length(id),
            notches,
            allowance: edge.allowance.mm(),
            cloth: piece.cloth.clone(),
            shape: SideShape::of(edge),
            turn: turn_between(edge.curve.end_tangent(), piece.edge(piece.next(id)).curve.start_tangent()).0,
            before,
            after,
            is_mirrored: piece.has_mirrored_copy(),
        }
    }

    /// Whether it may be sewn to another: it is neither turned up nor on the fold, and there is cloth beyond it.
    pub fn may_be_sewn(&self) -> bool {
        !matches!(self.finish, Finish::Hem | Finish::Fold) && self.allowance > 0.0
    }

    /// The edge that it meets at an end.
    pub fn neighbour(&self, end: EdgeEnd) -> SideAt {
        match end {
            EdgeEnd::First => self.before,
            EdgeEnd::Last => self.after,
        }
    }

    /// Whether it may be traced from another that is laid on it with these ends: both are of one length, and straight or bent
    /// in the same way.
    pub fn is_traced_from(&self, other: &LikelySide, ends: Ends) -> bool {
        let straight = [self, other].iter().all(|side| matches!(side.shape, SideShape::Straight));
        (self.length - other.length).abs() <= SEWN_ALIKE
            && (straight || self.shape.is_like(&other.shape, ends))
    }

    /// Whether it is bent much where another is straight.
    pub fn is_bent_beside(&self, other: &LikelySide) -> bool {
        let bent = |side: &LikelySide| side.shape.depth() > BENT_MUCH * side.length;
        let straight = |side: &LikelySide| matches!(side.shape, SideShape::Straight);
        (bent(self) && straight(other)) || (straight(self) && bent(other))
    }

    /// Its notches seen from the end at which another's walk begins.
    fn notches_from(&self, ends: Ends) -> Vec<(f64, NotchCount)> {
        match ends {
            Ends::Alike => self.notches.clone(),
            Ends::Across => self.notches.iter().rev().map(|(at, count)| (self.length - at, *count)).collect(),
        }
    }
}

impl SideShape {
    fn of(edge: &Edge) -> SideShape {
        /// Places that are looked at.
        const PLACES: u32 = 8;
        let curve: &Curve = &edge.curve;
        if curve.is_straight(SEWN_BEND) {
            return SideShape::Straight;
        }
        let place = |k: u32| curve.point_at(curve.length() * f64::from(k) / f64::from(PLACES));
        let from = |corner: Point, k: u32| corner.distance(place(k));
        let chord = curve.end() - curve.start();
        let off_chord = |at: Point| (at - curve.start()).cross(chord).abs() / chord.hypot().max(WELD);
        SideShape::Bent {
            from_first: (1..=PLACES).map(|k| from(curve.start(), k)).collect(),
            from_last: (1..=PLACES).map(|k| from(curve.end(), PLACES - k)).collect(),
            depth: (1..PLACES).map(|k| off_chord(place(k))).fold(0.0, f64::max),
        }
    }

    /// How far it leaves its chord, mm; nothing where it is straight.
    fn depth(&self) -> f64 {
        match self {
            SideShape::Straight => 0.0,
            SideShape::Bent { depth, .. } => *depth,
        }
    }

    /// Whether both are bent, and alike when they are laid with these ends on each other.
    fn is_like(&self, other: &SideShape, ends: Ends) -> bool {
        let near = |a: &[f64], b: &[f64]| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= SEWN_SHAPE_GUESSED);
        match (self, other, ends) {
            (
                SideShape::Bent { from_first, from_last, .. },
                SideShape::Bent { from_first: other_first, from_last: other_last, .. },
                Ends::Alike,
            ) => near(from_first, other_first) && near(from_last, other_last),
            (
                SideShape::Bent { from_first, from_last, .. },
                SideShape::Bent { from_first: other_first, from_last: other_last, .. },
                Ends::Across,
            ) => near(from_first, other_last) && near(from_last, other_first),
            _ => false,
        }
    }
}

/// By which share of its length an edge that is near another in length is longer at most: a shoulder of 120 mm is eased by 6.
const NEAR_SHARE: f64 = 0.06;

/// What two edges have in common, laid on one another with these ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Likeness {
    /// By how much the first is longer, mm.
    pub longer: f64,
    /// How long the shorter of both is, mm.
    shorter: f64,
    /// Notches that meet.
    pub meeting: usize,
    /// Notches of either that meet none.
    pub alone: usize,
    /// Whether both are bent in the same way.
    pub bent_alike: bool,
    /// Whether their allowances are one.
    pub one_allowance: bool,
}

impl Likeness {
    /// What two edges have in common; none where their lengths are too far apart to be sewn.
    pub fn of(one: &LikelySide, other: &LikelySide, ends: Ends) -> Option<Likeness> {
        let longer = one.length - other.length;
        let most = SEWN_LENGTHS_GUESSED.max(SEWN_EASE_GUESSED * one.length.min(other.length));
        if longer.abs() > most {
            return None;
        }
        let (own, others) = (&one.notches, other.notches_from(ends));
        let within = SEWN_NOTCHES_GUESSED + longer.abs();
        let meeting = own.len() - unmet(own, &others, [-within, within]).len();
        Some(Likeness {
            longer,
            shorter: one.length.min(other.length),
            meeting,
            alone: own.len() + others.len() - 2 * meeting,
            bent_alike: one.shape.is_like(&other.shape, ends),
            one_allowance: (one.allowance - other.allowance).abs() <= WELD,
        })
    }

    /// How near both are in length, from 1 down to 0 where as much differs as is eased in without a word; none where it is
    /// more. Short edges are of nearly one length by chance.
    pub fn nearness(&self) -> Option<f64> {
        let most = SEWN_LENGTHS_GUESSED.min(NEAR_SHARE * self.shorter);
        (self.longer.abs() <= SEWN_LENGTHS_GUESSED).then(|| (1.0 - self.longer.abs() / most).max(0.0))
    }

    /// Whether both are of one length.
    pub fn is_of_one_length(&self) -> bool {
        self.longer.abs() <= SEWN_ALIKE
    }
}

/// The notches of a walk that meet none of another one: one meets one of the same kind that it is ahead of by no less than the
/// first of two distances and no more than the second.
pub(super) fn unmet(
    own: &[(f64, NotchCount)],
    others: &[(f64, NotchCount)],
    ahead: [f64; 2],
) -> Vec<(f64, NotchCount)> {
    let mut left: Vec<&(f64, NotchCount)> = others.iter().collect();
    let mut unmet = Vec::new();
    for (at, count) in own {
        let near =
            |other: &&(f64, NotchCount)| other.1 == *count && (ahead[0]..=ahead[1]).contains(&(at - other.0));
        match left.iter().position(near) {
            Some(partner) => {
                left.remove(partner);
            }
            None => unmet.push((*at, *count)),
        }
    }
    unmet
}
