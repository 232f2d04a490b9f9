//! Which edges become one where two pieces are joined.

use crate::parts::seam_side::{BothSides, Mirrored, SeamSide};
use crate::pattern::{Edge, EdgeId, EdgeRef, Pattern, Run, Seam, SeamId, Side, Travel, WalkEnd};
use crate::units::Length;

/// The two edges that meet at an end of the seam, in the order in which the new outline passes them, each with its part:
/// 0 for the base, 1 for the other piece: where the walk starts it comes from the base and goes on along the other piece,
/// where it ends the other way.
pub(crate) fn continued_at(sides: &BothSides, end: WalkEnd) -> [(usize, EdgeId); 2] {
    let (base, other) = (sides.base.neighbours(), sides.other.neighbours());
    match end {
        WalkEnd::Start => [(0, base.0), (1, other.0)],
        WalkEnd::End => [(1, other.1), (0, base.1)],
    }
}

/// Whether the two edges that meet at an end of the seam may become one: they are alike, and every seam that names one
/// names the other next to it, or neither is sewn.
pub(crate) fn goes_on_in_seams(pattern: &Pattern, sides: &BothSides, end: WalkEnd) -> bool {
    let pair = EdgePair::of(sides, end);
    pair.first.name == pair.second.name && pair.is_finished_alike() && pair.is_sewn_as_one(pattern)
}

/// Whether the two edges that meet at an end of the seam become one with the mouth of a dart between them: they are
/// finished alike, and sewn as one, or each is sewn by itself as often as the other, so that their seams become one with
/// them. Where the sewing begins between them, as that of a sleeve's cap at the side of an armhole, the mouth is the end of
/// one edge.
pub(crate) fn goes_on_over_dart(pattern: &Pattern, sides: &BothSides, end: WalkEnd) -> bool {
    let pair = EdgePair::of(sides, end);
    pair.is_finished_alike() && (pair.is_sewn_as_one(pattern) || pair.is_sewn_each_by_itself(pattern))
}

/// Two edges that meet where two pieces are joined, in the order in which the new outline passes them.
struct EdgePair<'a> {
    first: &'a Edge,
    second: &'a Edge,
    names: [EdgeRef; 2],
    mirrored: Mirrored,
}

impl EdgePair<'_> {
    fn of(sides: &BothSides, end: WalkEnd) -> EdgePair<'_> {
        let pair = continued_at(sides, end);
        let side = |part: usize| -> &SeamSide { if part == 0 { &sides.base } else { &sides.other } };
        let edge = |(part, id): (usize, EdgeId)| side(part).piece.edge(id);
        let name = |(part, id): (usize, EdgeId)| {
            let side = side(part);
            EdgeRef { copy: side.copy, ..side.piece.edge_ref(id) }
        };
        EdgePair {
            first: edge(pair[0]),
            second: edge(pair[1]),
            names: pair.map(name),
            mirrored: sides.mirrored,
        }
    }

    fn is_finished_alike(&self) -> bool {
        are_finished_alike(self.first, self.second)
    }

    fn is_sewn_as_one(&self, pattern: &Pattern) -> bool {
        sewn_as_one(pattern, &self.names[0], &self.names[1], self.mirrored)
    }

    /// Whether each is alone on its side of every seam that holds it, and both are in as many.
    fn is_sewn_each_by_itself(&self, pattern: &Pattern) -> bool {
        let [first, second] = self.names.each_ref().map(|edge| seams_alone(pattern, edge));
        first.is_some() && first == second
    }
}

/// Whether two edges are cut and finished alike, so that they may be one.
pub(crate) fn are_finished_alike(one: &Edge, other: &Edge) -> bool {
    one.finish == other.finish
        && one.allowance == other.allowance
        && one.selvedge == other.selvedge
        && one.open == other.open
        && one.lap == other.lap
}

/// How many seams hold an edge, where it is alone on its side of each.
fn seams_alone(pattern: &Pattern, edge: &EdgeRef) -> Option<usize> {
    let alone = |id: &SeamId| {
        let seam = pattern.seam(*id);
        let holding = [&seam.first, &seam.second].into_iter().filter(|run| run.holds(edge));
        holding.map(|run| run.edges().len()).max() == Some(1)
    };
    let seams: Vec<SeamId> = pattern.seams_of(edge).collect();
    seams.iter().all(alone).then_some(seams.len())
}

/// Whether two edges of one piece, clockwise, may become one: neither is sewn, every seam of one names the other next to
/// it, or each is alone on its side of the one seam that holds it.
pub(crate) fn are_sewn_alike(pattern: &Pattern, first: &EdgeRef, second: &EdgeRef) -> bool {
    let each_in_one = || [first, second].into_iter().all(|edge| seams_alone(pattern, edge) == Some(1));
    sewn_as_one(pattern, first, second, Mirrored::No) || each_in_one()
}

/// Whether neither of two edges is sewn, or every seam of one names the other next to it.
pub(crate) fn sewn_as_one(pattern: &Pattern, first: &EdgeRef, second: &EdgeRef, mirrored: Mirrored) -> bool {
    let mut of_first = pattern.seams_of(first).peekable();
    let mut of_second = pattern.seams_of(second).peekable();
    if of_first.peek().is_none() && of_second.peek().is_none() {
        return true;
    }
    if mirrored == Mirrored::Yes {
        return false;
    }
    let follows = |id| {
        let seam = pattern.seam(id);
        follow_one_another(&seam.first, first, second) || follow_one_another(&seam.second, first, second)
    };
    of_first.all(follows) && of_second.all(follows)
}

fn follow_one_another(run: &Run, first: &EdgeRef, second: &EdgeRef) -> bool {
    run.edges().windows(2).any(|pair| {
        let is = |at: usize, edge: &EdgeRef, travel| pair[at].edge == *edge && pair[at].travel == travel;
        (is(0, first, Travel::Clockwise) && is(1, second, Travel::Clockwise))
            || (is(0, second, Travel::Anticlockwise) && is(1, first, Travel::Anticlockwise))
    })
}

/// Whether one seam begins where another ends, on both sides.
pub(crate) fn goes_on_in(pattern: &Pattern, seam: &Seam, next: &Seam) -> bool {
    Side::BOTH.into_iter().all(|side| {
        let (last, first) = (seam.side(side).first_and_last().1, next.side(side).first_and_last().0);
        let is_one_piece = (&last.edge.piece, last.edge.copy) == (&first.edge.piece, first.edge.copy);
        let Some((piece, last_id)) = pattern.find_on_piece(&last.edge) else { return false };
        let Some(first_id) = piece.find_edge(&first.edge.edge) else { return false };
        let (from, to) = match last.travel {
            Travel::Clockwise => (last_id, first_id),
            Travel::Anticlockwise => (first_id, last_id),
        };
        is_one_piece && last.travel == first.travel && piece.next(from) == to
    })
}

/// Seams that go on in one another, in their order, as one; none of none.
pub(crate) fn seams_in_one(seams: &[&Seam]) -> Option<Seam> {
    let joined = |side: Side| {
        Run::new(seams.iter().flat_map(|seam| seam.side(side).edges().iter().cloned()).collect())
    };
    let ease = seams.iter().map(|seam| seam.ease.mm()).sum();
    Some(Seam { first: joined(Side::First)?, second: joined(Side::Second)?, ease: Length::from_mm(ease) })
}
