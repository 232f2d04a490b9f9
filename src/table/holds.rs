//! Where a hand holds: at the widths at which a piece is just as wide as its cloth allows.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::allowance::as_cut;
use crate::cloth::Stock;
use crate::cloth::kept_width::{EdgeBecomes, KeptWidth, kept_beside, wider_than, widest_panel};
use crate::pattern::{EdgeRef, Pattern, PieceName};
use crate::plan::Narrower;
use crate::recipe::fitted::FittedWidth;
use crate::recut::Step;
use crate::tolerance::{HAND_STEP, HOLD_FOUND, HOLD_STEP, LAID_OVER};
use crate::units::{Length, Unit};

/// How often a narrower width is tried: what stands out beside a seam hardly changes with the width, so that the second
/// fits.
const TRIES: usize = 4;

/// A width at which a hand holds.
#[derive(Clone, Debug)]
pub(super) struct WidthHold {
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

/// Where hands hold on one pattern, each found once: finding it takes as long as several trials.
#[derive(Debug, Default)]
pub(super) struct HoldsFound {
    /// By the edge that is moved, and how.
    pub(super) seams: FoundByName<WidthHold>,
    /// By the edge from which a piece is cut along the grain.
    pub(super) cuts: FoundByName<CutHold>,
    /// By the step that moves a seam, without its width: the allowances with which the piece fits, one at most.
    pub(super) narrower: FoundByName<Narrower>,
}

/// What was found, by a name.
#[derive(Debug)]
pub(super) struct FoundByName<T>(Mutex<BTreeMap<String, Arc<Vec<T>>>>);

impl<T> Default for FoundByName<T> {
    fn default() -> FoundByName<T> {
        FoundByName(Mutex::default())
    }
}

impl<T> FoundByName<T> {
    /// What was found under a name, or is found now.
    pub(super) fn of(&self, name: String, find: impl FnOnce() -> Vec<T>) -> Arc<Vec<T>> {
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(found.entry(name).or_insert_with(|| Arc::new(find())))
    }
}

impl WidthHold {
    pub(super) fn sentence(&self, unit: Unit) -> String {
        let gives = self.cloth.gives().show(unit);
        match self.what {
            AsWide::Piece => format!("as wide as the cloth allows: it gives {gives}"),
            AsWide::Seam => format!("at the seam alone: there it is as wide as the cloth, {gives}"),
        }
    }

    /// Whether all of the piece fits where it holds.
    pub(super) fn fits(&self) -> bool {
        self.what == AsWide::Piece
    }
}

/// The widths of a piece beside a seam at which a hand holds, that at which all of it fits first. None where its cloth is
/// not at hand, or has no room for it.
pub(super) fn holds_beside(
    pattern: &Pattern,
    stock: &Stock,
    (edge, from): (&EdgeRef, &PieceName),
    step_at: impl Fn(f64) -> Step,
) -> Vec<WidthHold> {
    let Ok(kept) = kept_beside(pattern, stock, edge, from, EdgeBecomes::AsItWas) else { return Vec::new() };
    let hold = |keeps: f64, what| {
        let cloth = FittedWidth::new(from.clone(), KeptWidth { keeps, ..kept });
        WidthHold { keeps, cloth, what }
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

/// A place of a cut at which a part of the piece is as wide as its cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CutHold {
    /// How far along the sewn length of the edge the cut begins, mm.
    pub(super) along: f64,
    /// What the cloth gives.
    pub(super) gives: Length,
}

/// The places along an edge at which a part of a piece that is cut from there is as wide as its cloth: of each part one at most.
/// `begin` is where along the edge a cut is known to go through the piece, and how long the edge is.
pub(super) fn cuts_as_wide(
    pattern: &Pattern,
    stock: &Stock,
    piece: &PieceName,
    begin: (f64, f64),
    step_at: impl Fn(f64) -> Step,
) -> Vec<CutHold> {
    let Ok(gives) = widest_panel(pattern, stock, piece) else { return Vec::new() };
    let widths = |along: f64| -> Option<[f64; 2]> {
        let after = step_at(along).apply(pattern).ok()?.pattern;
        let parts = after.pieces().filter(|part| pattern.find(part.name()).is_none());
        let widths: Vec<f64> = parts.filter_map(|part| Some(as_cut(&after, part).ok()?.width())).collect();
        widths.try_into().ok()
    };
    let found = [0, 1].into_iter().filter_map(|part| {
        let along = as_wide(|along| Some(widths(along)?[part] - gives), begin)?;
        Some(CutHold { along, gives: Length::from_mm(gives) })
    });
    found.collect()
}

/// Where along an edge something is nought, by chords: to whole steps, where it is not above.
fn as_wide(over: impl Fn(f64) -> Option<f64>, (begin, length): (f64, f64)) -> Option<f64> {
    let (mut a, mut b) =
        (begin, if begin + HAND_STEP < length { begin + HAND_STEP } else { begin - HAND_STEP });
    let (mut at_a, mut at_b) = (over(a)?, over(b)?);
    for _ in 0..2 * TRIES {
        let slope = (at_b - at_a) / (b - a);
        if at_b.abs() <= HOLD_FOUND {
            // Of the two steps beside it the one on the narrower side.
            let step = if slope > 0.0 { (b / HOLD_STEP).floor() } else { (b / HOLD_STEP).ceil() };
            let at = [step, step - slope.signum()].map(|step| step * HOLD_STEP);
            return at.into_iter().find(|at| over(*at).is_some_and(|over| over <= LAID_OVER));
        }
        let next = b - at_b / slope;
        if !(0.0..=length).contains(&next) {
            return None;
        }
        (a, at_a) = (b, at_b);
        (b, at_b) = (next, over(next)?);
    }
    None
}
