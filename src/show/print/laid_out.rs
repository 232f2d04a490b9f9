//! Pieces as they are laid out on paper, and the parts of a print.

use kurbo::{Affine, Rect, Vec2};

use crate::canvas::{Lying, Put, Sizes};
use crate::show::piece::PieceDrawing;
use crate::show::print::notes::UntrueNote;
use crate::show::print::tiles::{Grid, Tile};

/// Distance of pieces from one another and from the border, mm.
pub(super) const GAP: f64 = 6.0;

/// Pieces laid out over pages that are put together.
pub(super) struct Tiled {
    pub pieces: Vec<PieceDrawing>,
    pub grid: Grid,
    pub tiles: Vec<Tile>,
}

impl Tiled {
    /// What the needed pages show together, mm.
    pub(super) fn extent(&self) -> Rect {
        let shown = self.tiles.iter().map(|tile| self.grid.shown(*tile));
        let all = shown.reduce(|a, b| a.union(b)).unwrap_or_default();
        Rect::new(0.0, 0.0, all.x1, all.y1)
    }
}

/// A piece drawn upright, and turned.
pub(super) struct Drawn {
    pub upright: PieceDrawing,
    pub quarter: PieceDrawing,
    /// Upside down, and turned by three quarters, where pieces stand whole on a sheet.
    pub further: Option<[PieceDrawing; 2]>,
}

impl Drawn {
    pub(super) fn lying(&self, lying: Lying) -> &PieceDrawing {
        match (lying, &self.further) {
            (Lying::Quarter, _) | (Lying::ThreeQuarters, None) => &self.quarter,
            (Lying::Half, Some([half, _])) => half,
            (Lying::ThreeQuarters, Some([_, three_quarters])) => three_quarters,
            (Lying::Upright, _) | (Lying::Half, None) => &self.upright,
        }
    }

    /// The ways of lying in which it is drawn.
    pub(super) fn ways(&self) -> &'static [Lying] {
        if self.further.is_some() { &Lying::ALL } else { &[Lying::Upright, Lying::Quarter] }
    }

    pub(super) fn sizes(&self) -> Sizes {
        Sizes { upright: self.upright.bounds.size(), quarter: self.quarter.bounds.size() }
    }

    /// The piece where it was put, with room for a line's width at the border.
    pub(super) fn placed(&self, put: &Put) -> PieceDrawing {
        let drawn = self.lying(put.lying);
        drawn.moved(Affine::translate(put.corner + INSET - drawn.bounds.origin()))
    }
}

/// Room for a line's width at the border, mm.
pub(super) const INSET: Vec2 = Vec2::new(GAP / 2.0, GAP / 2.0);

/// A part of the print: all pieces, or those of one cloth.
#[derive(Clone)]
pub(super) struct Section {
    pub title: String,
    /// What stands before the names of its pages.
    pub prefix: String,
    pub area: usize,
    /// The size of the pattern and the body that it was drafted for.
    pub about: Vec<String>,
    /// What the finished garment measures, where all of it is printed.
    pub finished: Option<String>,
    /// That the pattern is not true, where it is not.
    pub untrue: Option<UntrueNote>,
}

impl Section {
    /// The same in a few words.
    pub(super) fn untrue_in_short(&self) -> Option<String> {
        self.untrue.as_ref().map(|untrue| untrue.short.clone())
    }
}
