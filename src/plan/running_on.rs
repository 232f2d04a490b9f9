//! Seams that end at a joint, as a bodice's at the waist: where one beyond ends close by, the two run on as one, or miss each
//! other.

use crate::pattern::{Copy, EdgeRef, On, Pattern, Run, Seam, Seen, Walk, WalkPoint, seen};
use crate::plan::view::UprightPiece;
use crate::tolerance::{SEAMS_APART, SEAMS_RUN_ON};

/// Two seams that end on either side of a joint and miss each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Missed {
    /// An edge of the joint that the one ends at.
    pub at: EdgeRef,
    /// The edge beyond that the other ends at.
    pub beyond: EdgeRef,
    /// How far apart they end, mm.
    pub by: f64,
}

/// How seams meet others, and folds of darts, at the joints of a pattern. What two darts do is not seen far.
#[derive(Clone, Debug, Default)]
pub(super) struct AtJoints {
    /// How many run on as one.
    pub(super) run_on: usize,
    pub(super) missed: Vec<Missed>,
}

impl AtJoints {
    pub(super) fn of(pattern: &Pattern) -> AtJoints {
        let mut found = AtJoints::default();
        for seam in pattern.seams().iter().filter(|seam| is_joint(pattern, seam)) {
            let walks = (Walk::of(pattern, &seam.first), Walk::of(pattern, &seam.second));
            let (Ok(first), Ok(second)) = walks else { continue };
            let share = first.length() / second.length();
            let (ends, beyond) = (first.joints(), second.joints());
            let beyond: Vec<f64> = beyond.into_iter().map(|at| at * share).collect();
            for end in &ends {
                let Some(other) = nearest(&beyond, *end) else { continue };
                let by = (other - end).abs();
                let any_is_seam = is_seam(&first, *end) || is_seam(&second, other / share);
                if nearest(&ends, other) != Some(*end) || by > SEAMS_APART || !any_is_seam {
                    continue;
                }
                if by <= SEAMS_RUN_ON {
                    found.run_on += 1;
                } else if let (Some(at), Some(there)) = (first.at(*end), second.at(other / share)) {
                    found.missed.push(Missed {
                        at: at.piece.edge_ref(at.edge),
                        beyond: there.piece.edge_ref(there.edge),
                        by,
                    });
                }
            }
        }
        found
    }

    /// What misses that did not miss before by as much.
    pub(super) fn newly_missed(self, before: &AtJoints) -> Vec<Missed> {
        let mut old: Vec<f64> = before.missed.iter().map(|missed| missed.by).collect();
        let mut missed = self.missed;
        missed.retain(|one| match old.iter().position(|by| (by - one.by).abs() < SAME_MISS) {
            Some(place) => {
                old.swap_remove(place);
                false
            }
            None => true,
        });
        missed
    }
}

/// How far apart two seams may miss each other before and after a recut and still be the same two, mm.
const SAME_MISS: f64 = 0.5;

/// Where a seam that would end at a place runs on into one that ends beyond, if there is one close by; else that place.
pub(super) fn running_on(pattern: &Pattern, view: &UprightPiece<'_>, on: On) -> On {
    let own = view.piece.edge_ref(on.edge);
    let onto = |(run, beyond): (&Run, &Run)| -> Option<On> {
        let (own_walk, other) = (Walk::of(pattern, run).ok()?, Walk::of(pattern, beyond).ok()?);
        let share = own_walk.length() / other.length();
        let beyond: Vec<f64> = other.joints().into_iter().map(|at| at * share).collect();
        let here = own_walk.distance_of(&own, on.at)?;
        let there = nearest(&beyond, here).filter(|there| (there - here).abs() <= SEAMS_APART)?;
        let point = own_walk.at(there)?;
        let is_own = point.piece.name() == view.piece.name() && point.copy == Copy::Drawn;
        (is_own && point.edge == on.edge).then_some(On { edge: point.edge, at: point.at })
    };
    let joints = pattern.seams().iter().filter(|seam| is_joint(pattern, seam));
    let sides = joints.flat_map(|seam| [(&seam.first, &seam.second), (&seam.second, &seam.first)]);
    sides.filter(|(run, _)| run.holds(&own)).find_map(onto).unwrap_or(on)
}

/// Whether a seam joins pieces that are seen, on either side of it.
fn is_joint(pattern: &Pattern, seam: &Seam) -> bool {
    let layered = seam.first.edges()[0].travel == seam.second.edges()[0].travel;
    let is_seen =
        |edge: &EdgeRef| pattern.find(&edge.piece).is_some_and(|piece| seen(pattern, piece) != Seen::Hidden);
    !layered && !seam.is_to_own_mirror() && seam.edges().all(|run| is_seen(&run.edge))
}

/// Whether two edges meet at a joint of a run, and not the two sides of a folded dart.
fn is_seam(walk: &Walk<'_>, joint: f64) -> bool {
    let (before, after) = (walk.before(joint - AT_JOINT), walk.at(joint + AT_JOINT));
    let edge = |point: WalkPoint<'_>| (point.piece.name().clone(), point.edge, point.copy);
    before.map(edge) != after.map(edge)
}

/// How far from a joint it is looked at which edges meet there, mm.
const AT_JOINT: f64 = 1e-3;

fn nearest(places: &[f64], at: f64) -> Option<f64> {
    places.iter().copied().min_by(|a, b| (a - at).abs().total_cmp(&(b - at).abs()))
}
