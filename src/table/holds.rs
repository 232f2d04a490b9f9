//! Where a hand holds: at the widths at which a piece is just as wide as its cloth allows.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::cloth::Stock;
use crate::cloth::kept::{KeptWidth, NewEdge, kept_beside, wider_than};
use crate::pattern::{EdgeRef, Pattern, PieceName};
use crate::recipe::fitted::FittedWidth;
use crate::recut::Step;
use crate::tolerance::HOLD_STEP;
use crate::units::Unit;

/// How often a narrower width is tried: what stands out beside a seam hardly changes with the width, so that the second
/// fits.
const TRIES: usize = 4;

/// A width at which a hand holds.
#[derive(Clone, Debug)]
pub(super) struct Hold {
    /// The width that the piece keeps, mm.
    pub(super) keeps: f64,
    /// The cloth that it comes from.
    pub(super) cloth: FittedWidth,
    /// What is then as wide as the cloth.
    what: AsWide,
}

/// What is as wide as the cloth allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum AsWide {
    /// The piece as it is cut.
    Piece,
    /// The piece at its seam alone: something beside it stands out farther.
    Seam,
}

/// The widths at which hands hold on one pattern, each found once: finding one takes as long as several trials.
#[derive(Debug, Default)]
pub(super) struct HoldsFound(Mutex<BTreeMap<String, Arc<Vec<Hold>>>>);

impl HoldsFound {
    /// What was found under a name, or is found now.
    pub(super) fn of(&self, name: String, find: impl FnOnce() -> Vec<Hold>) -> Arc<Vec<Hold>> {
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(found.entry(name).or_insert_with(|| Arc::new(find())))
    }
}

impl Hold {
    pub(super) fn sentence(&self, unit: Unit) -> String {
        let gives = self.cloth.gives().show(unit);
        match self.what {
            AsWide::Piece => format!("as wide as the cloth allows: it gives {gives}"),
            AsWide::Seam => format!("where at the seam it is as wide as the cloth, {gives}"),
        }
    }
}

/// The widths of a piece beside a seam at which a hand holds, that at which all of it fits first. None where its cloth is
/// not at hand, or has no room for it.
pub(super) fn holds_beside(
    pattern: &Pattern,
    stock: &Stock,
    (edge, from): (&EdgeRef, &PieceName),
    step_at: impl Fn(f64) -> Step,
) -> Vec<Hold> {
    let Ok(kept) = kept_beside(pattern, stock, edge, from, NewEdge::AsItWas) else { return Vec::new() };
    let hold = |keeps: f64, what| {
        let cloth = FittedWidth::new(from.clone(), KeptWidth { keeps, ..kept });
        Hold { keeps, cloth, what }
    };
    let halves = match pattern.find(from).is_some_and(|piece| piece.fold().is_some()) {
        true => 2.0,
        false => 1.0,
    };
    let at_seam = hold(kept.keeps, AsWide::Seam);
    let mut keeps = kept.keeps;
    for _ in 0..TRIES {
        let Ok(recut) = step_at(keeps).apply(pattern) else { break };
        let Some(width) = wider_than(&recut.pattern, from, kept.gives) else {
            let whole = hold(keeps, AsWide::Piece);
            let is_one = keeps >= kept.keeps;
            return if is_one { vec![whole] } else { vec![whole, at_seam] };
        };
        keeps = ((keeps - (width - kept.gives) / halves) / HOLD_STEP).floor() * HOLD_STEP;
    }
    vec![at_seam]
}
