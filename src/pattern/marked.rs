//! What is marked along the two sides of a seam, and how far apart it lies.

use crate::pattern::{NotchCount, Pattern, Refusal, Run, Walk};

/// What a notch without a partner counts for, as a share of the seam.
const NOTCH_WITHOUT_PARTNER: f64 = 0.5;

/// What is marked along a run, as shares of its length: notches, and joints between its edges, which may answer a notch.
pub(super) struct MarksOnRun {
    notches: Vec<(f64, NotchCount)>,
    joints: Vec<f64>,
}

impl MarksOnRun {
    pub(super) fn of(pattern: &Pattern, run: &Run) -> Result<MarksOnRun, Refusal> {
        let walk = Walk::of(pattern, run)?;
        let length = walk.length();
        Ok(MarksOnRun {
            notches: walk.notches().into_iter().map(|notch| (notch.at / length, notch.count)).collect(),
            joints: walk.joints().into_iter().map(|at| at / length).collect(),
        })
    }
}

/// How far the notches of two runs lie apart when their starts meet, as shares of the seam.
pub(super) fn notches_apart(a: &MarksOnRun, b: &MarksOnRun) -> f64 {
    let to_partner = |(at, count): &(f64, NotchCount), other: &MarksOnRun| {
        let notches = other.notches.iter().filter(|(_, same)| same == count).map(|(at, _)| at);
        notches.chain(&other.joints).map(|other| (other - at).abs()).fold(NOTCH_WITHOUT_PARTNER, f64::min)
    };
    let one_way = |from: &MarksOnRun, to: &MarksOnRun| -> f64 {
        from.notches.iter().map(|notch| to_partner(notch, to)).sum()
    };
    one_way(a, b) + one_way(b, a)
}

/// How many notches of the first run meet one of the second, nearer than a share of the seam, when their starts meet.
pub(super) fn notches_meeting(a: &MarksOnRun, b: &MarksOnRun, nearer_than: f64) -> usize {
    let meets = |(at, count): &&(f64, NotchCount)| {
        b.notches.iter().any(|(other, same)| same == count && (other - at).abs() < nearer_than)
    };
    a.notches.iter().filter(meets).count()
}
