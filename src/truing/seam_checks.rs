//! Checks of seams: lengths, notches, allowances, and edges that run on across their ends.

use rustc_hash::FxHashSet;

use crate::pattern::{
    EdgeEnd, EdgeName, EdgeRef, Finish, Joins, NotchCount, NotchName, Pattern, PieceName, RunNotch, Seam,
    Side, Unsewn, has_wrong_ends,
};
use crate::tolerance::SAME_CUT;
use crate::truing::LostPartner;
use crate::truing::meeting::{beyond, is_faced, run_end, run_start};
use crate::truing::mended::{smoothed_across, trued};
use crate::truing::opening_checks::is_all_open;
use crate::truing::sewn_corner::RunJoints;
use crate::truing::walk_seam::each_walk;
use crate::truing::{
    Finding, FindingKind, Limits, Meeting, NotchPair, SeamEnd, SeamWalk, UnmatchedNotch, Wanted, Weight,
};
use crate::units::Length;

/// A notch by its edge on the drawn copy and its name.
type NotchKey = (EdgeRef, NotchName);

/// All that is not true of the seams of a pattern.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    check_sewn(pattern, found);
    check_ways(pattern, found);
    let mut walks = Vec::new();
    for (seam, walk) in each_walk(pattern) {
        match walk {
            Ok(walk) => walks.push(walk),
            Err(_) => found.push(Finding::of_unwalked(pattern.seam(seam).name())),
        }
    }
    let joints = RunJoints::of(pattern);
    for walk in &walks {
        if !is_all_open(pattern, pattern.seam(walk.seam)) {
            check_length(pattern, walk, limits, found);
        }
        check_notches(walk, limits, found);
        check_allowances(walk, limits, found);
        check_ends(pattern, &joints, walk, limits, found);
    }
    check_partners(pattern, &walks, limits, found);
}

/// An edge of finish `seam` is sewn to another, or is said to be sewn to nothing here. One that a step added, as at the side of an
/// extension, waits for what goes on from the other side of its seam.
fn check_sewn(pattern: &Pattern, found: &mut Vec<Finding>) {
    let runs = pattern.seams().iter().flat_map(Seam::edges);
    let sewn: FxHashSet<(&PieceName, &EdgeName)> =
        runs.map(|run| (&run.edge.piece, &run.edge.edge)).collect();
    for piece in pattern.pieces() {
        let seams = piece.edges().iter().filter(|edge| edge.finish == Finish::Seam);
        let forgotten = seams.filter(|edge| edge.unsewn == Unsewn::Forgotten);
        for edge in forgotten.filter(|edge| !sewn.contains(&(piece.name(), &edge.name))) {
            let at = EdgeRef::new(piece.name().clone(), edge.name.clone());
            let weight = if pattern.is_new_edge(&at) { Weight::Warning } else { Weight::Untrue };
            found.push(Finding::of_count(FindingKind::SewnToNothing, at.to_string(), 0, 1, weight));
        }
    }
}

/// The neighbouring seams and the notches agree with which ends of a seam are together. An edge sewn to its own mirrored
/// copy meets itself.
fn check_ways(pattern: &Pattern, found: &mut Vec<Finding>) {
    let joins = Joins::of(pattern.seams());
    for seam in pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror()) {
        if has_wrong_ends(pattern, &joins, seam).unwrap_or(false) {
            let at = seam.name();
            found.push(Finding::of_count(FindingKind::WrongEnds, at, 0, 1, Weight::Untrue));
        }
    }
}

fn check_length(pattern: &Pattern, walk: &SeamWalk, limits: &Limits, found: &mut Vec<Finding>) {
    let difference = walk.difference.mm();
    if difference.abs() > limits.length.mm() {
        let at = walk.name.clone();
        let finding = Finding::of_length(FindingKind::SeamLength, at, difference, limits.length);
        found.push(finding.mended_by(trued(pattern, walk)));
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
        let at = match (&pair.first.notch, &pair.second.notch) {
            (Some(first), Some(second)) => place_of_both(first, second),
            _ => place_of(notch),
        };
        found.push(Finding::of_length(FindingKind::NotchDrift, at, drift, limits.notch));
    }
}

fn place_of_both(first: &RunNotch, second: &RunNotch) -> String {
    format!("{}, {}", place_of(first), place_of(second))
}

