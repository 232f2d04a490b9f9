//! What a hand does to what it holds, as a step: here alone operations are known by name.

use serde::{Deserialize, Serialize};

use crate::cloth::Stock;
use crate::curve::Point;
use crate::pattern::{EdgeRef, Pattern, PieceName, Refusal, RefusalKind, Side, settle};
use crate::recut::{MoveSeam, SeamLine, SeamUnderHand, Step, seam_under_hand};
use crate::table::holds::{Hold, HoldsFound, holds_beside};
use crate::tolerance::{HAND_STEP, LARGEST_COORDINATE, MOST_HAND_REACH};
use crate::units::Length;

/// A hand that holds an edge of a seam.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Hand {
    /// The edge.
    pub edge: EdgeRef,
    /// Where the hand is, mm on the sheet.
    pub at: [f64; 2],
    /// How the seam is to run.
    #[serde(default)]
    pub runs: SeamRuns,
    /// How near it must be to what it may hold at, mm.
    #[serde(default)]
    pub reach: f64,
}

/// How a seam that is moved runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SeamRuns {
    /// Straight, along the grain of the piece that gives.
    #[default]
    Straight,
    /// As it ran.
    AsItRan,
}

/// What a hand means.
#[derive(Clone, Debug)]
pub(super) struct Held {
    /// The step, were it let go there; none where nothing would change.
    pub(super) step: Option<Step>,
    /// The width of the cloth at which it holds.
    pub(super) hold: Option<Hold>,
}

impl Hand {
    /// What the hand means on a pattern, with the cloth that it is cut from.
    ///
    /// # Errors
    ///
    /// Refuses what is no seam of a piece, or lies on several.
    pub(super) fn held(
        &self,
        pattern: &Pattern,
        stock: Option<&Stock>,
        found: &HoldsFound,
    ) -> Result<Held, Refusal> {
        if self.at.iter().any(|at| !at.is_finite() || at.abs() > LARGEST_COORDINATE) {
            let what = "the hand is beyond any sheet";
            return Err(Refusal::new(RefusalKind::PlaceOutside, &self.edge, what, "bring it nearer"));
        }
        let edge = settle(pattern, &self.edge);
        let lies = seam_under_hand(pattern, &edge, Point::new(self.at[0], self.at[1]))?;
        let from = edge.piece.clone();
        let other = piece_across(pattern, &edge)?;
        if let Some(hold) = self.drawn_to(pattern, &lies, stock, (&edge, &from), found) {
            let step = self.step_at(&edge, &from, &lies, hold.keeps);
            return Ok(Held { step: Some(step), hold: Some(hold) });
        }
        let width = stepped(self.width(&lies));
        let shift = match self.runs {
            SeamRuns::Straight => lies.whole.mm() - width,
            SeamRuns::AsItRan => stepped(lies.shift.mm()),
        };
        let step = if shift.abs() < HAND_STEP {
            None
        } else if shift < 0.0 {
            Some(self.step(&edge, other, None, Some(stepped(-shift))))
        } else if self.runs == SeamRuns::Straight {
            Some(self.step(&edge, from, Some(width), None))
        } else {
            Some(self.step(&edge, from, None, Some(shift)))
        };
        Ok(Held { step, hold: None })
    }

    /// The width of the cloth that the hand is near, that at which the whole piece fits before any other.
    fn drawn_to(
        &self,
        pattern: &Pattern,
        lies: &SeamUnderHand,
        stock: Option<&Stock>,
        (edge, from): (&EdgeRef, &PieceName),
        found: &HoldsFound,
    ) -> Option<Hold> {
        let stock = stock?;
        let find = || {
            let step_at = |keeps: f64| self.step_at(edge, from, lies, keeps);
            holds_beside(pattern, stock, (edge, from), step_at)
        };
        let reach = self.reach.clamp(0.0, MOST_HAND_REACH);
        let holds = found.of(format!("{edge} {:?}", self.runs), find);
        let is_near =
            |hold: &&Hold| (self.width(lies) - hold.keeps).abs() <= reach && hold.keeps < lies.whole.mm();
        holds.iter().find(is_near).cloned()
    }

    /// The step that leaves the piece a width.
    fn step_at(&self, edge: &EdgeRef, from: &PieceName, lies: &SeamUnderHand, keeps: f64) -> Step {
        match self.runs {
            SeamRuns::Straight => self.step(edge, from.clone(), Some(keeps), None),
            SeamRuns::AsItRan => self.step(edge, from.clone(), None, Some(lies.whole.mm() - keeps)),
        }
    }

    /// The width that the piece would keep.
    fn width(&self, lies: &SeamUnderHand) -> f64 {
        match self.runs {
            SeamRuns::Straight => lies.keeps.mm(),
            SeamRuns::AsItRan => lies.whole.mm() - lies.shift.mm(),
        }
    }

    fn step(&self, seam: &EdgeRef, from: PieceName, to_width: Option<f64>, by: Option<f64>) -> Step {
        MoveSeam {
            seam: seam.clone(),
            from,
            to_width: to_width.map(Length::from_mm),
            by: by.map(Length::from_mm),
            line: Some(match self.runs {
                SeamRuns::Straight => SeamLine::Grain,
                SeamRuns::AsItRan => SeamLine::Seam,
            }),
            shaping: None,
            longer: None,
            match_at: None,
            lap: None,
        }
        .into()
    }
}

/// A length that a hand can mean.
fn stepped(mm: f64) -> f64 {
    (mm / HAND_STEP).round() * HAND_STEP
}

/// The piece that an edge is sewn to.
fn piece_across(pattern: &Pattern, edge: &EdgeRef) -> Result<PieceName, Refusal> {
    let seam = pattern.seam(pattern.seam_named(edge, Some(&edge.piece))?);
    let is_held = |side: &Side| seam.side(*side).edges().iter().any(|run| run.edge == *edge);
    let side = Side::BOTH.into_iter().find(is_held).unwrap_or(Side::First);
    let across = seam.side(side.other()).edges().first();
    Ok(across.map_or_else(|| edge.piece.clone(), |run| run.edge.piece.clone()))
}
