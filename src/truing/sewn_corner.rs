//! Corners of another piece into which two edges are sewn where they meet.

use rustc_hash::FxHashMap;

use crate::pattern::{EdgeEnd, EdgeRef, Pattern, Run, RunEdge, Seam, SeamId, Side, Walk};
use crate::tolerance::{CORNER_IN_EDGE, MEETING_CORNER};
use crate::truing::meeting::corner_angle;

/// The joints at which one edge of a run follows another, built once for a pattern.
pub(super) struct RunJoints<'a> {
    pattern: &'a Pattern,
    joints: FxHashMap<(EdgeRef, EdgeRef), (SeamId, Side, &'a RunEdge)>,
}

impl<'a> RunJoints<'a> {
    /// The joints of all seams, on the drawn and on the mirrored copies.
    pub(super) fn of(pattern: &'a Pattern) -> RunJoints<'a> {
        let mut joints = FxHashMap::default();
        for id in pattern.seam_ids() {
            for side in Side::BOTH {
                for pair in pattern.seam(id).side(side).edges().windows(2) {
                    let (before, after) = (&pair[0].edge, &pair[1].edge);
                    let joint = (id, side, &pair[1]);
                    joints.insert((before.clone(), after.clone()), joint);
                    joints.insert((before.mirrored(), after.mirrored()), joint);
                }
            }
        }
        RunJoints { pattern, joints }
    }

    /// How far the line turns that two edges are sewn to at the joint between them, degrees, seen from their own side;
    /// nothing where they do not follow one another in a run, or the line is smooth there.
    ///
    /// ```text
    ///      yoke
    ///   ────\  /────
    ///     a  \/  b
    ///         │
    /// ```
    pub(super) fn turn_beside(&self, (one, other): &(EdgeRef, EdgeRef)) -> Option<f64> {
        let ahead = self.joints.get(&(one.clone(), other.clone()));
        let (seam, side, after) = ahead.or_else(|| self.joints.get(&(other.clone(), one.clone())))?;
        turn_at(self.pattern, self.pattern.seam(*seam), *side, after)
    }
}

fn turn_at(pattern: &Pattern, seam: &Seam, side: Side, after: &RunEdge) -> Option<f64> {
    let own = Walk::of(pattern, seam.side(side)).ok()?;
    let (piece, id) = pattern.find_on_piece(&after.edge)?;
    let at = match after.travel.enters_at() {
        EdgeEnd::First => 0.0,
        EdgeEnd::Last => piece.edge(id).curve.length(),
    };
    let at = own.distance_of(&after.edge, at)?;
    let beside = seam.side(side.other());
    let walk = Walk::of(pattern, beside).ok()?;
    let excess = own.length() - walk.length();
    let reach = (at - excess).min(at) - MEETING_CORNER..=(at - excess).max(at) + MEETING_CORNER;
    let near = corners(pattern, beside, &walk).into_iter().filter(|(distance, _)| reach.contains(distance));
    near.map(|(_, turn)| turn).max_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// The corners within pieces that a run passes: walk distance, and how far the piece's outline turns, degrees.
fn corners(pattern: &Pattern, run: &Run, walk: &Walk<'_>) -> Vec<(f64, f64)> {
    let mut corners = Vec::new();
    for (i, run_edge) in run.edges().iter().enumerate() {
        let Ok((piece, id)) = pattern.edge(&run_edge.edge) else { continue };
        let bends = piece.edge(id).curve.joints();
        for bend in bends.iter().filter(|bend| bend.turn.abs() > CORNER_IN_EDGE) {
            let at = walk.distance_of(&run_edge.edge, bend.at);
            corners.extend(at.map(|at| (at, bend.turn.to_degrees())));
        }
        let Some(next) = run.edges().get(i + 1) else { continue };
        let end = run_edge.travel.leaves_at();
        let neighbour = piece.beside(id, end);
        let at = if end == EdgeEnd::First { 0.0 } else { piece.edge(id).curve.length() };
        let same_piece = next.edge.piece == run_edge.edge.piece && next.edge.copy == run_edge.edge.copy;
        if same_piece && piece.find_edge(&next.edge.edge) == Some(neighbour) {
            let turn = 180.0 - corner_angle(piece, id, end);
            corners.extend(walk.distance_of(&run_edge.edge, at).map(|at| (at, turn)));
        }
    }
    corners
}
