//! Which edges become one where two pieces are joined.

use crate::pattern::{EdgeId, EdgeRef, Run, Travel};
use crate::recut::Work;
use crate::recut::seam_side::{BothSides, Mirrored, SeamSide};

/// An end of the seam at which two pieces are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum JointEnd {
    /// Where the walk starts: the new outline comes from the base and goes on along the other piece.
    Start,
    /// Where it ends: the new outline comes from the other piece and goes on along the base.
    End,
}

/// The two edges that meet at an end of the seam, in the order in which the new outline passes them, each with its part:
/// 0 for the base, 1 for the other piece.
pub(super) fn continued_at(sides: &BothSides, end: JointEnd) -> [(usize, EdgeId); 2] {
    let (base, other) = (sides.base.neighbours(), sides.other.neighbours());
    match end {
        JointEnd::Start => [(0, base.0), (1, other.0)],
        JointEnd::End => [(1, other.1), (0, base.1)],
    }
}

/// Whether the two edges that meet at an end of the seam may become one: they are alike, and every seam that names one
/// names the other next to it, or neither is sewn.
pub(super) fn goes_on_in_seams(work: &Work, sides: &BothSides, end: JointEnd) -> bool {
    let pair = continued_at(sides, end);
    let side = |part: usize| -> &SeamSide { if part == 0 { &sides.base } else { &sides.other } };
    let edge = |(part, id): (usize, EdgeId)| side(part).piece.edge(id);
    let (first, second) = (edge(pair[0]), edge(pair[1]));
    let alike = first.name == second.name
        && first.finish == second.finish
        && first.allowance == second.allowance
        && first.selvedge == second.selvedge;
    let name = |(part, id): (usize, EdgeId)| {
        let side = side(part);
        EdgeRef { copy: side.copy, ..side.piece.edge_ref(id) }
    };
    alike && sewn_as_one(work, &name(pair[0]), &name(pair[1]), sides.mirrored)
}

fn sewn_as_one(work: &Work, first: &EdgeRef, second: &EdgeRef, mirrored: Mirrored) -> bool {
    let pattern = &work.pattern;
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
