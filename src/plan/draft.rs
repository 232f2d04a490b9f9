//! A recut being made, step by step.

use crate::pattern::{Pattern, PieceName};
use crate::recut::{Notice, Step};

/// A recut being made: the pattern as it is so far, and the steps that led to it.
#[derive(Clone, Debug)]
pub(super) struct RecutSoFar {
    pub(super) pattern: Pattern,
    pub(super) steps: Vec<Step>,
    /// Pieces that were made, and of what.
    pub(super) made: Vec<(PieceName, Vec<PieceName>)>,
}

impl RecutSoFar {
    pub(super) fn of(pattern: &Pattern) -> RecutSoFar {
        RecutSoFar { pattern: pattern.clone(), steps: Vec::new(), made: Vec::new() }
    }

    /// Does a step; none where it is refused, or has nothing to do.
    pub(super) fn does(mut self, step: impl Into<Step>) -> Option<RecutSoFar> {
        let step = step.into();
        let recut = step.apply(&self.pattern).ok()?;
        if recut.notices.iter().any(|notice| matches!(notice, Notice::NothingToDo { .. })) {
            return None;
        }
        self.made.extend(recut.notices.iter().filter_map(|notice| match notice {
            Notice::PieceMade { piece, from } => Some((piece.clone(), from.clone())),
            _ => None,
        }));
        self.pattern = recut.pattern;
        self.steps.push(step);
        Some(self)
    }
}
