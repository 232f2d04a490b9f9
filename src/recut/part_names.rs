//! Which of the two parts of a cut piece comes first, and what the two are called.
//!
//! Upper is what lies toward the start of the grainline, wherever that is on the sheet.

use crate::curve::{LeftOrRight, Outline, Point, Vec2, left_of, right_of};
use crate::parts::assemble::way_round;
use crate::pattern::words::{AT_NECK, BACK, FRONT, LOWER, OF_ONE_SIDE, OUTER, UPPER, says};
use crate::pattern::{EdgeId, Finish, On, Pattern, Piece, PieceName, Seam, Twins};
use crate::recut::fields::PieceNames;
use crate::recut::symmetry::extent;
use crate::tolerance::AS_NEAR;

/// Names for the two parts of a cut, as seen along it from its start to its end.
pub(super) struct PartNames {
    pub right: PieceName,
    pub left: PieceName,
}

/// A part of a cut piece, where it lies on the old one.
pub(super) struct CutPart<'a> {
    /// The old edges that it has a stretch of.
    edges: Vec<EdgeId>,
    region: &'a Outline,
}

impl<'a> CutPart<'a> {
    /// The part that has the outline of a piece from one place to another, clockwise.
    pub(super) fn of(piece: &Piece, from: On, to: On, region: &'a Outline) -> CutPart<'a> {
        let edges = way_round(piece, from, to).into_iter().map(|(edge, ..)| edge).collect();
        CutPart { edges, region }
    }

    /// The middle of the box around it that stands along the grain.
    fn middle(&self, grain: Vec2) -> Point {
        let across = left_of(grain);
        let middle = |way: Vec2| {
            let (low, high) = extent(self.region.curves(), way);
            way * f64::midpoint(low, high)
        };
        (middle(grain) + middle(across)).to_point()
    }
}

/// How a line runs on a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Runs {
    /// Mainly along the grain.
    Lengthwise,
    /// Mainly across it.
    Crosswise,
}

impl Runs {
    fn of(chord: Vec2, grain: Vec2) -> Runs {
        if chord.dot(grain).abs() >= chord.cross(grain).abs() { Runs::Lengthwise } else { Runs::Crosswise }
    }
}

/// Two places opposite each other, by the words in names that tell them, and what a part that lies there is called.
struct Opposed([(&'static [&'static str], &'static str); 2]);

/// Toward the front of the body, and behind.
const ROUND_BODY: Opposed = Opposed([(&FRONT, "front"), (&BACK, "back")]);

/// Of a band, and of a collar.
const ON_PIECE: [Opposed; 2] =
    [Opposed([(&UPPER, "upper"), (&LOWER, "lower")]), Opposed([(&OUTER, "outer"), (&AT_NECK, "inner")])];

/// One of two places opposite each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum OneOf {
    First,
    Second,
}

impl Opposed {
    fn of(&self, name: &str) -> Option<OneOf> {
        let [first, second] = &self.0;
        match (says(name, first.0), says(name, second.0)) {
            (true, false) => Some(OneOf::First),
            (false, true) => Some(OneOf::Second),
            _ => None,
        }
    }

    /// By an edge's own name, else by that of the pieces that it is sewn to, where they agree.
    fn of_edge(&self, pattern: &Pattern, piece: &Piece, edge: EdgeId) -> Option<OneOf> {
        let own = piece.edge_ref(edge);
        let seams = pattern.seams().iter().filter(|seam| seam.side_of(&own).is_some());
        let others = seams.flat_map(Seam::edges).filter(|run| run.edge.piece != *piece.name());
        let told: Vec<OneOf> = others.filter_map(|run| self.of(run.edge.piece.as_str())).collect();
        let agreed = told.first().copied().filter(|first| told.iter().all(|next| next == first));
        self.of(own.edge.as_str()).or(agreed)
    }

    /// Where some edges lie, if all that tell it tell the same.
    fn of_edges(&self, pattern: &Pattern, piece: &Piece, edges: &[EdgeId]) -> Option<OneOf> {
        let mut told = edges.iter().filter_map(|edge| self.of_edge(pattern, piece, *edge));
        let first = told.next()?;
        told.all(|next| next == first).then_some(first)
    }

    fn names(&self) -> [&'static str; 2] {
        [self.0[0].1, self.0[1].1]
    }
}

/// What two parts of a piece are called by the edges that only one of them has: what these are called, and what they are sewn
/// to. None where that does not tell, or only what the piece itself is called.
pub(super) fn told_by_edges(
    pattern: &Pattern,
    piece: &Piece,
    [one, other]: [&[EdgeId]; 2],
) -> Option<[&'static str; 2]> {
    let lies_round = ROUND_BODY.of(piece.name().as_str()).is_none().then_some(&ROUND_BODY);
    lies_round.into_iter().chain(&ON_PIECE).find_map(|places| {
        let [first, second] = places.names();
        let lies = |edges: &[EdgeId]| places.of_edges(pattern, piece, edges);
        match (lies(one), lies(other)) {
            (Some(OneOf::First), Some(OneOf::Second)) => Some([first, second]),
            (Some(OneOf::Second), Some(OneOf::First)) => Some([second, first]),
            _ => None,
        }
    })
}

/// What two parts of a piece are called as they are seen with its grain running down. None where these words would be read of
/// the body: of a piece that is cut for its left and its right, or is called by one of them.
pub(super) fn left_and_right(piece: &Piece) -> Option<[&'static str; 2]> {
    let of_body = piece.cut.twins == Twins::Mirrored || says(piece.name().as_str(), &OF_ONE_SIDE);
    (!of_body).then_some(["left", "right"])
}

/// A piece cut in two.
pub(super) struct PartsOfCut<'a> {
    pub piece: &'a Piece,
    /// The piece's centre edge.
    pub centre: Option<EdgeId>,
    /// From the start of the cut to its end.
    pub chord: Vec2,
    pub right: CutPart<'a>,
    pub left: CutPart<'a>,
}

