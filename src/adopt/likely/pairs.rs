//! Two edges that are likely sewn to one another.

use crate::adopt::likely::sides::{Ends, Likeness, Side, SideAt};
use crate::pattern::{EdgeEnd, Finish};
use crate::tolerance::SEWN_ALIKE;

/// Two edges, laid on one another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair {
    pub one: SideAt,
    pub other: SideAt,
    pub ends: Ends,
    pub likeness: Likeness,
}

/// What speaks for a pair, and how much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Weighed {
    pub pair: Pair,
    pub weight: f64,
    /// At how many ends what comes next is sewn as well, or turned up on both, or on the fold of both.
    pub ends_agree: usize,
}

/// What each thing that two edges have in common weighs. Only their order among each other is of use: notches were set to be
/// met, lengths may be alike by chance, and what comes next at a corner goes on in what comes next at the other.
const ONE_LENGTH: f64 = 3.0;
const NEAR_LENGTH: f64 = 0.0;
const NOTCH_MEETS: f64 = 2.0;
const MOST_NOTCHES: usize = 3;
const NOTCH_ALONE: f64 = -1.5;
const BENT_ALIKE: f64 = 1.5;
const OTHER_ALLOWANCE: f64 = -5.0;
const UNUSUAL_ALLOWANCE: f64 = -2.5;
const ONE_PIECE: f64 = -1.5;
const ONE_CLOTH: f64 = 2.5;
const END_AGREES: f64 = 2.0;
const END_ON_ITSELF: f64 = 1.0;
const END_DISAGREES: f64 = -1.5;

/// Edges that may be sewn at most; a pattern of more is of several garments.
const MOST_SIDES: usize = 600;

/// The allowance that most of what may be sewn has, mm.
pub(super) fn usual_allowance(sides: &[Side]) -> f64 {
    let sewn: Vec<&Side> = sides.iter().filter(|side| side.may_be_sewn()).collect();
    let length = |allowance: f64| -> f64 {
        let alike = sewn.iter().filter(|side| (side.allowance - allowance).abs() <= SEWN_ALIKE);
        alike.map(|side| side.length).sum()
    };
    let all = sewn.iter().map(|side| side.allowance);
    all.max_by(|a, b| length(*a).total_cmp(&length(*b))).unwrap_or_default()
}

/// All pairs of edges that could be sewn.
pub(super) fn pairs(sides: &[Side]) -> Vec<Pair> {
    let mut sewn: Vec<SideAt> = (0..sides.len()).filter(|at| sides[*at].may_be_sewn()).collect();
    sewn.truncate(MOST_SIDES);
    let mut found = Vec::new();
    for (k, one) in sewn.iter().enumerate() {
        for other in &sewn[k + 1..] {
            found.extend(Ends::BOTH.into_iter().filter_map(|ends| {
                let likeness = Likeness::of(&sides[*one], &sides[*other], ends)?;
                Some(Pair { one: *one, other: *other, ends, likeness })
            }));
        }
    }
    found
}

impl Pair {
    /// Weighs it beside those that are chosen already, in a pattern whose seams have this allowance for the most part, mm.
    pub fn weighed(&self, sides: &[Side], chosen: &[Pair], usual: f64) -> Weighed {
        let likeness = &self.likeness;
        let mut weight = if likeness.is_of_one_length() { ONE_LENGTH } else { NEAR_LENGTH };
        weight += NOTCH_MEETS * likeness.meeting.min(MOST_NOTCHES) as f64;
        weight += NOTCH_ALONE * likeness.alone as f64;
        if likeness.bent_alike {
            weight += BENT_ALIKE;
        }
        if !likeness.one_allowance {
            weight += OTHER_ALLOWANCE;
        }
        let (one, other) = (&sides[self.one], &sides[self.other]);
        if [one, other].iter().any(|side| (side.allowance - usual).abs() > SEWN_ALIKE) {
            weight += UNUSUAL_ALLOWANCE;
        }
        if one.piece == other.piece {
            weight += ONE_PIECE;
        } else if one.cloth == other.cloth {
            weight += ONE_CLOTH;
        }
        let ends = [EdgeEnd::First, EdgeEnd::Last].map(|end| self.goes_on(end, sides, chosen));
        weight += ends.iter().map(|goes_on| goes_on.weight()).sum::<f64>();
        let ends_agree = ends.iter().filter(|goes_on| **goes_on == GoesOn::Agrees).count();
        Weighed { pair: *self, weight, ends_agree }
    }

    /// What comes next at an end of the first edge and at that of the other which meets it.
    pub fn next(&self, end: EdgeEnd, sides: &[Side]) -> (SideAt, SideAt) {
        (sides[self.one].neighbour(end), sides[self.other].neighbour(self.ends.met_by(end)))
    }

    fn goes_on(&self, end: EdgeEnd, sides: &[Side], chosen: &[Pair]) -> GoesOn {
        let (next, met) = self.next(end, sides);
        // The edge that follows the last corner of another begins at that corner.
        let corners = (end.other(), self.ends.met_by(end).other());
        let sewn = chosen.iter().find(|pair| pair.joins(next, met) && next != met);
        if let Some(pair) = sewn {
            let (at_one, at_other) = if pair.one == next { corners } else { (corners.1, corners.0) };
            let is_one_corner = pair.ends.met_by(at_one) == at_other;
            return if is_one_corner { GoesOn::Agrees } else { GoesOn::Disagrees };
        }
        match (sides[next].finish, sides[met].finish) {
            _ if next == met => GoesOn::OnItself,
            (Finish::Hem, Finish::Hem) | (Finish::Fold, Finish::Fold) => GoesOn::Agrees,
            (Finish::Hem, _) | (_, Finish::Hem) => GoesOn::Disagrees,
            _ => GoesOn::Unknown,
        }
    }

    /// Whether it is of these two edges.
    pub fn joins(&self, a: SideAt, b: SideAt) -> bool {
        (self.one, self.other) == (a, b) || (self.one, self.other) == (b, a)
    }

    /// Whether an edge is one of its two.
    pub fn holds(&self, side: SideAt) -> bool {
        self.one == side || self.other == side
    }
}

/// How what comes next at an end of two edges fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum GoesOn {
    /// Both are turned up, both on the fold, or they are sewn to one another.
    Agrees,
    /// It is the same edge: a piece is closed to a ring.
    OnItself,
    /// One is turned up and the other is not.
    Disagrees,
    /// Nothing is known.
    Unknown,
}

impl GoesOn {
    fn weight(self) -> f64 {
        match self {
            GoesOn::Agrees => END_AGREES,
            GoesOn::OnItself => END_ON_ITSELF,
            GoesOn::Disagrees => END_DISAGREES,
            GoesOn::Unknown => 0.0,
        }
    }
}
