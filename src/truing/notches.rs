//! Which notches of the two sides of a seam belong together.

use serde::Serialize;

use super::walk_seam::SeamSides;
use crate::pattern::{NotchCount, RunNotch, Side};
use crate::tolerance::{JOINT_AS_NOTCH, NOTCH_REACH, SAME_LENGTH};
use crate::units::Length;

/// A notch and what it must meet on the other side of the seam.
#[derive(Clone, Debug, PartialEq)]
pub struct NotchPair {
    /// What stands on the first side.
    pub first: Partner,
    /// What stands on the second.
    pub second: Partner,
}

/// What one side of a pair is.
#[derive(Clone, Debug, PartialEq)]
pub enum Partner {
    /// A notch.
    Notch(RunNotch),
    /// No notch, but a seam or a folded dart that the notch of the other side meets, or the end of the seam: its walk
    /// distance.
    Joint(f64),
}

impl Partner {
    /// Walk distance from the start of the seam.
    #[must_use]
    pub fn at(&self) -> f64 {
        match self {
            Partner::Notch(notch) => notch.at,
            Partner::Joint(at) => *at,
        }
    }

    /// The notch, if it is one.
    #[must_use]
    pub fn notch(&self) -> Option<&RunNotch> {
        match self {
            Partner::Notch(notch) => Some(notch),
            Partner::Joint(_) => None,
        }
    }
}

impl NotchPair {
    /// By how much farther from the start the first stands than the second. On an eased seam that is the ease sewn in
    /// up to here.
    #[must_use]
    pub fn apart(&self) -> Length {
        Length::from_mm(self.first.at() - self.second.at())
    }

    /// Whether one is a single and the other a double notch.
    #[must_use]
    pub fn counts_differ(&self) -> bool {
        match (&self.first, &self.second) {
            (Partner::Notch(a), Partner::Notch(b)) => a.count != b.count,
            _ => false,
        }
    }

    /// The names of its notches: `front.n1 and back.n1`.
    #[must_use]
    pub fn names(&self) -> String {
        let names: Vec<String> =
            [&self.first, &self.second].iter().filter_map(|side| side.notch()).map(notch_name).collect();
        names.join(" and ")
    }
}

/// A notch as it is named on the sheet: `front.n1`.
pub(super) fn notch_name(notch: &RunNotch) -> String {
    format!("{}.{}", notch.edge.piece, notch.name)
}

/// A notch without a partner.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LoneNotch {
    /// The side it stands on.
    #[serde(skip)]
    pub side: Side,
    /// The notch, as it is named on the sheet.
    pub name: String,
    /// Walk distance from the start of the seam.
    pub at: Length,
}

/// Cost of pairing notches of which one is single and one double: less than leaving both alone, more than any drift
/// that may be meant.
const COUNTS_DIFFER: f64 = NOTCH_REACH;

/// Cost of taking a joint for the partner, so that a notch in its place comes first.
const JOINT: f64 = 1.0;

/// How much of a difference in share of the seam's length decides between pairs that the ease allows alike.
const SHARE_DECIDES: f64 = 1e-3;

/// Pairs the marks of the two sides in order: as many notches as can be, with the least drift.
///
/// The least total cost over all ways to lay the two sequences side by side, where a pair costs its drift beyond what
/// the ease allows and a notch left alone costs [`NOTCH_REACH`].
pub(super) fn pair(sides: &SeamSides<'_>) -> (Vec<NotchPair>, Vec<(Side, RunNotch)>) {
    let (first, second) = (marks(&sides.first), marks(&sides.second));
    let (rows, columns) = (first.len() + 1, second.len() + 1);
    let mut cost = vec![f64::INFINITY; rows * columns];
    let mut step = vec![Step::Start; rows * columns];
    cost[0] = 0.0;
    for i in 0..rows {
        for j in 0..columns {
            let ways = [
                (i > 0 && j > 0).then(|| (cost[(i - 1) * columns + j - 1], Step::Both)),
                (i > 0).then(|| (cost[(i - 1) * columns + j] + alone(&first[i - 1]), Step::First)),
                (j > 0).then(|| (cost[i * columns + j - 1] + alone(&second[j - 1]), Step::Second)),
            ];
            for (reached, way) in ways.into_iter().flatten() {
                let reached = match way {
                    Step::Both => reached + together(sides, &first[i - 1], &second[j - 1]),
                    _ => reached,
                };
                if reached < cost[i * columns + j] {
                    cost[i * columns + j] = reached;
                    step[i * columns + j] = way;
                }
            }
        }
    }
    trace(&first, &second, &step)
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Start,
    Both,
    First,
    Second,
}

fn trace(first: &[Partner], second: &[Partner], step: &[Step]) -> (Vec<NotchPair>, Vec<(Side, RunNotch)>) {
    let (mut pairs, mut lone) = (Vec::new(), Vec::new());
    let (mut i, mut j) = (first.len(), second.len());
    loop {
        match step[i * (second.len() + 1) + j] {
            Step::Start => break,
            Step::Both => {
                (i, j) = (i - 1, j - 1);
                pairs.push(NotchPair { first: first[i].clone(), second: second[j].clone() });
            }
            Step::First => {
                i -= 1;
                lone.extend(first[i].notch().map(|notch| (Side::First, notch.clone())));
            }
            Step::Second => {
                j -= 1;
                lone.extend(second[j].notch().map(|notch| (Side::Second, notch.clone())));
            }
        }
    }
    pairs.reverse();
    lone.reverse();
    (pairs, lone)
}

/// The notches of a side and the joints that a notch may meet, in order.
fn marks(walk: &crate::pattern::Walk<'_>) -> Vec<Partner> {
    let mut marks: Vec<Partner> = walk.notches().into_iter().map(Partner::Notch).collect();
    marks.extend([0.0, walk.length()].map(Partner::Joint));
    marks.extend(walk.joints().into_iter().map(Partner::Joint));
    marks.sort_by(|a, b| a.at().total_cmp(&b.at()));
    marks
}

fn alone(mark: &Partner) -> f64 {
    mark.notch().map_or(0.0, |_| NOTCH_REACH)
}

fn together(sides: &SeamSides<'_>, first: &Partner, second: &Partner) -> f64 {
    let apart = first.at() - second.at();
    let (least, most) = (sides.ease.min(0.0), sides.ease.max(0.0));
    let beyond = (least - apart).max(apart - most).max(0.0);
    let length = sides.second.length().max(SAME_LENGTH);
    let share = sides.first.length().max(SAME_LENGTH) / length;
    let tie = SHARE_DECIDES * (first.at() - second.at() * share).abs();
    match (first, second) {
        (Partner::Notch(a), Partner::Notch(b)) => {
            beyond + tie + if same_count(a.count, b.count) { 0.0 } else { COUNTS_DIFFER }
        }
        (Partner::Joint(_), Partner::Joint(_)) => f64::INFINITY,
        _ if beyond <= JOINT_AS_NOTCH => JOINT + beyond + tie,
        _ => f64::INFINITY,
    }
}

fn same_count(a: NotchCount, b: NotchCount) -> bool {
    a == b
}
