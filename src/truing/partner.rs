//! Which marks of two seamlines meet when the seam is walked.

use crate::pattern::{NotchCount, RunNotch, Side, Walk};
use crate::tolerance::{CHECKED_LENGTH, PARTNER_REACH, SAME_LENGTH};
use crate::units::Length;

/// A mark on a run that meets its partner on the other: a notch, or the joint of two edges of the run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunMark {
    /// Walk distance from the start of the run.
    pub at: Length,
    /// The notch; none for a joint.
    pub notch: Option<RunNotch>,
}

/// Two marks that meet.
#[derive(Clone, Debug, PartialEq)]
pub struct NotchPair {
    /// On the first side.
    pub first: RunMark,
    /// On the second side.
    pub second: RunMark,
    /// How much further along its run the first stands. On an eased seam that is the ease taken up so far.
    pub drift: Length,
}

/// The marks of both sides of a seam.
#[derive(Clone, Debug)]
pub(super) struct Matched {
    /// The pairs, in the order of the first side.
    pub pairs: Vec<NotchPair>,
    /// The notches that have none, in the order of their sides.
    pub unmatched: Vec<LeftOver>,
}

/// A notch that meets none.
#[derive(Clone, Debug)]
pub(super) struct LeftOver {
    pub side: Side,
    pub notch: RunNotch,
    /// How far it lies from the nearest joint of the other side that no notch meets.
    pub off_joint: Option<f64>,
    pub partner: LostPartner,
}

/// Where the partner of a notch that meets none may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LostPartner {
    /// Nowhere.
    Nowhere,
    /// It may be one of the other side that is taken to meet a joint beside which it stands: however far off a notch is drawn,
    /// it comes near some joint.
    BesideJoint,
}

/// A notch that looks for its partner.
#[derive(Clone, Debug)]
struct Seeker {
    notch: RunNotch,
    /// Walk distance as a place on the first side, so that both sides can be compared.
    place: f64,
    taken: bool,
}

/// Pairs the notches of two walks.
///
/// Single notches meet single ones and double ones double ones. Of a side that has more, those that stand nearer to a joint
/// between two edges of the other run than to any notch meet the joint. The rest meet in order where both sides have as
/// many, else each the nearest that has no nearer itself. A notch left over may meet a joint as well. None meet over more
/// than [`PARTNER_REACH`], on an eased seam the ease added.
pub(super) fn match_notches(first: &Walk<'_>, second: &Walk<'_>, ease: Length) -> Matched {
    let share = if second.length() > 0.0 { first.length() / second.length() } else { 1.0 };
    let share = if ease == Length::ZERO { 1.0 } else { share };
    let reach = PARTNER_REACH + ease.mm().abs();
    let (mut mine, mut theirs) = (seekers(first, 1.0), seekers(second, share));
    let mut pairs = Vec::new();
    for count in [NotchCount::Single, NotchCount::Double] {
        let with_joints = at_joints(&mut mine, &theirs, count, (second, share), reach);
        pairs.extend(with_joints.into_iter().map(|(mark, joint)| pair(mark, joint)));
        let with_joints = at_joints(&mut theirs, &mine, count, (first, 1.0), reach);
        pairs.extend(with_joints.into_iter().map(|(mark, joint)| pair(joint, mark)));
        pairs.extend(pairs_of_count(&mut mine, &mut theirs, count, reach));
    }
    let (met, my_doubtful) = left_at_joints(&mut mine, (second, share), reach);
    pairs.extend(met.into_iter().map(|(mark, joint)| pair(mark, joint)));
    let (met, their_doubtful) = left_at_joints(&mut theirs, (first, 1.0), reach);
    pairs.extend(met.into_iter().map(|(mark, joint)| pair(joint, mark)));
    pairs.sort_by(|a, b| a.first.at.mm().total_cmp(&b.first.at.mm()));
    let (my_joints, their_joints) = (joints_left(first, &pairs, 1.0), joints_left(second, &pairs, share));
    let left = |seekers: Vec<Seeker>, side, joints: Vec<f64>, doubtful: Vec<NotchCount>| {
        let left = seekers.into_iter().filter(|seeker| !seeker.taken);
        left.map(move |seeker| LeftOver {
            side,
            off_joint: joints.iter().map(|joint| (joint - seeker.place).abs()).min_by(f64::total_cmp),
            partner: match doubtful.contains(&seeker.notch.count) {
                true => LostPartner::BesideJoint,
                false => LostPartner::Nowhere,
            },
            notch: seeker.notch,
        })
    };
    let mine = left(mine, Side::First, their_joints, their_doubtful);
    let unmatched = mine.chain(left(theirs, Side::Second, my_joints, my_doubtful)).collect();
    Matched { pairs, unmatched }
}

/// The joints of a run that no notch meets, as places on the first side.
fn joints_left(walk: &Walk<'_>, pairs: &[NotchPair], share: f64) -> Vec<f64> {
    let marks = || pairs.iter().flat_map(|pair| [&pair.first, &pair.second]);
    let is_met =
        |at: f64| marks().any(|mark| mark.notch.is_none() && (mark.at.mm() - at).abs() <= SAME_LENGTH);
    edge_joints(walk).into_iter().filter(|at| !is_met(*at)).map(|at| at * share).collect()
}

fn seekers(walk: &Walk<'_>, share: f64) -> Vec<Seeker> {
    let seeker = |notch: RunNotch| Seeker { place: notch.at * share, notch, taken: false };
    walk.notches().into_iter().map(seeker).collect()
}

