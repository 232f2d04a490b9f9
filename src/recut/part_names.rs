//! Which of the two parts of a cut piece comes first, and what the two are called.
//!
//! Upper is what lies toward the start of the grainline, wherever that is on the sheet.

use crate::curve::{LeftOrRight, Outline, Point, Vec2, left_of, right_of};
use crate::parts::assemble::way_round;
use crate::pattern::words::{BACK, FRONT, says};
use crate::pattern::{EdgeId, Finish, On, Pattern, Piece, PieceName, Seam};
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

/// Where on the body something lies, by what it is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum OnBody {
    Front,
    Behind,
}

impl OnBody {
    fn of(name: &str) -> Option<OnBody> {
        match (says(name, &FRONT), says(name, &BACK)) {
            (true, false) => Some(OnBody::Front),
            (false, true) => Some(OnBody::Behind),
            _ => None,
        }
    }

    /// By an edge's own name, else by that of the pieces that it is sewn to, where they agree.
    fn of_edge(pattern: &Pattern, piece: &Piece, edge: EdgeId) -> Option<OnBody> {
        let own = piece.edge_ref(edge);
        let seams = pattern.seams().iter().filter(|seam| seam.side_of(&own).is_some());
        let others = seams.flat_map(Seam::edges).filter(|run| run.edge.piece != *piece.name());
        let told: Vec<OnBody> = others.filter_map(|run| OnBody::of(run.edge.piece.as_str())).collect();
        let agreed = told.first().copied().filter(|first| told.iter().all(|next| next == first));
        OnBody::of(own.edge.as_str()).or(agreed)
    }
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

    /// The names asked for, else plain ones by how the cut runs.
    pub(super) fn names(&self, pattern: &Pattern, asked: Option<&PieceNames>) -> PartNames {
        if let Some(names) = asked {
            return in_order(self.first(), names.first.clone(), names.second.clone());
        }
        let name = self.piece.name();
        let by_words = |hand, first, second| (hand, name.with(first), name.with(second));
        let centre = self.centre.map(|edge| self.edge_runs(edge));
        let (hand, first, second) = match (self.runs(), centre, self.front(pattern)) {
            (Runs::Crosswise, ..) => by_words(self.upper(), "upper", "lower"),
            (Runs::Lengthwise, Some(Runs::Lengthwise), _) => by_words(self.first(), "centre", "side"),
            (Runs::Lengthwise, _, Some(front)) => by_words(front, "front", "back"),
            (Runs::Lengthwise, ..) => (self.first(), name.part(1), name.part(2)),
        };
        in_order(hand, pattern.free_name(first), pattern.free_name(second))
    }

    /// The part toward the front of the body, where the edges that only one of the two has tell it: what they are called,
    /// and what they are sewn to. None where the piece itself lies in front or behind.
    fn front(&self, pattern: &Pattern) -> Option<LeftOrRight> {
        if OnBody::of(self.piece.name().as_str()).is_some() {
            return None;
        }
        let lies = |part: &CutPart<'_>, other: &CutPart<'_>| {
            let own = part.edges.iter().filter(|edge| !other.edges.contains(edge));
            let mut told = own.filter_map(|edge| OnBody::of_edge(pattern, self.piece, *edge));
            let first = told.next()?;
            told.all(|next| next == first).then_some(first)
        };
        match (lies(&self.right, &self.left), lies(&self.left, &self.right)) {
            (Some(OnBody::Front), Some(OnBody::Behind)) => Some(LeftOrRight::Right),
            (Some(OnBody::Behind), Some(OnBody::Front)) => Some(LeftOrRight::Left),
            _ => None,
        }
    }

    /// The part on the side of the cut toward which the grainline starts. Of a cut along the grain it is the one whose
    /// middle lies nearer to that; where both lie alike, the left one as seen with the grain running down.
    fn upper(&self) -> LeftOrRight {
        let grain = self.piece.grain_or_down();
        let toward = |way: Vec2| {
            if right_of(self.chord).dot(way) > 0.0 { LeftOrRight::Right } else { LeftOrRight::Left }
        };
        if self.runs() == Runs::Crosswise {
            return toward(-grain);
        }
        let below = (self.left.middle(grain) - self.right.middle(grain)).dot(grain);
        match below {
            below if below > AS_NEAR => LeftOrRight::Right,
            below if below < -AS_NEAR => LeftOrRight::Left,
            _ => toward(right_of(grain)),
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
