//! Two edges that are likely sewn to one another.

use crate::adopt::likely::counterparts::{Counterparts, EdgesStand};
use crate::adopt::likely::sides::{Ends, LikelySide, Likeness, SideAt};
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
const NEAR_LENGTH: f64 = 2.0;
const MUCH_EASED: f64 = -2.0;
const NOTCH_MEETS: f64 = 2.0;
const MOST_NOTCHES: usize = 3;
const NOTCH_ALONE: f64 = -1.5;
const BENT_ALIKE: f64 = 1.5;
const BENT_ON_STRAIGHT: f64 = -3.0;
const SAME_PLACE: f64 = 2.0;
const ELSEWHERE: f64 = -2.0;
const OTHER_ALLOWANCE: f64 = -5.0;
const UNUSUAL_ALLOWANCE: f64 = -2.5;
const ONE_PIECE: f64 = -1.5;
const ONE_CLOTH: f64 = 2.5;
const END_AGREES: f64 = 2.0;
const END_ON_ITSELF: f64 = 1.0;
const END_IN_A_CORNER: f64 = -4.0;
const END_DISAGREES: f64 = -1.5;

/// Edges that may be sewn at most; a pattern of more is of several garments.
const MOST_SIDES: usize = 600;

/// What pairs of a pattern are weighed by besides what stands on their edges.
pub(super) struct PairGround {
    usual_allowance: f64,
    counterparts: Counterparts,
}

impl PairGround {
    pub fn of(sides: &[LikelySide]) -> PairGround {
        PairGround { usual_allowance: usual_allowance(sides), counterparts: Counterparts::of(sides) }
    }
}

/// The allowance that most of what may be sewn has, mm.
fn usual_allowance(sides: &[LikelySide]) -> f64 {
    let sewn: Vec<&LikelySide> = sides.iter().filter(|side| side.may_be_sewn()).collect();
    let length = |allowance: f64| -> f64 {
        let alike = sewn.iter().filter(|side| (side.allowance - allowance).abs() <= SEWN_ALIKE);
        alike.map(|side| side.length).sum()
    };
    let all = sewn.iter().map(|side| side.allowance);
    all.max_by(|a, b| length(*a).total_cmp(&length(*b))).unwrap_or_default()
}

