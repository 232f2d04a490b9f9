//! A piece as it is looked at: everything that its user needs at the cutting table.
//!
//! Lines come first, then labels where lines leave room. A text for which there is none is led out: a number stands in
//! its place, and a legend beside the piece tells what it means.

mod labelling;
mod legend;
mod lines;
mod spots;
mod style;
mod texts;
mod words;

pub(super) use lines::{ARROW, lies_on_fold};
pub(super) use texts::{as_cut_wide, cut_count};
pub(super) use words::of as mark_words;

use std::collections::BTreeSet;

use kurbo::{Affine, BezPath, Rect};

use crate::allowance::{AllowanceError, AsCut, CuttingLine, Halves, SewingOrder};
use crate::canvas::Drawing;
use crate::pattern::{ClothName, Edge, EdgeName, EdgeRef, Pattern, Piece, PieceName, met_along};
use crate::units::Length;

use lines::PieceLines;
pub(super) use style::OtherLines;
pub use style::{PieceStyle, Shows};

/// A drawn piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceDrawing {
    /// The piece.
    pub name: PieceName,
    /// What it is called, with the copy if each is drawn.
    pub title: String,
    /// How many are cut.
    pub count: String,
    /// The cloth that it is cut from.
    pub cloth: ClothName,
    /// Everything that is drawn.
    pub drawing: Drawing,
    /// The closed cutting line, of an opened piece around both halves.
    pub outline: BezPath,
    /// Whether it is half of a piece.
    pub half: bool,
    /// Its width as it is cut, opened out; none where it cannot be opened.
    pub cut_width: Option<Length>,
    /// The box around everything, mm.
    pub bounds: Rect,
}

impl PieceDrawing {
    /// Draws a piece.
    ///
    /// # Errors
    ///
    /// A cutting line that cannot be worked out.
    pub fn of(
        order: &SewingOrder,
        piece: &Piece,
        style: &PieceStyle,
    ) -> Result<PieceDrawing, AllowanceError> {
        PieceDrawing::laid(order, piece, style, style.motion(), OtherLines::default())
    }

    /// Draws a piece after a motion, its texts clear of other lines too.
    ///
    /// # Errors
    ///
    /// A cutting line that cannot be worked out.
    pub(super) fn laid(
        order: &SewingOrder,
        piece: &Piece,
        style: &PieceStyle,
        turned: Affine,
        others: OtherLines<'_>,
    ) -> Result<PieceDrawing, AllowanceError> {
        let line = order.cutting_line(piece)?;
        let marked = marked(order.pattern(), piece);
        let mut lines = PieceLines::of(piece, &line, &marked, style)?;
        lines.moved(turned);
        let texts = texts::Texts { pattern: order.pattern(), piece, line: &line, new: &marked.new, style };
        let (title, count) = (texts.called(), texts.count());
        let labelling = labelling::Labelling { texts, lines: &lines, turned, others };
        let (fold_arrow, labels) = labelling.done();
        let PieceLines { mut drawing, outline, .. } = lines;
        drawing.add(fold_arrow);
        drawing.add(labels);
        let bounds = drawing.bounds().unwrap_or_default();
        Ok(PieceDrawing {
            name: piece.name().clone(),
            title,
            count,
            cloth: piece.cloth.clone(),
            drawing,
            outline,
            half: piece.fold().is_some(),
            cut_width: cut_width(piece, &line),
            bounds,
        })
    }

    /// The drawn piece moved and turned, not mirrored.
    #[must_use]
    pub fn moved(&self, motion: Affine) -> PieceDrawing {
        PieceDrawing {
            drawing: self.drawing.moved(motion),
            outline: motion * &self.outline,
            half: self.half,
            cut_width: self.cut_width,
            bounds: motion.transform_rect_bbox(self.bounds),
            name: self.name.clone(),
            title: self.title.clone(),
            count: self.count.clone(),
            cloth: self.cloth.clone(),
        }
    }
}

/// The width of a piece as it is cut, opened out; none where it cannot be opened.
fn cut_width(piece: &Piece, line: &CuttingLine) -> Option<Length> {
    AsCut::of(piece, line, Halves::Opened).ok().map(|cut| Length::from_mm(cut.width()))
}

/// What is drawn along the edges of a piece that they do not tell themselves.
fn marked(pattern: &Pattern, piece: &Piece) -> lines::MarkedEdges {
    // Where a lapped seam is left open nothing is stitched through both.
    let stitched = |edge: &Edge| edge.lap.filter(|_| edge.open.is_none());
    let own = piece.edges().iter().filter_map(|edge| Some((edge.name.clone(), -stitched(edge)?.mm())));
    let beneath = pattern.seams().iter().flat_map(|seam| seam.edges().map(move |run| (seam, &run.edge)));
    let beneath = beneath.filter_map(|(seam, edge)| {
        let lap = stitched(pattern.find_edge(edge)?)?;
        let partners = met_along(pattern, seam, edge).ok()?;
        let here = partners.into_iter().filter(|partner| partner.piece == *piece.name());
        Some(here.map(move |partner| (partner.edge, lap.mm())).collect::<Vec<_>>())
    });
    lines::MarkedEdges {
        new: new_edges(pattern, piece),
        stitched: stitched_edges(pattern, piece),
        laps: own.chain(beneath.flatten()).collect(),
    }
}

/// The edges of a piece on seams that are stitched where the edge is drawn: not those that lie on top of another, which are
/// stitched inside it.
fn stitched_edges(pattern: &Pattern, piece: &Piece) -> BTreeSet<EdgeName> {
    let named = |edge: &EdgeName| EdgeRef::new(piece.name().clone(), edge.clone());
    let lies_flat = |edge: &&Edge| edge.lap.is_none_or(|lap| lap == Length::ZERO);
    let sewn = |edge: &&Edge| pattern.seams_of(&named(&edge.name)).next().is_some();
    piece.edges().iter().filter(lies_flat).filter(sewn).map(|edge| edge.name.clone()).collect()
}

/// The edges of a piece on seams that a step made.
fn new_edges(pattern: &Pattern, piece: &Piece) -> BTreeSet<EdgeName> {
    let named = |edge: &EdgeName| EdgeRef::new(piece.name().clone(), edge.clone());
    let names = piece.edges().iter().map(|edge| &edge.name);
    names.filter(|edge| pattern.is_new_edge(&named(edge))).cloned().collect()
}
