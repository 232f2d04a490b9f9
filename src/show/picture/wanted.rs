//! What is to be seen in a picture, and why it may not be.

use kurbo::{Affine, Rect};

use crate::allowance::AllowanceError;
use crate::canvas::Drawing;
use crate::pattern::{EdgeRef, Pattern, Piece, PieceName, Refusal};
use crate::units::Unit;

/// The width of a picture at which texts are as large as on paper, mm.
const AS_ON_PAPER: f64 = 430.0;

/// The same for a picture that is read on a page of print, of which it takes half, or on a screen that is not much wider.
const AS_ON_PAGE: f64 = 185.0;

/// The same for a picture that stands beside the words of a step, three of which share a page.
const AS_IN_STEP: f64 = 85.0;

/// How many times as large texts are beside another picture, where each has half the room.
const BESIDE: f64 = 3.2;

/// Least and greatest magnification of texts and lines.
const MAGNIFIED: (f64, f64) = (0.5, 16.0);

/// How much of its surroundings is seen beside an edge: a share of its length, at least and at most so much, mm: a hand's
/// breadth shows what it meets, and leaves the picture to the edge.
const BESIDE_EDGE: (f64, f64, f64) = (0.05, 20.0, 40.0);

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
    /// Among text, beside the words of a step: what pieces look like, with their names alone.
    InStep,
    /// Among text, beside another picture: what pieces look like, with their names alone.
    Beside,
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

/// How much wider than high a picture of many pieces is.
pub(super) const WIDER_THAN_HIGH: f64 = 1.5;

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
pub(super) struct WantedPart<'a> {
    pieces: Vec<PieceName>,
    edge: Option<(&'a Piece, Rect)>,
}

impl<'a> WantedPart<'a> {
    pub(super) fn of(
        pattern: &'a Pattern,
        before: Option<&Pattern>,
        options: &PictureOptions,
    ) -> Result<WantedPart<'a>, PictureError> {
        for name in &options.pieces {
            let was = before.is_some_and(|before| before.find(name).is_some());
            if !was {
                pattern.piece(name).map_err(PictureError::Unknown)?;
            }
        }
        let mut asked = WantedPart { pieces: options.pieces.clone(), edge: None };
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
    pub(super) fn magnified(&self, pattern: &Pattern, before: Option<&Pattern>, seen: Viewing) -> f64 {
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
            Viewing::InStep => AS_IN_STEP,
            Viewing::Beside => AS_ON_PAGE / BESIDE,
            Viewing::Alone if self.edge.is_some() => AS_ON_PAPER / 2.0,
            Viewing::Alone => AS_ON_PAPER,
        };
        (side / as_on_paper).clamp(MAGNIFIED.0, MAGNIFIED.1)
    }

    /// The part to be seen when one edge is asked for.
    pub(super) fn edge_view(&self, groups: &[PictureGroup]) -> Option<Rect> {
        let (piece, edge) = self.edge?;
        let mut pieces = groups.iter().flat_map(|group| &group.pieces);
        let (_, motion) = pieces.find(|(name, _)| name == piece.name())?;
        Some(motion.transform_rect_bbox(around_edge(edge)))
    }
}

fn around_edge(edge: Rect) -> Rect {
    let (share, least, most) = BESIDE_EDGE;
    let beside = (edge.size().max_side() * share).clamp(least, most);
    edge.inflate(beside, beside)
}
