//! What came of a search: where each copy lies, what is used and what is left.

use kurbo::{BezPath, Shape};

use crate::allowance::turned;
use crate::cloth::lay::{self, Budget, Continue, FoundLay, Impossible, LayFault, Outcome, Pose, Progress};
use crate::cloth::layout::{LayError, LayTask, Reason, check};
use crate::curve::{Motion, Vec2};
use crate::units::Angle;

/// Whether the pieces lie on the cloth.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// All of them, and every rule is kept.
    Fits,
    /// No such layout was found within the budget; there may be one.
    NotFound {
        /// How many rules the closest layout tried still breaks.
        broken: usize,
        /// The deepest overlap of it, mm.
        by: f64,
    },
    /// There is none, and why.
    Impossible(Vec<Reason>),
}

/// A copy on the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidCopy {
    /// Which, as a place in [`LayTask::copies`].
    pub copy: usize,
    /// On what, as a place in [`LayTask::grounds`].
    pub ground: usize,
    /// From the pattern sheet to the cloth.
    pub motion: Motion,
}

impl LaidCopy {
    /// The true cutting line on the cloth.
    #[must_use]
    pub fn path(&self, task: &LayTask<'_>) -> BezPath {
        let cut = &task.copies[self.copy].cut;
        cut.from_sheet().inverse().then(&self.motion).to_affine() * cut.path().clone()
    }
}

/// How much of a ground is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundUse {
    /// How many copies lie on it.
    pub copies: usize,
    /// The length used, mm from its start.
    pub used: f64,
    /// The rectangle left over at its end, mm across and along.
    pub leftover: Option<(f64, f64)>,
}

/// A layout, or why there is none.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Whether the pieces lie on the cloth.
    pub verdict: Verdict,
    /// Where each copy lies; none unless all fit.
    pub lying: Vec<LaidCopy>,
    /// What is used of each ground, in their order.
    pub uses: Vec<GroundUse>,
    /// Passes of the search.
    pub iterations: u64,
}

impl LayTask<'_> {
    /// Searches for a layout. What is said to fit has been held against the true cutting lines.
    ///
    /// # Errors
    ///
    /// There is nothing to lay, or what the search found does not hold.
    pub fn search(
        &self,
        budget: &Budget,
        listen: &mut dyn FnMut(Progress) -> Continue,
    ) -> Result<Laid, LayError> {
        if self.copies.is_empty() {
            return Err(LayError::NothingToLay);
        }
        if !self.blocked.is_empty() {
            return Ok(Laid::impossible(self.blocked.clone()));
        }
        match lay::search(&self.problem, budget, listen)? {
            Outcome::Fits(layout) => self.checked(&layout),
            Outcome::NotFound { closest, faults } => Ok(Laid {
                verdict: Verdict::NotFound {
                    broken: faults.len(),
                    by: faults.iter().map(depth).fold(0.0, f64::max),
                },
                lying: Vec::new(),
                uses: Vec::new(),
                iterations: closest.iterations,
            }),
            Outcome::Impossible(reasons) => {
                Ok(Laid::impossible(reasons.iter().map(|reason| self.reason(reason)).collect()))
            }
        }
    }

    fn checked(&self, layout: &FoundLay) -> Result<Laid, LayError> {
        let lying = layout.poses.iter().enumerate().map(|(copy, pose)| self.lying(copy, pose));
        let lying: Vec<LaidCopy> = lying.collect();
        let broken = check::broken(self, &lying)?;
        if !broken.is_empty() {
            let all: Vec<String> = broken.iter().map(ToString::to_string).collect();
            return Err(LayError::Unsound(all.join("; ")));
        }
        let uses = (0..self.grounds.len()).map(|ground| self.used(&lying, ground)).collect();
        Ok(Laid { verdict: Verdict::Fits, lying, uses, iterations: layout.iterations })
    }

    fn lying(&self, copy: usize, pose: &Pose) -> LaidCopy {
        let turn = turned(Angle::from_degrees(pose.degrees));
        let shift = Motion::shift(Vec2::new(pose.x, pose.y));
        let motion = self.copies[copy].cut.from_sheet().then(&turn).then(&shift);
        LaidCopy { copy, ground: pose.sheet, motion }
    }

    fn used(&self, lying: &[LaidCopy], ground: usize) -> GroundUse {
        let here: Vec<&LaidCopy> = lying.iter().filter(|lying| lying.ground == ground).collect();
        let used = here.iter().map(|lying| lying.path(self).bounding_box().y1).fold(0.0, f64::max);
        GroundUse { copies: here.len(), used, leftover: self.grounds[ground].leftover(used) }
    }

    fn reason(&self, reason: &Impossible) -> Reason {
        let piece = |item: usize| self.copies[item].piece.clone();
        match *reason {
            Impossible::Area { items, sheets } => Reason::Area { pieces: items, cloth: sheets },
            // The search goes by polygons around the pieces; what is told is how they are cut.
            Impossible::TooWide { item, widest, .. } => {
                Reason::TooWide { piece: piece(item), width: self.least_width(item), widest }
            }
            Impossible::TooLong { item, longest, .. } => {
                Reason::TooLong { piece: piece(item), length: self.least_length(item), longest }
            }
            Impossible::NoPlace { item } => Reason::NoPlace { piece: piece(item) },
            Impossible::Selvedges { edges, selvedges } => Reason::Selvedges { edges, selvedges },
        }
    }
}

impl Laid {
    fn impossible(mut reasons: Vec<Reason>) -> Laid {
        let mut kept: Vec<Reason> = Vec::new();
        for reason in reasons.drain(..) {
            if !kept.contains(&reason) {
                kept.push(reason);
            }
        }
        Laid { verdict: Verdict::Impossible(kept), lying: Vec::new(), uses: Vec::new(), iterations: 0 }
    }
}

/// How deep a fault of the search goes, mm; nothing of a broken rule.
fn depth(fault: &LayFault) -> f64 {
    match fault {
        LayFault::Overlap { depth, .. } | LayFault::Flaw { depth, .. } | LayFault::Outside { depth, .. } => {
            *depth
        }
        LayFault::Rule { .. } => 0.0,
    }
}
