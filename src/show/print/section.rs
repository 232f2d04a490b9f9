//! Pieces as they are laid out on paper, and the parts of a print.

use kurbo::{Affine, BezPath, Rect, Shape, Vec2};

use crate::allowance::{AllowanceError, SewingOrder};
use crate::canvas::{BoxSizes, Lying, Put};
use crate::pattern::Piece;
use crate::show::piece::{OtherLines, PieceDrawing, PieceStyle};
use crate::show::print::notes::UntrueNote;
use crate::show::print::tiles::{Grid, Tile};
use crate::tolerance::SAME_POINT;

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
pub(super) struct DrawnTurned<'a> {
    pub piece: &'a Piece,
    pub style: PieceStyle,
    pub upright: PieceDrawing,
    pub quarter: PieceDrawing,
    /// Upside down, and turned by three quarters, where pieces stand whole on a sheet.
    pub further: Option<[PieceDrawing; 2]>,
}

impl DrawnTurned<'_> {
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

    pub(super) fn sizes(&self) -> BoxSizes {
        BoxSizes { upright: self.upright.bounds.size(), quarter: self.quarter.bounds.size() }
    }

    /// The piece where it was put, with room for a line's width at the border.
    pub(super) fn placed(&self, put: &Put) -> PieceDrawing {
        self.lying(put.lying).moved(self.placing(put))
    }

    /// From how it lies to where it was put.
    fn placing(&self, put: &Put) -> Affine {
        Affine::translate(put.corner + INSET - self.lying(put.lying).bounds.origin())
    }

    /// The piece where it was put, its texts whole on one side of lines at which paper is put together where it has room
    /// for them; as it was drawn where they would need more room beside it.
    ///
    /// # Errors
    ///
    /// As for the drawing of the piece.
    pub(super) fn placed_across(
        &self,
        put: &Put,
        order: &SewingOrder,
        joins: &[BezPath],
    ) -> Result<PieceDrawing, AllowanceError> {
        let placed = self.placed(put);
        let met = |join: &&BezPath| placed.bounds.overlaps(join.bounding_box());
        let joins: Vec<BezPath> = joins.iter().filter(met).cloned().collect();
        if joins.is_empty() {
            return Ok(placed);
        }
        let style = PieceStyle { lying: put.lying, ..self.style.clone() };
        let motion = self.placing(put) * style.motion();
        let others = OtherLines { joins: &joins, ..OtherLines::default() };
        let across = PieceDrawing::laid(order, self.piece, &style, motion, others)?;
        let room = placed.bounds.inflate(SAME_POINT, SAME_POINT);
        Ok(if room.contains_rect(across.bounds) { across } else { placed })
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
    /// That a printer's error is made good for.
    pub corrected: Option<String>,
}

impl Section {
    /// The same in a few words.
    pub(super) fn untrue_in_short(&self) -> Option<String> {
        self.untrue.as_ref().map(|untrue| untrue.short.clone())
    }

    /// What a cover says under the title: what the pattern is, what the garment measures, what was done for the printer.
    pub(super) fn said_on_cover(&self) -> impl Iterator<Item = String> {
        let untrue = self.untrue.iter().map(|untrue| untrue.line.clone());
        let about = self.about.iter().cloned().chain(self.finished.clone()).chain(self.corrected.clone());
        untrue.chain(about.map(|line| sentence(&line))).collect::<Vec<_>>().into_iter()
    }
}

/// A line as a sentence.
fn sentence(line: &str) -> String {
    let mut letters = line.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}