fn place_of(notch: &RunNotch) -> String {
    format!("{}.{} on {}", notch.edge.piece, notch.name, notch.edge)
}

/// A notch must have a partner in one of the layers in which its edge is sewn. One that has none belongs to one that is
/// left over on the other side of a seam, however far apart, even where that meets others in other layers.
fn check_partners(pattern: &Pattern, walks: &[SeamWalk], limits: &Limits, found: &mut Vec<Finding>) {
    let marks = walks.iter().flat_map(|walk| &walk.pairs).flat_map(|pair| [&pair.first, &pair.second]);
    let mut settled: FxHashSet<NotchKey> = marks.filter_map(|mark| mark.notch.as_ref().map(key)).collect();
    let at_ends = walks.iter().flat_map(|walk| {
        walk.unmatched.iter().filter(move |unmatched| meets_beyond(pattern, walk, unmatched))
    });
    settled.extend(at_ends.map(|unmatched| key(&unmatched.notch)));
    for walk in walks {
        for (first, second) in far_apart(walk, &settled) {
            let at = place_of_both(first, second);
            let drift = beyond_ease(first.at - second.at, walk.ease.mm());
            found.push(Finding::of_length(FindingKind::NotchDrift, at, drift, limits.notch));
            settled.extend([key(first), key(second)]);
        }
    }
    for walk in walks {
        if let Some((notch, off)) = off_its_joint(walk, &settled) {
            let drift = beyond_ease(off.mm(), walk.ease.mm().abs());
            found.push(Finding::of_length(FindingKind::NotchDrift, place_of(notch), drift, limits.notch));
            settled.insert(key(notch));
        }
    }
    for unmatched in walks.iter().flat_map(|walk| &walk.unmatched) {
        if settled.insert(key(&unmatched.notch)) {
            let at = place_of(&unmatched.notch);
            let kind = FindingKind::NotchWithoutPartner;
            let weight = match unmatched.partner {
                LostPartner::Nowhere => Weight::Warning,
                // It may be off by more than is not true: never told more mildly.
                LostPartner::BesideJoint => Weight::Untrue,
            };
            found.push(Finding::of_count(kind, at, 0, 1, weight));
        }
    }
}

/// Whether a notch at the end of a seam meets one that stands, at the corner that comes to lie on it, on the edge beyond the
/// seam: where two edges meet a notch is one of both.
fn meets_beyond(
    pattern: &Pattern,
    walk: &SeamWalk,
    UnmatchedNotch { side, notch, .. }: &UnmatchedNotch,
) -> bool {
    let other = pattern.seam(walk.seam).side(side.other());
    let length = if *side == Side::First { walk.lengths.0 } else { walk.lengths.1 };
    let tip = match notch.at {
        at if at <= SAME_CUT => run_start(other),
        at if at >= length.mm() - SAME_CUT => run_end(other),
        _ => return false,
    };
    let Some(((edge, end), _)) = tip.and_then(|tip| beyond(pattern, &tip)) else { return false };
    let Some((piece, id)) = pattern.find_on_piece(&edge) else { return false };
    let at = if end == EdgeEnd::First { 0.0 } else { piece.edge(id).curve.length() };
    piece.notches.iter().any(|other| {
        other.edge == edge.edge && other.count == notch.count && (other.at - at).abs() <= SAME_CUT
    })
}

/// The notches of one count that are left over on both sides of a seam, in the order of the walk, where at least one meets
/// none in any layer.
fn far_apart<'a>(walk: &'a SeamWalk, settled: &FxHashSet<NotchKey>) -> Vec<(&'a RunNotch, &'a RunNotch)> {
    let left = |side: Side, count: NotchCount| {
        let of_side = walk.unmatched.iter().filter(move |unmatched| unmatched.side == side);
        let notches = of_side.map(|UnmatchedNotch { notch, .. }| notch);
        notches.filter(move |notch| notch.count == count)
    };
    let is_alone =
        |pair: &(&RunNotch, &RunNotch)| !settled.contains(&key(pair.0)) || !settled.contains(&key(pair.1));
    let pairs = [NotchCount::Single, NotchCount::Double]
        .into_iter()
        .flat_map(|count| left(Side::First, count).zip(left(Side::Second, count)));
    pairs.filter(is_alone).collect()
}

