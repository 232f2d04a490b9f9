//! What is to be printed, and why it may not be.

use kurbo::Size;

use crate::allowance::AllowanceError;
use crate::pattern::{PieceName, Refusal};
use crate::show::layout::Layout;
use crate::show::piece::PieceDrawing;
use crate::show::print::measured::Measured;
use crate::show::print::paper::{Paper, Use};
use crate::units::{Length, Unit};

/// Which copies are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Copies {
    /// Each piece once, half pieces to be laid on the fold.
    #[default]
    AsDrawn,
    /// Each piece once, half pieces opened out.
    Opened,
    /// Every copy that is cut, opened out, left and right.
    Each,
}

/// Which pieces stand together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grouping {
    /// All.
    #[default]
    Together,
    /// Those of one cloth, on pages of their own.
    ByCloth,
}

/// What is printed, and on what.
#[derive(Clone, Debug)]
pub struct PrintOptions {
    /// The title of the document.
    pub title: String,
    /// The paper.
    pub paper: Paper,
    /// How pieces come onto it; none for the usual way.
    pub on: Option<Use>,
    /// What a printer cannot print on, on every side.
    pub margin: Length,
    /// What a page shares with the next.
    pub overlap: Length,
    /// What bars measured on an earlier print.
    pub measured: Option<Measured>,
    /// Which copies.
    pub copies: Copies,
    /// Which pieces stand together.
    pub grouping: Grouping,
    /// Only these pieces; all where none is named.
    pub pieces: Vec<PieceName>,
    /// Cutting layouts that are shown small behind the map of the pages.
    pub layouts: Vec<Layout>,
    /// In which unit lengths are told.
    pub unit: Unit,
}

impl PrintOptions {
    /// What is usual on a paper: margins of 12 mm, pages that overlap by 10 mm, every piece once as it is drawn; for a
    /// projector each cloth apart.
    #[must_use]
    pub fn usual(title: impl Into<String>, paper: Paper) -> PrintOptions {
        let grouping = match paper {
            Paper::Light(_) => Grouping::ByCloth,
            Paper::Sheets(..) | Paper::Roll { .. } => Grouping::default(),
        };
        PrintOptions {
            title: title.into(),
            paper,
            on: None,
            margin: Length::from_mm(12.0),
            overlap: Length::from_mm(10.0),
            measured: None,
            copies: Copies::default(),
            grouping,
            pieces: Vec::new(),
            layouts: Vec::new(),
            unit: Unit::default(),
        }
    }

    /// How pieces come onto the paper.
    pub(super) fn on(&self) -> Use {
        self.on.unwrap_or(self.paper.usual())
    }
}

/// Why a pattern cannot be printed as asked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PrintError {
    /// A cutting line cannot be worked out.
    #[error(transparent)]
    Allowance(#[from] AllowanceError),
    /// There is no such piece.
    #[error("{}", .0.what)]
    Unknown(Refusal),
    /// A layout is to be shown, but there is no map of pages.
    #[error("a layout is shown behind the map of pages that are put together: single sheets have none")]
    LayoutWithoutMap,
    /// Nothing is to be printed.
    #[error("there is no piece to print")]
    Nothing,
    /// The face that texts are written in is not sound.
    #[error("the face for texts cannot be embedded: {0}")]
    Face(String),
    /// What margins leave of the paper has no room for the bars, or for the overlap.
    #[error(
        "margins and overlap leave {width} by {height} of the paper: too little for a page with a 100 mm bar"
    )]
    PaperTooSmall {
        /// The width left.
        width: Length,
        /// The height left.
        height: Length,
    },
    /// A piece does not fit on a sheet.
    #[error(
        "piece `{piece}` is {width} by {height}, more than the {paper_width} by {paper_height} that the paper has room for"
    )]
    PieceTooLarge {
        /// The piece.
        piece: PieceName,
        /// Its width with its allowances.
        width: Length,
        /// Its height.
        height: Length,
        /// The width of the paper's room.
        paper_width: Length,
        /// Its height.
        paper_height: Length,
    },
}

impl PrintError {
    pub(super) fn paper_too_small(window: Size) -> PrintError {
        PrintError::PaperTooSmall {
            width: Length::from_mm(window.width.max(0.0)).to_tenths(),
            height: Length::from_mm(window.height.max(0.0)).to_tenths(),
        }
    }

    pub(super) fn piece_too_large(piece: &PieceDrawing, window: Size) -> PrintError {
        PrintError::PieceTooLarge {
            piece: piece.name.clone(),
            width: Length::from_mm(piece.bounds.width()).to_tenths(),
            height: Length::from_mm(piece.bounds.height()).to_tenths(),
            paper_width: Length::from_mm(window.width).to_tenths(),
            paper_height: Length::from_mm(window.height).to_tenths(),
        }
    }
}
