//! Checks of seams: lengths, notches, allowances, and edges that run on across their ends.

use std::collections::HashSet;

use crate::pattern::{EdgeRef, NotchName, Pattern, RunNotch};
use crate::truing::piece_checks::weight_at_centre;
use crate::truing::sewn_corner::RunJoints;
use crate::truing::walk_seam::each_walk;
use crate::truing::{Finding, FindingKind, Limits, Meeting, NotchPair, SeamWalk, Weight};
use crate::units::Length;

/// A notch by its edge on the drawn copy and its name.
type NotchKey = (EdgeRef, NotchName);

/// All that is not true of the seams of a pattern.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let mut walks = Vec::new();
    for (seam, walk) in each_walk(pattern) {
        match walk {
            Ok(walk) => walks.push(walk),
            Err(_) => found.push(Finding::of_unwalked(pattern.seam(seam).name())),
        }
    }
    let joints = RunJoints::of(pattern);
    for walk in &walks {
        check_length(walk, limits, found);
        check_notches(walk, limits, found);
        check_allowances(walk, limits, found);
        check_ends(&joints, walk, limits, found);
    }
    check_partners(&walks, found);
}

fn check_length(walk: &SeamWalk, limits: &Limits, found: &mut Vec<Finding>) {
    let difference = walk.difference.mm();
    if difference.abs() > limits.length.mm() {
        let at = walk.name.clone();
        found.push(Finding::of_length(FindingKind::SeamLength, at, difference, limits.length));
    }
}

/// On a plain seam partners stand at equal walk distances. On an eased one every stretch between them takes up ease of
/// zero or more, so what a stretch lacks is the drift of the notch it ends at.
fn check_notches(walk: &SeamWalk, limits: &Limits, found: &mut Vec<Finding>) {
    if walk.ease == Length::ZERO {
        for pair in &walk.pairs {
            push_drift(pair, pair.drift.mm().abs(), limits, found);
        }
        return;
    }
    let way = walk.ease.mm().signum();
    let mut eased = 0.0;
    for pair in &walk.pairs {
        let taken_up = pair.drift.mm() * way;
        push_drift(pair, eased - taken_up, limits, found);
        eased = taken_up;
    }
    if let Some(last) = walk.pairs.last() {
        push_drift(last, eased - (walk.lengths.0.mm() - walk.lengths.1.mm()) * way, limits, found);
    }
}

fn push_drift(pair: &NotchPair, drift: f64, limits: &Limits, found: &mut Vec<Finding>) {
    let notch = pair.first.notch.as_ref().or(pair.second.notch.as_ref());
    if let Some(notch) = notch.filter(|_| drift > limits.notch.mm()) {
        found.push(Finding::of_length(FindingKind::NotchDrift, place_of(notch), drift, limits.notch));
    }
}

fn place_of(notch: &RunNotch) -> String {
    format!("{}.{} on {}", notch.edge.piece, notch.name, notch.edge)
}

/// A notch must have a partner in one of the layers in which its edge is sewn.
fn check_partners(walks: &[SeamWalk], found: &mut Vec<Finding>) {
    let marks = walks.iter().flat_map(|walk| &walk.pairs).flat_map(|pair| [&pair.first, &pair.second]);
    let mut settled: HashSet<NotchKey> = marks.filter_map(|mark| mark.notch.as_ref().map(key)).collect();
    for unmatched in walks.iter().flat_map(|walk| &walk.unmatched) {
        if settled.insert(key(&unmatched.notch)) {
            found.push(Finding::of_count(
                FindingKind::NotchWithoutPartner,
                place_of(&unmatched.notch),
                0,
                1,
                Weight::Warning,
            ));
        }
    }
}

fn key(notch: &RunNotch) -> NotchKey {
    (EdgeRef::new(notch.edge.piece.clone(), notch.edge.edge.clone()), notch.name.clone())
}

fn check_allowances(walk: &SeamWalk, limits: &Limits, found: &mut Vec<Finding>) {
    let all = || walk.allowances.0.iter().chain(&walk.allowances.1).map(|(_, allowance)| allowance.mm());
    let (least, most) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    if most - least > limits.length.mm() {
        let at = walk.name.clone();
        found.push(Finding::of_length(FindingKind::AllowanceDiffers, at, most - least, limits.length));
    }
}

/// Edges that run on across the end of a seam do so without a turn. Where the other end is a corner that is turned out,
/// one piece comes to lie on the other, as a facing does: then the two corners may as well be alike. Where the edges are
/// sewn on to a corner of another piece, as to a pointed yoke, they fit when they turn as it does.
fn check_ends(joints: &RunJoints<'_>, walk: &SeamWalk, limits: &Limits, found: &mut Vec<Finding>) {
    let turned_out = walk.ends.iter().any(|end| end.meeting == Meeting::Closed);
    for end in walk.ends.iter().filter(|end| end.meeting == Meeting::Continue) {
        let alike = (end.angles.0 - end.angles.1).abs();
        let kink = if turned_out { end.kink().abs().min(alike) } else { end.kink().abs() };
        let fits = || joints.turn_beside(&end.beyond).map(|turn| (end.kink() + turn).abs());
        if kink > limits.kink_degrees && fits().is_none_or(|off| off > limits.kink_degrees) {
            let own_mirror = end.beyond.0 == end.beyond.1.mirrored();
            let weight = if own_mirror { weight_at_centre(kink) } else { Weight::Untrue };
            let at = format!("{} and {} across {}", end.beyond.0, end.beyond.1, walk.name);
            found.push(Finding::of_angle(FindingKind::Kink, at, kink, limits.kink_degrees, weight));
        }
    }
}
