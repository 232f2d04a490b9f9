//! Corners that come together at the end of a seam: whether their neighbouring edges run on into each other, and how
//! far from straight they do.

use serde::Serialize;

use super::seam_index::{EdgeTip, RunJoint, SeamIndex, SewnOn, entered_at, left_at};
use crate::curve::Vec2;
use crate::pattern::{EdgeEnd, EdgeId, EdgeRef, Finish, Piece, Walk};
use crate::tolerance::{CORNER_IN_EDGE, MEETING_CORNER, SAME_LENGTH};

/// A corner at the end of a seam's side.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CornerAngle {
    /// The edge that meets the seam there.
    pub neighbour: EdgeRef,
    /// The angle inside the piece, degrees; nothing where a dart opens at the corner.
    pub angle: Option<f64>,
}

/// Whether the neighbours of a seam run on into each other at one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Meeting {
    /// They do: both are hems, both are free, or they are sewn on one after the other.
    RunOn,
    /// They do not.
    Apart,
}

/// The angle inside the piece where an edge begins or ends, degrees; nothing where a dart opens at the corner.
pub(super) fn angle_at(tip: &EdgeTip<'_>) -> Option<f64> {
    let neighbour = tip.neighbour();
    let (arriving, leaving) = match tip.end {
        EdgeEnd::First => (neighbour.edge, tip.edge),
        EdgeEnd::Last => (tip.edge, neighbour.edge),
    };
    corner_angle(tip.piece, arriving, leaving)
}

/// The angle inside the piece between an edge and the next, degrees; nothing where a dart opens at the corner.
pub(super) fn corner_angle(piece: &Piece, arriving: EdgeId, leaving: EdgeId) -> Option<f64> {
    let (before, after) = (piece.edge(arriving), piece.edge(leaving));
    let opens_at_end = piece
        .mouths_on(&before.name)
        .last()
        .is_some_and(|(_, m)| m.to >= before.curve.length() - SAME_LENGTH);
    let opens_at_start = piece.mouths_on(&after.name).first().is_some_and(|(_, m)| m.from <= SAME_LENGTH);
    (!opens_at_end && !opens_at_start)
        .then(|| 180.0 - degrees_between(before.curve.end_tangent(), after.curve.start_tangent()))
}

/// The turn from one direction to another, degrees within −180 to 180, positive clockwise as seen.
pub(super) fn degrees_between(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to)).to_degrees()
}

/// The meeting at an end of a seam, and the kink in the edge that runs on across it: degrees by which the two angles
/// together are less than straight.
pub(super) fn meeting<'a>(
    index: &SeamIndex<'a>,
    first: &EdgeTip<'a>,
    second: &EdgeTip<'a>,
) -> (Meeting, Option<f64>) {
    if first.vertex() == second.vertex() {
        return (Meeting::Apart, None);
    }
    let (a, b) = (first.neighbour(), second.neighbour());
    let joint = match (a.finish(), b.finish()) {
        (Finish::Hem, Finish::Hem) | (Finish::Free, Finish::Free) => None,
        (Finish::Seam, Finish::Seam) => match index.sewn_on(&a, &b) {
            SewnOn::InRun(joint) => Some(joint),
            SewnOn::ToMeetingEdges => None,
            SewnOn::No => return (Meeting::Apart, None),
        },
        _ => return (Meeting::Apart, None),
    };
    let kink = angle_at(first).zip(angle_at(second)).map(|(a, b)| 180.0 - a - b);
    let kink = kink.map(|kink| match joint.and_then(|joint| corner_beside(index, joint)) {
        Some(other) if kink.to_radians().abs() > CORNER_IN_EDGE => kink + 180.0 - other,
        _ => kink,
    });
    (Meeting::RunOn, kink)
}

/// The angle of the corner on the other side of a seam that is sewn to a joint of this side, if there is one.
fn corner_beside(index: &SeamIndex<'_>, joint: RunJoint) -> Option<f64> {
    let seam = index.pattern.seam(joint.seam);
    let own = Walk::of(index.pattern, seam.side(joint.side)).ok()?;
    let run = seam.side(joint.side).edges().get(joint.after)?;
    let (piece, id) = index.pattern.edge(&run.edge).ok()?;
    let at = match entered_at(run.travel) {
        EdgeEnd::First => 0.0,
        EdgeEnd::Last => piece.edge(id).curve.length(),
    };
    let at = own.distance_of(&run.edge, at)?;
    let other = Walk::of(index.pattern, seam.side(joint.side.other())).ok()?;
    let excess = own.length() - other.length();
    let (low, high) = ((at - excess).min(at) - MEETING_CORNER, (at - excess).max(at) + MEETING_CORNER);
    let corners = corners_of_run(index, joint, &other);
    let near = corners.into_iter().filter(|(distance, _)| (low..=high).contains(distance));
    near.max_by(|a, b| (a.1 - 180.0).abs().total_cmp(&(b.1 - 180.0).abs())).map(|(_, angle)| angle)
}

/// Corners within pieces that the other side of a seam passes: walk distance, and angle inside the piece.
fn corners_of_run(index: &SeamIndex<'_>, joint: RunJoint, walk: &Walk<'_>) -> Vec<(f64, f64)> {
    let run = index.pattern.seam(joint.seam).side(joint.side.other()).edges();
    let mut corners = Vec::new();
    for (i, run_edge) in run.iter().enumerate() {
        let Ok((piece, id)) = index.pattern.edge(&run_edge.edge) else { continue };
        for bend in piece.edge(id).curve.joints() {
            if bend.turn.abs() > CORNER_IN_EDGE {
                let distance = walk.distance_of(&run_edge.edge, bend.at);
                corners.extend(distance.map(|distance| (distance, 180.0 - bend.turn.to_degrees())));
            }
        }
        let Some(next) = run.get(i + 1) else { continue };
        let same_copy = next.edge.piece == run_edge.edge.piece && next.edge.copy == run_edge.edge.copy;
        let Some(next_id) = piece.find_edge(&next.edge.edge).filter(|_| same_copy) else { continue };
        let (arriving, leaving, at) = match left_at(run_edge.travel) {
            EdgeEnd::Last => (id, next_id, piece.edge(id).curve.length()),
            EdgeEnd::First => (next_id, id, 0.0),
        };
        if piece.next(arriving) == leaving {
            let found = walk.distance_of(&run_edge.edge, at).zip(corner_angle(piece, arriving, leaving));
            corners.extend(found);
        }
    }
    corners
}
