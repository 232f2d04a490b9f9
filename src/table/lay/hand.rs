//! A copy on the cloth in the hand.

use kurbo::{Point, Rect, Shape};
use serde::{Deserialize, Serialize};

use crate::cloth::layout::{HandTurn, LayTask};
use crate::cloth::search::Pose;
use crate::table::lay::kept::LaidOut;
use crate::table::lay::run::refused;
use crate::table::lay::seen::{CopySeen, Fineness, copy_seen, to_table, told};
use crate::table::said::{Refused, Remark};

/// What a hand that holds a copy does.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CopyInHand {
    copy: usize,
    /// Where it would have its middle, mm on the table.
    at: [f64; 2],
    turn: HandTurn,
}

/// Where a copy would settle, and what would come of that.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct SettledSeen {
    copy: CopySeen,
    told: Vec<Remark>,
}

impl CopyInHand {
    /// Where it would settle.
    pub(super) fn tried(&self, laid_out: &LaidOut, grounds: &[Rect]) -> Result<SettledSeen, Refused> {
        let task = laid_out.task().map_err(|error| refused(&error))?;
        let poses = self.settled_on(&task, laid_out, grounds)?;
        let laid = task.under_hand(&poses).map_err(|error| refused(&error))?;
        let turns = laid_out.hand.turns(self.copy);
        let copy = copy_seen(&task, &laid.lying[self.copy], (grounds, turns), Fineness::Whole);
        let copy = copy.ok_or_else(gone)?;
        Ok(SettledSeen { copy, told: told(&task, &laid, laid_out.unit()) })
    }

    /// The layout with the copy where it settles.
    pub(super) fn kept(&self, laid_out: &LaidOut, grounds: &[Rect]) -> Result<LaidOut, Refused> {
        let poses = {
            let task = laid_out.task().map_err(|error| refused(&error))?;
            self.settled_on(&task, laid_out, grounds)?
        };
        laid_out.moved(poses).map_err(|error| refused(&error))
    }

    fn settled_on(
        &self,
        task: &LayTask<'_>,
        laid_out: &LaidOut,
        grounds: &[Rect],
    ) -> Result<Vec<Pose>, Refused> {
        let mut poses = laid_out.poses.clone();
        let pose = *poses.get(self.copy).ok_or_else(gone)?;
        let turned = laid_out.hand.turned(task, self.copy, pose, self.turn);
        let [x, y] = self.at;
        if !(x.is_finite() && y.is_finite()) {
            return Err(gone());
        }
        let under = ground_under(task, (self.copy, turned.sheet), grounds, Point::new(x, y));
        let at = Point::new(x, y) - to_table(task, under, *grounds.get(under).ok_or_else(gone)?);
        let middle = task.copy_at(self.copy, &turned).path(task).bounding_box().center();
        let off = at - middle;
        let wanted = Pose { sheet: under, x: turned.x + off.x, y: turned.y + off.y, ..turned };
        let settled = laid_out.hand.settle(&poses, self.copy, wanted);
        poses[self.copy] = settled.ok_or_else(|| {
            let what = format!("there is no room for {} there", task.copies[self.copy]);
            Refused::plain(what, "move others out of the way first")
        })?;
        Ok(poses)
    }
}

/// The ground of its cloth that a place is on or nearest to.
fn ground_under(task: &LayTask<'_>, (copy, own): (usize, usize), grounds: &[Rect], at: Point) -> usize {
    let cloth = &task.copies[copy].cloth;
    let away = |ground: &Rect| {
        let across = (ground.x0 - at.x).max(at.x - ground.x1).max(0.0);
        across.hypot((ground.y0 - at.y).max(at.y - ground.y1).max(0.0))
    };
    let same = grounds.iter().enumerate().zip(&task.grounds).filter(|(_, ground)| ground.cloth == *cloth);
    let nearest = same.map(|((place, ground), _)| (place, away(ground)));
    nearest.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(own, |(place, _)| place)
}

fn gone() -> Refused {
    Refused::plain("this copy is not on the cloth any more", "look again")
}
