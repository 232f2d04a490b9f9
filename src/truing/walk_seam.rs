//! Walking a seam: one seamline laid along the other from their matched starts.

use crate::pattern::{
    CornerShape, EdgeEnd, EdgeId, EdgeRef, EdgeTip, Finish, Pattern, Piece, Refusal, Run, RunNotch, Seam,
    SeamId, Side, Walk,
};
use crate::truing::meeting::{Meetings, angle_at, beyond, ends_together};
use crate::truing::partner::{LeftOver, LostPartner, match_notches};
use crate::truing::{Meeting, NotchPair};
use crate::units::Length;

/// Both seamlines of a seam, walked from their matched starts.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamWalk {
    /// The seam.
    pub seam: SeamId,
    /// What it is called: `front.side + back.side`.
    pub name: String,
    /// Sewn lengths of the two sides, net of darts.
    pub lengths: (Length, Length),
    /// By how much the first side is declared to be longer than the second.
    pub ease: Length,
    /// By how much the first side is longer than the second and the ease; zero where the seam is true.
    pub difference: Length,
    /// The marks that meet, in the order in which they are walked.
    pub pairs: Vec<NotchPair>,
    /// The notches that meet none.
    pub unmatched: Vec<UnmatchedNotch>,
    /// What is brought together at the start and at the end; none where the side's corner cannot be found.
    pub ends: Vec<SeamEnd>,
    /// The allowance along each side, by edge, in the order of the walk. A free edge, bound or lapped over the other
    /// side, has none to match and is left out.
    pub allowances: (Allowances, Allowances),
}

/// The allowance of each edge of a side.
pub type Allowances = Vec<(EdgeRef, Length)>;

/// A notch that meets none on the other side.
#[derive(Clone, Debug, PartialEq)]
pub struct UnmatchedNotch {
    /// The side it stands on.
    pub side: Side,
    /// The notch.
    pub notch: RunNotch,
    /// How far it lies from the nearest joint of two edges on the other side that no notch meets.
    pub off_joint: Option<Length>,
    /// Where its partner may be all the same.
    pub partner: LostPartner,
}

/// The two corners that an end of a seam brings together.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEnd {
    /// The edges of the seam that end there, on the first and the second side.
    pub sewn: (EdgeRef, EdgeRef),
    /// The edges beyond the end, on the first and the second side.
    pub beyond: (EdgeRef, EdgeRef),
    /// The interior angles of the two corners, degrees.
    pub angles: (f64, f64),
    /// What the two edges are to each other.
    pub meeting: Meeting,
    /// How far the line that they are sewn to turns beside them, degrees; none where nothing runs on beside them.
    pub beside: Option<f64>,
    /// Whether a turn is meant there.
    pub wanted: Wanted,
}

/// How a line is meant to run on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Without a turn.
    Smooth,
    /// To a point: the corner of a piece there is set so.
    Point,
}

impl SeamEnd {
    /// How far the edges beyond turn where they meet across the seam, degrees; zero where they run straight on.
    #[must_use]
    pub fn kink(&self) -> f64 {
        180.0 - self.angles.0 - self.angles.1
    }
}

/// Walks a seam.
///
/// # Errors
///
/// Refuses an edge that does not exist.
pub fn walk_seam(pattern: &Pattern, seam: SeamId) -> Result<SeamWalk, Refusal> {
    walk_one(pattern, &Meetings::of(pattern), seam)
}

/// Walks every seam, in their order.
///
/// # Errors
///
/// Refuses an edge that does not exist.
pub fn walk_seams(pattern: &Pattern) -> Result<Vec<SeamWalk>, Refusal> {
    each_walk(pattern).map(|(_, walk)| walk).collect()
}

/// Each seam with its walk.
pub(super) fn each_walk(pattern: &Pattern) -> impl Iterator<Item = (SeamId, Result<SeamWalk, Refusal>)> + '_ {
    let meetings = Meetings::of(pattern);
    pattern.seam_ids().map(move |seam| (seam, walk_one(pattern, &meetings, seam)))
}

fn walk_one(pattern: &Pattern, meetings: &Meetings, id: SeamId) -> Result<SeamWalk, Refusal> {
    let seam = pattern.seam(id);
    let (first, second) = (Walk::of(pattern, &seam.first)?, Walk::of(pattern, &seam.second)?);
    let matched = match_notches(&first, &second, seam.ease);
    Ok(SeamWalk {
        seam: id,
        name: seam.name(),
        lengths: (Length::from_mm(first.length()), Length::from_mm(second.length())),
        ease: seam.ease,
        difference: Length::from_mm(first.length() - second.length() - seam.ease.mm()),
        pairs: matched.pairs,
        unmatched: matched
            .unmatched
            .into_iter()
            .map(|LeftOver { side, notch, off_joint, partner }| UnmatchedNotch {
                side,
                notch,
                off_joint: off_joint.map(Length::from_mm),
                partner,
            })
            .collect(),
        ends: ends(pattern, meetings, seam),
        allowances: (allowances(pattern, &seam.first), allowances(pattern, &seam.second)),
    })
}

fn ends(pattern: &Pattern, meetings: &Meetings, seam: &Seam) -> Vec<SeamEnd> {
    ends_together(seam).filter_map(|(one, other)| end(pattern, meetings, (seam, &one, &other))).collect()
}

fn end(
    pattern: &Pattern,
    meetings: &Meetings,
    (seam, one, other): (&Seam, &EdgeTip, &EdgeTip),
) -> Option<SeamEnd> {
    let (first, _) = beyond(pattern, one)?;
    let (second, _) = beyond(pattern, other)?;
    let beside = meetings.turn_beside(pattern, (&first, &second), (seam, (one, other)));
    Some(SeamEnd {
        angles: (angle_at(pattern, one)?, angle_at(pattern, other)?),
        beside,
        wanted: wanted(pattern, one, other),
        meeting: meetings.of_tips(pattern, (&first, &second), beside),
        sewn: (one.0.clone(), other.0.clone()),
        beyond: (first.0, second.0),
    })
}

/// A point is meant where the corner on either side of the seam is set so.
fn wanted(pattern: &Pattern, one: &EdgeTip, other: &EdgeTip) -> Wanted {
    let is_point = |tip: &EdgeTip| {
        let Ok((piece, id)) = pattern.edge(&tip.0) else { return false };
        comes_to_point(piece, id, tip.1) == Wanted::Point
    };
    if is_point(one) || is_point(other) { Wanted::Point } else { Wanted::Smooth }
}

/// How the line at a corner of a piece is meant to run on across one of the two edges.
pub(super) fn comes_to_point(piece: &Piece, id: EdgeId, end: EdgeEnd) -> Wanted {
    match piece.set_corner(id, piece.beside(id, end)) {
        Some(CornerShape::Point) => Wanted::Point,
        _ => Wanted::Smooth,
    }
}

fn allowances(pattern: &Pattern, run: &Run) -> Allowances {
    let allowance = |edge: &EdgeRef| {
        let found = pattern.find_edge(edge).filter(|found| found.finish != Finish::Free)?;
        Some((edge.clone(), found.cut_allowance()))
    };
    run.edges().iter().filter_map(|run| allowance(&run.edge)).collect()
}