impl PartsOfCut<'_> {
    /// The part that comes first: the one with the fold, else the one nearest the centre edge, else the upper.
    pub(super) fn first(&self) -> LeftOrRight {
        let has = |edge: EdgeId| (self.right.edges.contains(&edge), self.left.edges.contains(&edge));
        let is_fold = |edge: &EdgeId| self.piece.edge(*edge).finish == Finish::Fold;
        let on_fold = |part: &CutPart<'_>| part.edges.iter().any(is_fold);
        match (on_fold(&self.right), on_fold(&self.left), self.centre) {
            (true, false, _) => LeftOrRight::Right,
            (false, true, _) => LeftOrRight::Left,
            (_, _, Some(centre)) => match has(centre) {
                (true, false) => LeftOrRight::Right,
                (false, true) => LeftOrRight::Left,
                _ => self.nearer_to(centre).unwrap_or_else(|| self.upper()),
            },
            (_, _, None) => self.upper(),
        }
    }

    /// The names asked for, else plain ones by how the cut runs and where the parts lie.
    pub(super) fn names(&self, pattern: &Pattern, asked: Option<&PieceNames>) -> PartNames {
        if let Some(names) = asked {
            return in_order(self.first(), names.first.clone(), names.second.clone());
        }
        let name = self.piece.name();
        let centre = self.centre.map(|edge| self.edge_runs(edge));
        let (hand, words) = match (self.runs(), centre) {
            (Runs::Crosswise, _) => (self.upper(), Some(["upper", "lower"])),
            (Runs::Lengthwise, Some(Runs::Lengthwise)) => (self.first(), Some(["centre", "side"])),
            (Runs::Lengthwise, _) => match (self.told_by_edges(pattern), left_and_right(self.piece)) {
                (Some(names), _) => (LeftOrRight::Right, Some(names)),
                (None, Some(names)) => (self.toward(right_of(self.piece.grain_or_down())), Some(names)),
                (None, None) => (self.first(), None),
            },
        };
        let [first, second] = match words {
            Some(words) => words.map(|word| name.with(word)),
            None => [1, 2].map(|number| name.part(number)),
        };
        in_order(hand, pattern.free_name(first), pattern.free_name(second))
    }

    /// What the right and the left part are called by the edges that only one of the two has.
    fn told_by_edges(&self, pattern: &Pattern) -> Option<[&'static str; 2]> {
        let own = |part: &CutPart<'_>, other: &CutPart<'_>| -> Vec<EdgeId> {
            part.edges.iter().copied().filter(|edge| !other.edges.contains(edge)).collect()
        };
        let (right, left) = (own(&self.right, &self.left), own(&self.left, &self.right));
        told_by_edges(pattern, self.piece, [&right, &left])
    }

    /// The part on the side of the cut toward a direction.
    fn toward(&self, way: Vec2) -> LeftOrRight {
        if right_of(self.chord).dot(way) > 0.0 { LeftOrRight::Right } else { LeftOrRight::Left }
    }

    /// The part on the side of the cut toward which the grainline starts. Of a cut along the grain it is the one whose
    /// middle lies nearer to that; where both lie alike, the left one as seen with the grain running down.
    fn upper(&self) -> LeftOrRight {
        let grain = self.piece.grain_or_down();
        if self.runs() == Runs::Crosswise {
            return self.toward(-grain);
        }
        let below = (self.left.middle(grain) - self.right.middle(grain)).dot(grain);
        match below {
            below if below > AS_NEAR => LeftOrRight::Right,
            below if below < -AS_NEAR => LeftOrRight::Left,
            _ => self.toward(right_of(grain)),
        }
    }

    /// The part nearer to an edge that both have a stretch of; none of a cut across from that edge, which leaves both as
    /// near to it.
    fn nearer_to(&self, edge: EdgeId) -> Option<LeftOrRight> {
        if self.runs() == Runs::Crosswise || self.edge_runs(edge) == Runs::Crosswise {
            return None;
        }
        let (curve, grain) = (&self.piece.edge(edge).curve, self.piece.grain_or_down());
        let off = |part: &CutPart<'_>| curve.nearest(part.middle(grain)).distance;
        let farther = off(&self.left) - off(&self.right);
        (farther.abs() > AS_NEAR).then_some(if farther > 0.0 {
            LeftOrRight::Right
        } else {
            LeftOrRight::Left
        })
    }

    fn runs(&self) -> Runs {
        Runs::of(self.chord, self.piece.grain_or_down())
    }

    fn edge_runs(&self, edge: EdgeId) -> Runs {
        let curve = &self.piece.edge(edge).curve;
        Runs::of(curve.end() - curve.start(), self.piece.grain_or_down())
    }
}

fn in_order(first_is: LeftOrRight, first: PieceName, second: PieceName) -> PartNames {
    match first_is {
        LeftOrRight::Right => PartNames { right: first, left: second },
        LeftOrRight::Left => PartNames { right: second, left: first },
    }
}
