//! Pictures of a pattern for the screen: every edge named and measured, the old pattern under the new one.
//!
//! # Examples
//!
//! ```
//! use retrue::show::picture::{Picture, PictureOptions};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let picture = Picture::of("coat", &coat, None, &PictureOptions::default())?;
//! assert!(picture.svg().contains("back"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod overlay;
mod raster;

use kurbo::{Affine, Rect, Size, Vec2};

use crate::allowance::{AllowanceError, SewingOrder};
use crate::canvas::{Area, Drawing, Label, Layer, LineKind, Order, Sizes, Turning, in_page, place, svg};
use crate::curve::Point;
use crate::pattern::{EdgeRef, Pattern, Piece, PieceName, Refusal};
use crate::show::piece::{PieceDrawing, PieceStyle, Shows};
use crate::units::Unit;

/// Distance of pieces from one another, mm, where texts are not magnified.
const GAP: f64 = 12.0;

/// The width of a picture at which texts are as large as on paper, mm.
const AS_ON_PAPER: f64 = 430.0;

/// The same for a picture that is read on a page of print, of which it takes half, or on a screen that is not much wider.
const AS_ON_PAGE: f64 = 185.0;

/// Least and greatest magnification of texts and lines.
const MAGNIFIED: (f64, f64) = (0.5, 6.0);

/// How much of its surroundings is seen beside an edge: a share of its length, and at least so much, mm.
const BESIDE_EDGE: (f64, f64) = (0.12, 25.0);

/// What is to be seen.
#[derive(Clone, Debug, Default)]
pub struct PictureOptions {
    /// Only these pieces; all where none is named.
    pub pieces: Vec<PieceName>,
    /// Only this edge, close.
    pub edge: Option<EdgeRef>,
    /// In which unit lengths are told.
    pub unit: Unit,
    /// How large it will be looked at.
    pub seen: Viewing,
}

/// How large a picture will be looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Viewing {
    /// By itself, to be enlarged at will.
    #[default]
    Alone,
    /// Among text, as wide as a printed page.
    OnPage,
}

/// Why a pattern cannot be pictured as asked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PictureError {
    /// A cutting line cannot be worked out.
    #[error(transparent)]
    Allowance(#[from] AllowanceError),
    /// There is no such piece or edge.
    #[error("{}", .0.what)]
    Unknown(Refusal),
    /// There is nothing to be seen.
    #[error("there is no piece to be seen")]
    Nothing,
    /// The picture cannot be made of pixels.
    #[error("the picture cannot be made of pixels: {0}")]
    Pixels(String),
}

/// A picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What is drawn, mm.
    pub drawing: Drawing,
    /// The part that is seen.
    pub view: Rect,
    /// The title.
    pub title: String,
    /// How many times as large as on paper texts are, and lines as wide.
    pub magnified: f64,
}

impl Picture {
    /// A picture of a pattern; over an earlier state of it where that is given.
    ///
    /// # Errors
    ///
    /// A cutting line that cannot be worked out; an unknown piece or edge; nothing to be seen.
    pub fn of(
        title: &str,
        pattern: &Pattern,
        before: Option<&Pattern>,
        options: &PictureOptions,
    ) -> Result<Picture, PictureError> {
        let asked = Wanted::of(pattern, before, options)?;
        let magnified = asked.magnified(pattern, before, options.seen);
        let style = PieceStyle {
            shows: if before.is_some() { Shows::SeamlineLengths } else { Shows::Lengths },
            magnified,
            ..PieceStyle::for_cutting(options.unit)
        };
        let groups = match before {
            None => alone(pattern, &asked, &style)?,
            Some(before) => overlay::groups(pattern, before, &asked, &style)?,
        };
        if groups.is_empty() {
            return Err(PictureError::Nothing);
        }
        let mut picture =
            Picture { drawing: Drawing::default(), view: Rect::ZERO, title: title.to_owned(), magnified };
        match asked.edge_view(&groups) {
            Some(view) => {
                groups.into_iter().for_each(|group| picture.drawing.add(group.drawing));
                picture.drawing.labels.retain(|label| view.contains_rect(label.bounds()));
                picture.view = view;
            }
            None => picture.arrange(groups),
        }
        if before.is_some() {
            picture.key();
        }
        Ok(picture)
    }

