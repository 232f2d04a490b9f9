//! What came of it: the new piece, and where every stretch of the old edges lies now.

use crate::curve::{Motion, Outline};
use crate::pattern::{Copy, DrawnAnew, EdgeRef, Piece, PieceName, Travel};
use crate::tolerance::SAME_CUT;

/// Where a stretch of an old edge lies now.
#[derive(Clone, Debug)]
pub(crate) struct Mapped {
    pub part: usize,
    pub old: EdgeRef,
    /// Walk distances on the old edge, `from < to`.
    pub from: f64,
    pub to: f64,
    pub new: EdgeRef,
    /// Where on the new edge the stretch begins.
    pub new_from: f64,
    /// Whether the new edge runs as the old one did.
    pub way: Travel,
}

impl Mapped {
    /// Where a place on the old edge lies on the new one.
    pub(crate) fn carry(&self, at: f64) -> f64 {
        let at = at.clamp(self.from, self.to);
        match self.way {
            Travel::Clockwise => self.new_from + (at - self.from),
            Travel::Anticlockwise => self.new_from + (self.to - at),
        }
    }

    /// Whether the place belongs to this stretch and not to the one before it.
    pub(crate) fn holds(&self, at: f64) -> bool {
        let starts = if self.from <= SAME_CUT { at >= 0.0 } else { at > self.from + SAME_CUT };
        starts && at <= self.to + SAME_CUT
    }

    /// Whether a stretch of the old edge lies wholly in this one.
    pub(crate) fn holds_stretch(&self, from: f64, to: f64) -> bool {
        from >= self.from - SAME_CUT && to <= self.to + SAME_CUT
    }
}

/// How a part was carried, for the record.
#[derive(Clone, Debug)]
pub(crate) struct Carried {
    pub from: PieceName,
    pub copy: Copy,
    pub region: Option<Outline>,
    pub motion: Motion,
    pub off_grain: f64,
}

/// A piece that was made.
#[derive(Clone, Debug)]
pub(crate) struct Assembled {
    pub piece: Piece,
    pub map: Vec<Mapped>,
    /// Old edges whose cloth is not here, and the new edge that takes over each one's seams.
    pub redrawn: Vec<(EdgeRef, EdgeRef)>,
    /// The edges that are not the curves of their old ones.
    pub drawn_anew: DrawnAnew,
    pub carried: Vec<Carried>,
}
