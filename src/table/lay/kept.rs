//! The layout that lies on the cloth, and how it is kept so that a hand can go on with it later.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::cloth::layout::{Laid, LayError, LayTask, LayoutByHand, PieceCopy};
use crate::cloth::picture;
use crate::cloth::search::Pose;
use crate::cloth::{GrainChoice, Stock};
use crate::sheet::Sheet;
use crate::table::basis::{Basis, MadeOf};
use crate::table::chosen::{FormSaid, chosen};
use crate::table::lay::choices::AllLayChoices;
use crate::table::on_table;
use crate::tolerance::LAID_OVER;
use crate::units::Unit;

/// The layouts of a table.
#[derive(Default)]
pub(in crate::table) struct Layouts {
    pub(super) now: Option<Arc<LaidOut>>,
    /// Those before it of the same search, the last last.
    pub(super) before: Vec<Arc<LaidOut>>,
    /// How often another came to lie there: who changes one says which.
    pub(super) number: u64,
    /// Whether that of a table that was ended was looked for.
    pub(super) is_looked_for: bool,
}

/// What a layout is of, and what was chosen for it.
pub(in crate::table) struct LayoutBasis {
    pub(super) sheet: Sheet,
    pub(super) stock: Arc<Stock>,
    pub(super) said: FormSaid,
    pub(super) unit: Unit,
    /// What it is of.
    pub(super) of: Basis,
    pub(super) choices: AllLayChoices,
}

/// A layout on the cloth.
pub(in crate::table) struct LaidOut {
    on: Arc<LayoutBasis>,
    /// Where each copy lies, in the order of the task.
    pub(super) poses: Vec<Pose>,
    pub(super) laid: Laid,
    /// The copies made ready for a hand, once for all layouts of one search.
    pub(super) hand: Arc<LayoutByHand>,
}

/// A layout as it is kept beside the undo: where each copy lies, by its name.
#[derive(Serialize, Deserialize)]
pub(in crate::table) struct KeptLayout {
    of: Basis,
    said: FormSaid,
    lying: Vec<KeptCopy>,
}

#[derive(Serialize, Deserialize)]
struct KeptCopy {
    copy: String,
    ground: String,
    turn: usize,
    degrees: f64,
    at: [f64; 2],
}

impl LaidOut {
    /// What a search found.
    pub(super) fn found(on: &Arc<LayoutBasis>, task: &LayTask<'_>, laid: Laid) -> Result<LaidOut, LayError> {
        let hand = Arc::new(LayoutByHand::of(task)?);
        let poses = laid.lying.iter().map(|lying| hand.pose(task, lying)).collect();
        Ok(LaidOut { on: Arc::clone(on), poses, laid, hand })
    }

    /// The same pieces otherwise, by hand; checked as a layout that was searched for.
    pub(super) fn moved(&self, poses: Vec<Pose>) -> Result<LaidOut, LayError> {
        let laid = self.task()?.laid_by_hand(&poses)?;
        Ok(LaidOut { on: Arc::clone(&self.on), hand: Arc::clone(&self.hand), poses, laid })
    }