    /// The picture as SVG, one user unit a millimetre.
    #[must_use]
    pub fn svg(&self) -> String {
        svg(&self.drawing, self.view, &self.title, self.magnified)
    }

    /// The picture as SVG to stand in a page, without a size or a ground of its own; its inks are the page's.
    #[must_use]
    pub(super) fn in_page(&self) -> String {
        in_page(&self.drawing, self.view, &self.title, self.magnified)
    }

    /// The picture as PNG.
    ///
    /// # Errors
    ///
    /// A picture too large for memory.
    pub fn png(&self, longer_side: Pixels) -> Result<Vec<u8>, PictureError> {
        raster::png(&self.svg(), longer_side).map_err(PictureError::Pixels)
    }

    /// Puts groups beside and under one another.
    fn arrange(&mut self, groups: Vec<PictureGroup>) {
        let gap = GAP * self.magnified;
        let sizes: Vec<Sizes> = groups
            .iter()
            .map(|group| group.bounds.size())
            .map(|size| Sizes { upright: size, quarter: Size::new(size.height, size.width) })
            .collect();
        let widest = sizes.iter().map(|size| size.upright.width).fold(0.0, f64::max);
        let area: f64 =
            sizes.iter().map(|size| (size.upright.width + gap) * (size.upright.height + gap)).sum();
        let width = widest.max((area * WIDER_THAN_HIGH).sqrt());
        let area = Area { width, height: None, gap };
        let Ok(puts) = place(&sizes, area, Order::AsGiven, Turning::Never) else { return };
        for (group, put) in groups.into_iter().zip(puts) {
            self.drawing.add(group.drawing.moved(Affine::translate(put.corner - group.bounds.origin())));
        }
        self.view = self.drawing.bounds().unwrap_or_default().inflate(gap, gap);
    }

    /// What the lines of an overlay mean, under it.
    fn key(&mut self) {
        let size = 3.4 * self.magnified;
        let sample = 14.0 * self.magnified;
        let mut at = Point::new(self.view.x0 + size, self.view.y1 + size);
        for (kind, text) in
            [(LineKind::Before, "before"), (LineKind::Seamline, "now"), (LineKind::NewSeam, "new seam")]
        {
            let end = at + Vec2::new(sample, 0.0);
            self.drawing.line(kind, at, end);
            at = self.key_text(text, end, size);
        }
        for (lean, text) in [(overlay::TAKEN, "no longer here"), (overlay::ADDED, "added here")] {
            for i in 0..4 {
                let middle = at + Vec2::new((f64::from(i) + 0.5) * size * 0.7, 0.0);
                let reach = lean * (size * 0.5);
                self.drawing.line(LineKind::Hatch, middle - reach, middle + reach);
            }
            at = self.key_text(text, at + Vec2::new(size * 2.8, 0.0), size);
        }
        self.view.x1 = self.view.x1.max(at.x + size);
        self.view.y1 = at.y + 2.0 * size;
    }

    fn key_text(&mut self, text: &str, after: Point, size: f64) -> Point {
        let base = after + Vec2::new(size * 0.6, size * 0.35);
        let label = Label::from_left(text, base, size, Layer::Pages);
        let next = after + Vec2::new(label.width() + size * 2.6, 0.0);
        self.drawing.labels.push(label);
        next
    }
}

/// How much wider than high a picture of many pieces is.
const WIDER_THAN_HIGH: f64 = 1.5;

/// A count of pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pixels(pub u32);

