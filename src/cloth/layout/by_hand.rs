//! A layout changed by hand: a copy is moved or turned, and settles where it may lie.

use crate::cloth::layout::laid::Wishes;
use crate::cloth::layout::task::HeldWishes;
use crate::cloth::layout::{Laid, LaidCopy, LayError, LayTask};
use crate::cloth::search::{ByHand, Goal, Pose, Problem};

/// The copies of a task as a hand moves them.
#[derive(Clone, Debug)]
pub struct LayoutByHand {
    problem: Problem,
    hand: ByHand,
}

/// What a hand that turns a copy turns it to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HandTurn {
    /// It stays.
    None,
    /// The next turn that the cloth allows.
    Next,
}

impl LayoutByHand {
    /// The copies of a task. What was wished of stripes holds no hand: how they meet is measured.
    ///
    /// # Errors
    ///
    /// As [`LayTask::of`].
    pub fn of(task: &LayTask<'_>) -> Result<LayoutByHand, LayError> {
        let problem = task.problem(HeldWishes::NONE, Goal::Fits)?.problem;
        let hand = ByHand::new(&problem)?;
        Ok(LayoutByHand { problem, hand })
    }

    /// Where a copy lies.
    #[must_use]
    pub fn pose(&self, task: &LayTask<'_>, lying: &LaidCopy) -> Pose {
        let to_cloth = task.copies[lying.copy].cut.from_sheet().inverse().then(&lying.motion);
        let [a, b, _, _, x, y] = to_cloth.to_array();
        let degrees = b.atan2(a).to_degrees();
        let off = |turn: f64| ((degrees - turn + 180.0).rem_euclid(360.0) - 180.0).abs();
        let turns = self.problem.items[lying.copy].turns.iter().map(|turn| off(turn.degrees)).enumerate();
        let turn = turns.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(turn, _)| turn);
        Pose { sheet: lying.ground, turn, degrees, x, y }
    }

    /// How many turns the cloth allows a copy.
    #[must_use]
    pub fn turns(&self, copy: usize) -> usize {
        self.problem.items[copy].turns.len()
    }

    /// A pose turned about the middle of its copy.
    #[must_use]
    pub fn turned(&self, task: &LayTask<'_>, copy: usize, pose: Pose, by: HandTurn) -> Pose {
        let turns = &self.problem.items[copy].turns;
        let turn = match by {
            HandTurn::None => return pose,
            HandTurn::Next => (pose.turn + 1) % turns.len(),
        };
        let middle = |pose: &Pose| kurbo::Shape::bounding_box(&task.lying(copy, pose).path(task)).center();
        let turned = Pose { turn, degrees: turns[turn].degrees, ..pose };
        let off = middle(&pose) - middle(&turned);
        Pose { x: turned.x + off.x, y: turned.y + off.y, ..turned }
    }

    /// The legal place of a copy that is nearest to a wanted one, while the others lie as they do; none where it has none on
    /// that ground at that turn.
    #[must_use]
    pub fn settle(&self, poses: &[Pose], copy: usize, wanted: Pose) -> Option<Pose> {
        self.hand.settle(poses, copy, wanted)
    }
}

impl LayTask<'_> {
    /// A layout by where each copy lies, checked as one that was searched for.
    ///
    /// # Errors
    ///
    /// A rule is broken: [`LayError::Unsound`].
    pub fn laid_by_hand(&self, poses: &[Pose]) -> Result<Laid, LayError> {
        let lying = poses.iter().enumerate().map(|(copy, pose)| self.lying(copy, pose));
        self.measured(self.checked(lying.collect(), 0)?)
    }

    /// The same while a copy is in the hand: what is used and what meets, with nothing checked yet.
    ///
    /// # Errors
    ///
    /// A copy whose piece or cloth is not there.
    pub fn under_hand(&self, poses: &[Pose]) -> Result<Laid, LayError> {
        let lying = poses.iter().enumerate().map(|(copy, pose)| self.lying(copy, pose));
        self.measured(self.unchecked(lying.collect(), 0))
    }

    fn measured(&self, mut laid: Laid) -> Result<Laid, LayError> {
        laid.matches = self.matches(&laid.lying, Wishes::ByHand)?;
        laid.levels = self.levels_met(&laid.lying, Wishes::ByHand)?;
        Ok(laid)
    }

    /// Where a copy lies that was put by hand.
    #[must_use]
    pub fn copy_at(&self, copy: usize, pose: &Pose) -> LaidCopy {
        self.lying(copy, pose)
    }
}