/// All pairs of edges that could be sewn.
pub(super) fn pairs(sides: &[LikelySide]) -> Vec<Pair> {
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
    /// Weighs it beside those that are chosen already.
    pub fn weighed(&self, sides: &[LikelySide], chosen: &[Pair], ground: &PairGround) -> Weighed {
        let likeness = &self.likeness;
        let mut weight = match likeness.nearness() {
            _ if likeness.is_of_one_length() => ONE_LENGTH,
            Some(near) => NEAR_LENGTH * near,
            None => MUCH_EASED,
        };
        weight += NOTCH_MEETS * likeness.meeting.min(MOST_NOTCHES) as f64;
        weight += NOTCH_ALONE * likeness.alone as f64;
        if likeness.bent_alike {
            weight += BENT_ALIKE;
        }
        if !likeness.one_allowance {
            weight += OTHER_ALLOWANCE;
        }
        let (one, other) = (&sides[self.one], &sides[self.other]);
        if [one, other].iter().any(|side| (side.allowance - ground.usual_allowance).abs() > SEWN_ALIKE) {
            weight += UNUSUAL_ALLOWANCE;
        }
        if one.is_bent_beside(other) {
            weight += BENT_ON_STRAIGHT;
        }
        let standing = ground.counterparts.standing(sides, self.one, self.other, self.ends);
        weight += match standing {
            EdgesStand::SamePlace => SAME_PLACE,
            EdgesStand::Elsewhere => ELSEWHERE,
            EdgesStand::Unknown => 0.0,
        };
        if one.piece == other.piece {
            weight += ONE_PIECE;
        } else if one.cloth == other.cloth {
            weight += ONE_CLOTH;
        }
        let ends = [EdgeEnd::First, EdgeEnd::Last].map(|end| self.goes_on(end, sides, chosen));
        // A front is sewn to its back along a side, and not along the next edge as well, round the corner between; nor along
        // an edge that ends at a fold, beyond which it would go on.
        let is_panel = standing == EdgesStand::SamePlace;
        let end_weight = |goes_on: &GoesOn| match goes_on {
            GoesOn::Sewn if is_panel => END_IN_A_CORNER,
            other => other.weight(),
        };
        weight += ends.iter().map(end_weight).sum::<f64>();
        let is_fold = |side: SideAt| sides[side].finish == Finish::Fold;
        let ends_at_fold = [one, other].iter().any(|side| is_fold(side.before) || is_fold(side.after));
        if is_panel && ends_at_fold {
            weight += END_IN_A_CORNER;
        }
        let agrees = |goes_on: &GoesOn| match goes_on {
            GoesOn::Agrees => true,
            GoesOn::Sewn => !is_panel,
            GoesOn::OnItself | GoesOn::Disagrees | GoesOn::Unknown => false,
        };
        let ends_agree = ends.iter().filter(|goes_on| agrees(goes_on)).count();
        Weighed { pair: *self, weight, ends_agree }
    }

    /// What comes next at an end of the first edge and at that of the other which meets it.
    pub fn next(&self, end: EdgeEnd, sides: &[LikelySide]) -> (SideAt, SideAt) {
        (sides[self.one].neighbour(end), sides[self.other].neighbour(self.ends.met_by(end)))
    }

    fn goes_on(&self, end: EdgeEnd, sides: &[LikelySide], chosen: &[Pair]) -> GoesOn {
        let (next, met) = self.next(end, sides);
        // The edge that follows the last corner of another begins at that corner.
        let corners = (end.other(), self.ends.met_by(end).other());
        let sewn = chosen.iter().find(|pair| pair.joins(next, met) && next != met);
        if let Some(pair) = sewn {
            let (at_one, at_other) = if pair.one == next { corners } else { (corners.1, corners.0) };
            let is_one_corner = pair.ends.met_by(at_one) == at_other;
            return if is_one_corner { GoesOn::Sewn } else { GoesOn::Disagrees };
        }
        let beyond = Pair::across(chosen, (next, corners.0)).zip(Pair::across(chosen, (met, corners.1)));
        let pieces_meet = beyond.is_some_and(|((a, at_a), (b, at_b))| {
            let (after_a, after_b) = (sides[a].neighbour(at_a), sides[b].neighbour(at_b));
            (after_a == b && after_b == a) || chosen.iter().any(|pair| pair.joins(after_a, after_b))
        });
        // Of one piece, what comes next may be cut in two at its peak.
        let is_peak = sides[self.one].piece == sides[self.other].piece
            && (sides[next].before == met || sides[next].after == met);
        match (sides[next].finish, sides[met].finish) {
            _ if next == met || is_peak => GoesOn::OnItself,
            _ if pieces_meet => GoesOn::Agrees,
            (Finish::Hem, Finish::Hem) | (Finish::Fold, Finish::Fold) => GoesOn::Agrees,
            (Finish::Hem, _) | (_, Finish::Hem) => GoesOn::Disagrees,
            _ => GoesOn::Unknown,
        }
    }

    /// The edge that an edge is sewn to, and its end that meets an end of that one.
    fn across(chosen: &[Pair], (side, end): (SideAt, EdgeEnd)) -> Option<(SideAt, EdgeEnd)> {
        let pair = chosen.iter().find(|pair| pair.holds(side))?;
        let other = if pair.one == side { pair.other } else { pair.one };
        Some((other, pair.ends.met_by(end)))
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
    /// Both are turned up, both on the fold, or each is sewn to one of two edges that meet or are joined at their ends: three
    /// pieces, or four, come together there.
    Agrees,
    /// They are sewn to one another.
    Sewn,
    /// It is the same edge, or two of one piece that meet: the piece is closed to a ring.
    OnItself,
    /// One is turned up and the other is not.
    Disagrees,
    /// Nothing is known.
    Unknown,
}

impl GoesOn {
    fn weight(self) -> f64 {
        match self {
            GoesOn::Agrees | GoesOn::Sewn => END_AGREES,
            GoesOn::OnItself => END_ON_ITSELF,
            GoesOn::Disagrees => END_DISAGREES,
            GoesOn::Unknown => 0.0,
        }
    }
}