/// The notches that one side has more than the other and that stand at its joints, each with its joint. So a notch drawn so
/// far off that it stands beside the shoulder does not take the shoulder's.
fn at_joints(
    own: &mut [Seeker],
    others: &[Seeker],
    count: NotchCount,
    (walk, share): (&Walk<'_>, f64),
    reach: f64,
) -> Vec<(RunMark, RunMark)> {
    let free = |seeker: &&Seeker| seeker.notch.count == count && !seeker.taken;
    let places: Vec<f64> = others.iter().filter(free).map(|seeker| seeker.place).collect();
    let more = own.iter().filter(free).count().saturating_sub(places.len());
    let off = |seeker: &Seeker, joint: &RunMark| (joint.at.mm() * share - seeker.place).abs();
    let mut standing: Vec<(f64, &mut Seeker, RunMark)> = own
        .iter_mut()
        .filter(|seeker| free(&&**seeker))
        .filter_map(|seeker| {
            let joint = nearest_joint(walk, share, seeker.place, reach)?;
            let to_notch = nearest(&places, seeker.place).map(|i| (places[i] - seeker.place).abs());
            let off = off(seeker, &joint);
            to_notch.is_none_or(|to_notch| off <= to_notch).then_some((off, seeker, joint))
        })
        .collect();
    standing.sort_by(|a, b| a.0.total_cmp(&b.0));
    standing
        .into_iter()
        .take(more)
        .map(|(_, seeker, joint)| {
            seeker.taken = true;
            (mark(seeker), joint)
        })
        .collect()
}

/// The notches left over that meet a joint of the other run, each with its joint; and of what count those are that only stand
/// beside theirs.
fn left_at_joints(
    own: &mut [Seeker],
    (walk, share): (&Walk<'_>, f64),
    reach: f64,
) -> (Vec<(RunMark, RunMark)>, Vec<NotchCount>) {
    let (mut met, mut beside) = (Vec::new(), Vec::new());
    for seeker in own.iter_mut().filter(|seeker| !seeker.taken) {
        let Some(joint) = nearest_joint(walk, share, seeker.place, reach) else { continue };
        seeker.taken = true;
        if (joint.at.mm() * share - seeker.place).abs() > CHECKED_LENGTH {
            beside.push(seeker.notch.count);
        }
        met.push((mark(seeker), joint));
    }
    (met, beside)
}

fn pairs_of_count(
    mine: &mut [Seeker],
    theirs: &mut [Seeker],
    count: NotchCount,
    reach: f64,
) -> Vec<NotchPair> {
    let free = |seeker: &&mut Seeker| seeker.notch.count == count && !seeker.taken;
    let mut mine: Vec<&mut Seeker> = mine.iter_mut().filter(free).collect();
    let mut theirs: Vec<&mut Seeker> = theirs.iter_mut().filter(free).collect();
    let places = |seekers: &[&mut Seeker]| seekers.iter().map(|seeker| seeker.place).collect::<Vec<_>>();
    let (my_places, their_places) = (places(&mine), places(&theirs));
    let mut pairs = Vec::new();
    for (i, j) in meetings(&my_places, &their_places) {
        if (my_places[i] - their_places[j]).abs() <= reach {
            (mine[i].taken, theirs[j].taken) = (true, true);
            pairs.push(pair(mark(mine[i]), mark(theirs[j])));
        }
    }
    pairs
}

/// Which of two sorted rows of places meet: in order where they are as many, else each with the nearest that has no
/// nearer itself.
fn meetings(mine: &[f64], theirs: &[f64]) -> Vec<(usize, usize)> {
    if mine.len() == theirs.len() {
        return (0..mine.len()).map(|i| (i, i)).collect();
    }
    let mutual = |i: usize| {
        let j = nearest(theirs, mine[i])?;
        (nearest(mine, theirs[j]) == Some(i)).then_some((i, j))
    };
    (0..mine.len()).filter_map(mutual).collect()
}

/// The nearest of a sorted row of places.
fn nearest(places: &[f64], to: f64) -> Option<usize> {
    let after = places.partition_point(|place| *place < to);
    let near = after.saturating_sub(1)..(after + 1).min(places.len());
    near.min_by(|a, b| (places[*a] - to).abs().total_cmp(&(places[*b] - to).abs()))
}

fn nearest_joint(walk: &Walk<'_>, share: f64, place: f64, reach: f64) -> Option<RunMark> {
    let joints = edge_joints(walk);
    let at = joints.into_iter().min_by(|a, b| {
        let off = |at: f64| (at * share - place).abs();
        off(*a).total_cmp(&off(*b))
    })?;
    ((at * share - place).abs() <= reach).then_some(RunMark { at: Length::from_mm(at), notch: None })
}

/// The walk distances at which one edge of a run meets the next.
fn edge_joints(walk: &Walk<'_>) -> Vec<f64> {
    let edges_differ = |at: &f64| match (walk.before(*at), walk.at(*at)) {
        (Some(before), Some(after)) => {
            before.edge != after.edge
                || before.copy != after.copy
                || before.piece.name() != after.piece.name()
        }
        _ => false,
    };
    walk.joints().into_iter().filter(edges_differ).collect()
}

fn mark(seeker: &Seeker) -> RunMark {
    RunMark { at: Length::from_mm(seeker.notch.at), notch: Some(seeker.notch.clone()) }
}

fn pair(first: RunMark, second: RunMark) -> NotchPair {
    let drift = Length::from_mm(first.at.mm() - second.at.mm());
    NotchPair { first, second, drift }
}