    pub(super) fn task(&self) -> Result<LayTask<'_>, LayError> {
        self.on.task()
    }

    pub(super) fn unit(&self) -> Unit {
        self.on.unit
    }

    /// What it is of.
    pub(super) fn of(&self) -> Basis {
        self.on.of
    }

    /// Whether one was moved out of the other by hand.
    pub(super) fn is_of_one_search(&self, other: &LaidOut) -> bool {
        Arc::ptr_eq(&self.on, &other.on)
    }

    /// Whether it is of the pattern and the cloth that lie on the table.
    pub(in crate::table) fn is_of(&self, now: &on_table::OnTable) -> bool {
        self.on.is_of(now)
    }

    /// Whether it is a better one than another that was found for the same: in nothing worse, and in something better. Where
    /// colours are to meet nothing can be said: how alike they look is weighed against the cloth used.
    pub(in crate::table) fn is_better_than(&self, other: &LaidOut) -> bool {
        let is_for_same = self.on.of == other.on.of && self.on.choices.wish() == other.on.choices.wish();
        let weighs = |layout: &LaidOut| layout.laid.matches.iter().any(|seam| seam.alike.is_some());
        if !is_for_same || weighs(self) || weighs(other) {
            return false;
        }
        let (own, others) = (self.laid.missed_wishes(), other.laid.missed_wishes());
        let saved = other.laid.used() - self.laid.used();
        own <= others && saved >= -LAID_OVER && (own < others || saved > LAID_OVER)
    }

    /// The layout and the garment as it is sewn, as `lay` draws them.
    pub(in crate::table) fn drawn(&self) -> Result<(String, String), LayError> {
        let task = self.task()?;
        let layout = picture::layout(&task, &self.laid, self.on.unit);
        Ok((layout, picture::sewn(&task, &self.laid, self.on.unit)))
    }

    /// As it is kept to go on with.
    pub(in crate::table) fn kept(&self) -> Result<KeptLayout, LayError> {
        Ok(KeptLayout::of(&self.task()?, &self.poses, (self.on.said.clone(), self.on.of)))
    }
}

impl KeptLayout {
    fn of(task: &LayTask<'_>, poses: &[Pose], (said, of): (FormSaid, Basis)) -> KeptLayout {
        let lying = poses.iter().enumerate().map(|(copy, pose)| KeptCopy {
            copy: task.copies[copy].to_string(),
            ground: task.grounds[pose.sheet].name(),
            turn: pose.turn,
            degrees: pose.degrees,
            at: [pose.x, pose.y],
        });
        KeptLayout { of, said, lying: lying.collect() }
    }

    /// The layout of a way that was planned, for what its steps made.
    pub(super) fn of_way(
        task: &LayTask<'_>,
        (laid, grain): (&Laid, GrainChoice),
        of: Basis,
    ) -> Result<KeptLayout, LayError> {
        let hand = LayoutByHand::of(task)?;
        let poses: Vec<Pose> = laid.lying.iter().map(|lying| hand.pose(task, lying)).collect();
        let degrees = grain.grain_tolerance.degrees().to_string();
        let said = FormSaid::from([("grain-tolerance".to_owned(), degrees)]);
        Ok(KeptLayout::of(task, &poses, (said, of)))
    }

    /// The layout again on what lies on the table; none where that is another pattern or cloth, or a rule would be broken.
    pub(in crate::table) fn again(self, now: &on_table::OnTable) -> Option<LaidOut> {
        let stock = now.stock.clone().filter(|_| self.of.beside(now.basis()) == MadeOf::Now)?;
        let on = Arc::new(LayoutBasis {
            sheet: now.as_read().ok()?,
            stock,
            choices: chosen(&self.said).ok()?,
            said: self.said,
            unit: now.unit,
            of: self.of,
        });
        let task = on.task().ok()?;
        let pose = |copy: &PieceCopy| {
            let called = copy.to_string();
            let kept = self.lying.iter().find(|kept| kept.copy == called)?;
            let sheet = task.grounds.iter().position(|ground| ground.name() == kept.ground)?;
            let [x, y] = kept.at;
            Some(Pose { sheet, turn: kept.turn, degrees: kept.degrees, x, y })
        };
        let poses = task.copies.iter().map(pose).collect::<Option<Vec<Pose>>>()?;
        let (laid, hand) = (task.laid_by_hand(&poses).ok()?, Arc::new(LayoutByHand::of(&task).ok()?));
        drop(task);
        Some(LaidOut { on, poses, laid, hand })
    }
}

impl LayoutBasis {
    /// Whether it is the pattern and the cloth that lie on the table.
    pub(super) fn is_of(&self, now: &on_table::OnTable) -> bool {
        self.of.beside(now.basis()) == MadeOf::Now
    }

    /// What is laid.
    pub(super) fn task(&self) -> Result<LayTask<'_>, LayError> {
        LayTask::of(&self.sheet.pattern, &self.stock, self.choices.wish())
    }
}