/// What belongs together in a picture.
pub(super) struct PictureGroup {
    pub drawing: Drawing,
    /// The box around it, mm.
    pub bounds: Rect,
    /// The pieces in it, and from where they lie on their sheet to where they lie in the group.
    pub pieces: Vec<(PieceName, Affine)>,
}

/// What was asked for.
pub(super) struct Wanted<'a> {
    pieces: Vec<PieceName>,
    edge: Option<(&'a Piece, Rect)>,
}

impl<'a> Wanted<'a> {
    fn of(
        pattern: &'a Pattern,
        before: Option<&Pattern>,
        options: &PictureOptions,
    ) -> Result<Wanted<'a>, PictureError> {
        for name in &options.pieces {
            let was = before.is_some_and(|before| before.find(name).is_some());
            if !was {
                pattern.piece(name).map_err(PictureError::Unknown)?;
            }
        }
        let mut asked = Wanted { pieces: options.pieces.clone(), edge: None };
        if let Some(edge) = &options.edge {
            let (piece, id) = pattern.edge(edge).map_err(PictureError::Unknown)?;
            asked.pieces = vec![piece.name().clone()];
            asked.edge = Some((piece, piece.edge(id).curve.bounds()));
        }
        Ok(asked)
    }

    pub(super) fn wants(&self, name: &PieceName) -> bool {
        self.pieces.is_empty() || self.pieces.contains(name)
    }

    /// How large texts must be to be read in a picture of usual size.
    fn magnified(&self, pattern: &Pattern, before: Option<&Pattern>, seen: Viewing) -> f64 {
        let wanted = |piece: &&Piece| self.wants(piece.name());
        let pieces = pattern.pieces().chain(before.into_iter().flat_map(Pattern::pieces));
        let boxes: Vec<Rect> = match (self.edge, before) {
            (Some((_, edge)), _) => vec![around_edge(edge)],
            (None, None) => pattern.pieces().filter(wanted).map(Piece::bounds).collect(),
            (None, Some(_)) => pieces.filter(wanted).map(Piece::bounds).collect(),
        };
        let area: f64 = boxes.iter().map(Rect::area).sum();
        let both = if before.is_some() && self.edge.is_none() { 2.0 } else { 1.0 };
        let longest = boxes.iter().map(|bounds| bounds.size().max_side()).fold(0.0, f64::max);
        let side = (area / both * WIDER_THAN_HIGH).sqrt().max(longest);
        let as_on_paper = match seen {
            Viewing::OnPage => AS_ON_PAGE,
            Viewing::Alone if self.edge.is_some() => AS_ON_PAPER / 2.0,
            Viewing::Alone => AS_ON_PAPER,
        };
        (side / as_on_paper).clamp(MAGNIFIED.0, MAGNIFIED.1)
    }

    /// The part to be seen when one edge is asked for.
    fn edge_view(&self, groups: &[PictureGroup]) -> Option<Rect> {
        let (piece, edge) = self.edge?;
        let mut pieces = groups.iter().flat_map(|group| &group.pieces);
        let (_, motion) = pieces.find(|(name, _)| name == piece.name())?;
        Some(motion.transform_rect_bbox(around_edge(edge)))
    }
}

fn around_edge(edge: Rect) -> Rect {
    let (share, least) = BESIDE_EDGE;
    let beside = (edge.size().max_side() * share).max(least);
    edge.inflate(beside, beside)
}

/// Each piece by itself.
fn alone(pattern: &Pattern, asked: &Wanted, style: &PieceStyle) -> Result<Vec<PictureGroup>, PictureError> {
    let order = SewingOrder::of(pattern);
    let wanted = pattern.pieces().filter(|piece| asked.wants(piece.name()));
    wanted
        .map(|piece| {
            let drawn = PieceDrawing::of(&order, piece, style)?;
            Ok(PictureGroup {
                bounds: drawn.bounds,
                drawing: drawn.drawing,
                pieces: vec![(piece.name().clone(), Affine::IDENTITY)],
            })
        })
        .collect()
}
