//! A seam that is moved.

use crate::pattern::{EdgeRef, Pattern, PieceName, Refusal, settle};
use crate::recut::{MoveSeam, SeamLine, SeamUnderHand, Step, seam_under_hand};
use crate::table::hand::motion::{BeneathHand, Hand, Held, stepped};
use crate::table::hand::seam_runs::{SeamRuns, edge_across, runs_on_grain};
use crate::table::holds::{WidthHold, holds_beside};
use crate::tolerance::HAND_STEP;
use crate::units::Length;

/// A seam that a hand moves.
struct HeldSeam<'a> {
    hand: &'a Hand,
    edge: EdgeRef,
    runs: SeamRuns,
}

/// What a hand means that moves a seam.
///
/// # Errors
///
/// Refuses what is no seam of a piece, or lies on several.
pub(super) fn moved(
    hand: &Hand,
    edge: &EdgeRef,
    runs: SeamRuns,
    ground: BeneathHand<'_>,
) -> Result<Held, Refusal> {
    let moved = HeldSeam { hand, edge: settle(ground.pattern, edge), runs };
    let lies = seam_under_hand(ground.pattern, &moved.edge, hand.at())?;
    if let Some(hold) = moved.drawn_to(ground, &lies) {
        return Ok(Held { hold: Some(hold.clone()), ..Held::step(moved.step_at(&lies, hold.keeps)) });
    }
    let width = stepped(moved.width(&lies));
    let shift = match runs {
        SeamRuns::Straight => lies.whole.mm() - width,
        SeamRuns::AsItRan => stepped(lies.shift.mm()),
    };
    let from = moved.edge.piece.clone();
    Ok(if shift.abs() < HAND_STEP {
        Held::default()
    } else if shift < 0.0 {
        let other = piece_across(ground.pattern, &moved.edge)?;
        Held::step(moved.outward(ground.pattern).step(other, None, Some(stepped(-shift))))
    } else if runs == SeamRuns::Straight {
        Held::step(moved.step(from, Some(width), None))
    } else {
        Held::step(moved.step(from, None, Some(shift)))
    })
}

impl<'a> HeldSeam<'a> {
    /// The same where the seam goes out of the piece: an edge that is straight along the grain stays so if the seam runs as it
    /// ran, whatever shaping the edge across has.
    fn outward(&self, pattern: &Pattern) -> HeldSeam<'a> {
        let runs = if runs_on_grain(pattern, &self.edge) { SeamRuns::AsItRan } else { self.runs };
        HeldSeam { runs, edge: self.edge.clone(), ..*self }
    }

    /// The width of the cloth that the hand is near, that at which the whole piece fits before any other.
    fn drawn_to(&self, ground: BeneathHand<'_>, lies: &SeamUnderHand) -> Option<WidthHold> {
        let stock = ground.stock?;
        let find = || {
            let step_at = |keeps: f64| self.step_at(lies, keeps);
            holds_beside(ground.pattern, stock, (&self.edge, &self.edge.piece), step_at)
        };
        let holds = ground.found.seams.of(format!("{} {:?}", self.edge, self.runs), find);
        let is_near = |hold: &&WidthHold| {
            (self.width(lies) - hold.keeps).abs() <= self.hand.reach() && hold.keeps < lies.whole.mm()
        };
        holds.iter().find(is_near).cloned()
    }

    /// The step that leaves the piece a width.
    fn step_at(&self, lies: &SeamUnderHand, keeps: f64) -> Step {
        let from = self.edge.piece.clone();
        match self.runs {
            SeamRuns::Straight => self.step(from, Some(keeps), None),
            SeamRuns::AsItRan => self.step(from, None, Some(lies.whole.mm() - keeps)),
        }
    }

    /// The width that the piece would keep.
    fn width(&self, lies: &SeamUnderHand) -> f64 {
        match self.runs {
            SeamRuns::Straight => lies.keeps.mm(),
            SeamRuns::AsItRan => lies.whole.mm() - lies.shift.mm(),
        }
    }

    fn step(&self, from: PieceName, to_width: Option<f64>, by: Option<f64>) -> Step {
        MoveSeam {
            to_width: to_width.map(|mm| Length::from_mm(mm).into()),
            by: by.map(Length::from_mm),
            line: Some(match self.runs {
                SeamRuns::Straight => SeamLine::Grain,
                SeamRuns::AsItRan => SeamLine::Seam,
            }),
            ..MoveSeam::of(self.edge.clone(), from)
        }
        .into()
    }
}

/// The piece that an edge is sewn to.
fn piece_across(pattern: &Pattern, edge: &EdgeRef) -> Result<PieceName, Refusal> {
    pattern.seam_named(edge, Some(&edge.piece))?;
    Ok(edge_across(pattern, edge).map_or_else(|| edge.piece.clone(), |across| across.piece))
}
