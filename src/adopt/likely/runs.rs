//! Several edges, one going on in the next over a seam, that are likely sewn to one edge.

use crate::adopt::likely::pairs::Pair;
use crate::adopt::likely::sides::{Ends, LikelySide, SideAt, unmet};
use crate::pattern::{EdgeEnd, NotchCount};
use crate::tolerance::{SEWN_ALIKE, SEWN_EASE_GUESSED, SEWN_NOTCHES_GUESSED};

/// Edges that one edge is sewn to at most.
const MOST_EDGES: usize = 4;

/// Places along a walk, mm, each with the kind of notch that stands there or meets it.
type Marks = Vec<(f64, NotchCount)>;

/// Edges one after another, in the order in which they are walked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chain {
    /// Each with the end at which it is entered.
    pub sides: Vec<(SideAt, EdgeEnd)>,
}

/// An edge, and the chain that it fits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fitting {
    pub one: SideAt,
    pub chain: Chain,
    /// By how much the edge is longer, mm.
    pub ease: f64,
    /// Notches that meet a notch, or a seam between two edges of the chain.
    pub meeting: usize,
    /// Notches that meet nothing.
    pub alone: usize,
}

/// All chains of two and more edges that the chosen seams make. Each is found from one of its ends only.
pub(super) fn chains(sides: &[LikelySide], chosen: &[Pair]) -> Vec<Chain> {
    let links: Vec<((SideAt, EdgeEnd), (SideAt, EdgeEnd))> =
        chosen.iter().flat_map(|pair| links(pair, sides)).collect();
    let mut found: Vec<Chain> = Vec::new();
    for first in 0..sides.len() {
        for entered in [EdgeEnd::First, EdgeEnd::Last] {
            let mut open = vec![Chain { sides: vec![(first, entered)] }];
            while let Some(chain) = open.pop() {
                let Some((last, entered)) = chain.sides.last().copied() else { continue };
                let going_on = links.iter().filter(|(from, _)| *from == (last, entered.other()));
                for (_, next) in going_on {
                    let is_new = chain.sides.iter().all(|(side, _)| *side != next.0);
                    if is_new && sides[next.0].may_be_sewn() && chain.sides.len() < MOST_EDGES {
                        let mut longer = chain.clone();
                        longer.sides.push(*next);
                        open.push(longer);
                    }
                }
                let is_known = |known: &Chain| known.is_same(&chain);
                if chain.sides.len() > 1 && sides[first].may_be_sewn() && !found.iter().any(is_known) {
                    found.push(chain);
                }
            }
        }
    }
    found
}

/// Beside a seam the two edges that meet its ends go on in one another, either way.
fn links(pair: &Pair, sides: &[LikelySide]) -> Vec<((SideAt, EdgeEnd), (SideAt, EdgeEnd))> {
    let mut found = Vec::new();
    for end in [EdgeEnd::First, EdgeEnd::Last] {
        let (next, met) = pair.next(end, sides);
        if next == met {
            continue;
        }
        // The edge that follows the last corner of another begins at that corner.
        let at_next = (next, end.other());
        let at_met = (met, pair.ends.met_by(end).other());
        found.extend([(at_next, at_met), (at_met, at_next)]);
    }
    found
}

impl Chain {
    /// Whether it is the same one, walked either way.
    pub fn is_same(&self, other: &Chain) -> bool {
        let back = other.sides.iter().rev().map(|(side, entered)| (*side, entered.other()));
        self.sides == other.sides || self.sides.iter().copied().eq(back)
    }

    fn length(&self, sides: &[LikelySide]) -> f64 {
        self.sides.iter().map(|(side, _)| sides[*side].length).sum()
    }

    /// The notches along it; and the seams between its edges, which a single notch meets.
    fn marks(&self, sides: &[LikelySide]) -> (Marks, Marks) {
        let (mut notches, mut joints) = (Vec::new(), Vec::new());
        let mut gone = 0.0;
        for (at, entered) in &self.sides {
            let side = &sides[*at];
            let along = |at: f64| if *entered == EdgeEnd::First { at } else { side.length - at };
            let mut own: Marks = side.notches.iter().map(|(at, count)| (gone + along(*at), *count)).collect();
            own.sort_by(|a, b| a.0.total_cmp(&b.0));
            notches.extend(own);
            gone += side.length;
            joints.push((gone, NotchCount::Single));
        }
        joints.pop();
        (notches, joints)
    }
}

impl Fitting {
    /// How an edge fits a chain whose start meets its first corner (or, `Across`, its last); none where it is shorter, or
    /// longer than can be eased in.
    pub fn of(sides: &[LikelySide], one: SideAt, chain: &Chain, ends: Ends) -> Option<Fitting> {
        let side = &sides[one];
        let length = chain.length(sides);
        let ease = side.length - length;
        if ease < -SEWN_ALIKE || ease > SEWN_EASE_GUESSED * length {
            return None;
        }
        let (notches, joints) = chain.marks(sides);
        let mut own: Vec<(f64, NotchCount)> = side.notches.clone();
        if ends == Ends::Across {
            own = own.iter().rev().map(|(at, count)| (side.length - at, *count)).collect();
        }
        // What is eased in puts a notch ahead, and never back.
        let ahead = [-SEWN_NOTCHES_GUESSED, SEWN_NOTCHES_GUESSED + ease.max(0.0)];
        let rest = unmet(&own, &notches, ahead);
        let met = own.len() - rest.len();
        // Between two edges one notch meets their seam; the next one beside it does not.
        let meeting = own.len() - unmet(&rest, &joints, ahead).len();
        let alone = own.len() - meeting + notches.len() - met;
        Some(Fitting { one, chain: chain.clone(), ease, meeting, alone })
    }

    /// Whether the edge needs no ease.
    pub fn is_of_one_length(&self) -> bool {
        self.ease.abs() <= SEWN_ALIKE
    }
}
