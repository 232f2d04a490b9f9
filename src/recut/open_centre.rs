//! `open-centre`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeId, EdgeName, EdgeRef, Finish, Piece, PieceName, Refusal};
use crate::recut::lap_over::lap_over;
use crate::recut::opened_side::widen;
use crate::recut::outcome::cut_opened;
use crate::recut::symmetry::find_fold;
use crate::recut::{Notice, Work};
use crate::truing::beneath_lap;
use crate::units::Length;

/// Turn a fold into a seam to the piece's own mirrored copy.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OpenCentre {
    /// The half piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The fold; needed only where the piece has several.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
    /// One half is sewn on top of the other, with the stitching so far inside its edge; 0mm: edge to edge.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lap: Option<Length>,
}

impl OpenCentre {
    /// The fold of a piece made a seam.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{OpenCentre, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let seamed = Step::from(OpenCentre::of("back".parse()?)).apply(&coat)?.pattern;
    /// let back = seamed.piece(&"back".parse()?)?;
    /// assert!(back.fold().is_none());
    /// assert_eq!(back.cut.copies, 2);
    /// assert_eq!(seamed.seams().len(), coat.seams().len() + 1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName) -> OpenCentre {
        OpenCentre { piece, edge: None, lap: None }
    }
}

pub(super) fn open_centre(step: &OpenCentre, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let fold = find_fold(&piece, step.edge.as_ref())?;
    open_fold(work, &piece, fold)?;
    let Some(lap) = step.lap else { return Ok(()) };
    let edge = piece.edge_ref(fold);
    if lap > Length::ZERO {
        widen(work, &edge, beneath_lap(lap))?;
    }
    lap_over(work, &edge, lap)
}

/// Makes a fold a seam to the piece's own mirrored copy, and doubles the copies.
pub(super) fn open_fold(work: &mut Work, piece: &Piece, fold: EdgeId) -> Result<(), Refusal> {
    let name = piece.name();
    let cut = cut_opened(piece)?;
    let opened = work.pattern.piece_mut(name)?;
    opened.cut = cut;
    let settings = opened.edge_settings(fold);
    *settings.finish = Finish::Seam;
    *settings.allowance = piece.usual_allowance();
    work.tell(Notice::CutChanged { piece: name.clone(), cut });
    let edge = EdgeRef::new(name.clone(), piece.edge(fold).name.clone());
    work.add_centre_seam(&edge)
}