/// The one notch of a seam that meets nothing, where the other side has a joint that nothing meets, as the shoulder on a
/// neckline: that is its partner, however far.
fn off_its_joint<'a>(walk: &'a SeamWalk, settled: &FxHashSet<NotchKey>) -> Option<(&'a RunNotch, Length)> {
    let mut alone = walk.unmatched.iter().filter(|unmatched| !settled.contains(&key(&unmatched.notch)));
    match (alone.next(), alone.next()) {
        (Some(UnmatchedNotch { notch, off_joint, .. }), None) => Some((notch, (*off_joint)?)),
        _ => None,
    }
}

/// By how much the first side of an eased seam is ahead of the second, or behind, beyond what the ease allows, mm.
pub(super) fn beyond_ease(ahead: f64, ease: f64) -> f64 {
    (ahead - ahead.clamp(ease.min(0.0), ease.max(0.0))).abs()
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

/// Edges that run on across the end of a seam do so without a turn. Where the other end is a corner that is turned out, or the
/// one piece is a facing made of the other, it comes to lie on the other: then the two corners may as well be alike. Where the edges are
/// sewn on to a corner of another piece, as to a pointed yoke, they fit when they turn as it does. A corner that is set to
/// come to a point is left alone, whatever it turns.
fn check_ends(
    pattern: &Pattern,
    joints: &RunJoints<'_>,
    walk: &SeamWalk,
    limits: &Limits,
    found: &mut Vec<Finding>,
) {
    let turned_out = walk.ends.iter().any(|end| end.meeting == Meeting::Closed);
    let runs_on = |end: &&SeamEnd| end.meeting == Meeting::Continue && end.wanted == Wanted::Smooth;
    for end in walk.ends.iter().filter(runs_on) {
        let alike = (end.angles.0 - end.angles.1).abs();
        let lies_on_it = turned_out || is_faced(pattern, [&end.beyond.0, &end.beyond.1]);
        let kink = if lies_on_it { end.kink().abs().min(alike) } else { end.kink().abs() };
        if kink <= limits.kink_degrees {
            continue;
        }
        let beside = end.beside.or_else(|| joints.turn_beside(&end.beyond));
        let beside = beside.filter(|turn| (end.kink() + turn).abs() < kink);
        let degrees = beside.map_or(kink, |turn| (end.kink() + turn).abs());
        if degrees <= limits.kink_degrees {
            continue;
        }
        let own = beside.and_then(|turn| own_line(end, turn, limits));
        let at = match &own {
            Some((one, other)) => format!("{one} and {other}"),
            None => format!("{} and {} across {}", end.beyond.0, end.beyond.1, walk.name),
        };
        let finding = Finding::of_angle(FindingKind::Kink, at, degrees, limits.kink_degrees, Weight::Untrue);
        let finding =
            if own.is_none() { finding.mended_by(smoothed_across(pattern, walk, end)) } else { finding };
        let finding = if beside.is_some() { finding.beside_what_is_sewn() } else { finding };
        // Where two seams end on one line, both find it.
        if !found.iter().any(|known| known.kind == finding.kind && known.at == finding.at) {
            found.push(finding);
        }
    }
}

/// The line of one piece that runs on past the end of a seam and turns there, its two edges in the order of their names; none
/// where the edges beyond the end are what runs on, or the line of the piece is smooth. It runs on where it turns less than both
/// the edges beyond and what these are sewn to: those are corners that fit each other.
///
/// ```text
///   bodice front │ bodice back        the seams of the waist end at the side seam: what turns there
///   ─────────────┴────────────        is the waist of the skirt, not its waist and the side
///        skirt, cut in one
/// ```
fn own_line<'a>(end: &'a SeamEnd, beside: f64, limits: &Limits) -> Option<(&'a EdgeRef, &'a EdgeRef)> {
    let turn = |angle: f64| (180.0 - angle).abs();
    let sides =
        [(&end.sewn.0, &end.beyond.0, turn(end.angles.0)), (&end.sewn.1, &end.beyond.1, turn(end.angles.1))];
    let (sewn, beyond, turn) = sides.into_iter().min_by(|a, b| a.2.total_cmp(&b.2))?;
    let is_line = turn < end.kink().abs().min(beside.abs()) && turn > limits.kink_degrees;
    is_line.then(|| if sewn.edge <= beyond.edge { (sewn, beyond) } else { (beyond, sewn) })
}
