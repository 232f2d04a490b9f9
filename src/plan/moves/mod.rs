//! The recuts that could serve a need: one file for each family. Each is made at once, so that what is refused is none.

mod across;
mod band;
mod centre;
mod cloth;
mod dart;
mod panels;
mod piecing;
mod princess;
mod side;
mod style;
mod two_piece;

use crate::cloth::fit::PieceFit;
use crate::cloth::{Cloth, Stock};
use crate::pattern::{ClothName, Finish, Piece, PieceName};
use crate::plan::PlanTask;
use crate::plan::draft::Draft;
use crate::plan::need::Need;
use crate::plan::seen::Seen;
use crate::plan::state::State;
use crate::plan::taste::Taste;
use crate::tolerance::SEAM_ROOM;
use crate::units::Angle;

/// A kind of change.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum ChangeKind {
    /// A side seam is moved into the piece.
    SideSeam,
    /// A side seam is moved so that the selvedge is the edge of the piece.
    Selvedge,
    /// A seam in place of a fold.
    Centre,
    /// A princess seam.
    Princess,
    /// A dart is run out into a seam.
    DartSeam,
    /// A seam along a line drawn on the piece.
    StyleLine,
    /// A seam across the upper part of a piece.
    Yoke,
    /// A seam across, lower down.
    Waist,
    /// A piece in panels of equal width.
    Panels,
    /// A border cut off along an edge.
    Band,
    /// The grain across the cloth.
    Crosswise,
    /// A piece sewn to itself in two: an upper and an under part.
    TwoPiece,
    /// A piece put together where that is not seen.
    Piecing,
    /// Another cloth.
    Companion,
}

/// A recut that could serve a need.
#[derive(Clone, Debug)]
pub(super) struct Move {
    pub(super) kind: ChangeKind,
    /// The piece as it is called in the given pattern.
    pub(super) root: PieceName,
    pub(super) seen: Seen,
    pub(super) draft: Draft,
    pub(super) tale: String,
}

/// A piece that does not fit, and all around it.
pub(super) struct Site<'a> {
    pub(super) state: &'a State,
    pub(super) stock: &'a Stock,
    pub(super) taste: &'a Taste,
    pub(super) tolerance: Angle,
    pub(super) piece: &'a Piece,
    pub(super) cloth: &'a Cloth,
    pub(super) root: PieceName,
    pub(super) seen: Seen,
    pub(super) lack: Lack,
}

/// In which way a piece does not fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lack {
    /// Its width as cut, and what the cloth gives.
    Width { width: f64, gives: f64 },
    /// Its length as cut, and that of the cloth.
    Length { length: f64, longest: f64 },
}

impl Lack {
    pub(super) fn over(self) -> f64 {
        match self {
            Lack::Width { width, gives } => width - gives,
            Lack::Length { length, longest } => length - longest,
        }
    }
}

impl Site<'_> {
    /// Whether the piece may be cut up in a way.
    pub(super) fn may(&self, kind: ChangeKind) -> bool {
        self.taste.may_cut(&self.root, kind)
    }

    /// How much must come off the piece along a new seam so that it fits: what it misses, the new seam's allowance, and a
    /// little so that it does not miss again by rounding.
    pub(super) fn must_give(&self) -> f64 {
        self.lack.over() + usual_allowance(self.piece) + SEAM_ROOM
    }

    pub(super) fn draft(&self) -> Draft {
        Draft::of(&self.state.pattern)
    }

    pub(super) fn made(&self, kind: ChangeKind, draft: Draft, tale: String) -> Move {
        Move { kind, root: self.root.clone(), seen: self.seen, draft, tale }
    }

    /// A piece of a draft against its cloth.
    pub(super) fn fit_of(&self, draft: &Draft, piece: &PieceName) -> Option<PieceFit> {
        let fit = crate::cloth::fit::fit(&draft.pattern, self.stock, self.tolerance).ok()?;
        fit.pieces.into_iter().find(|found| found.piece == *piece)
    }
}

/// The allowance that a new seam gets where a piece has none to go by, mm: that of the operations.
const HOME_ALLOWANCE: f64 = 15.0;

/// The greatest allowance of a piece's sewn edges: no new seam takes more.
fn usual_allowance(piece: &Piece) -> f64 {
    let sewn = piece.edges().iter().filter(|edge| edge.finish == Finish::Seam);
    sewn.map(|edge| edge.allowance.mm()).reduce(f64::max).unwrap_or(HOME_ALLOWANCE)
}

/// How much of each piece of the given pattern is seen.
pub(super) type Sight = std::collections::BTreeMap<PieceName, Seen>;

/// What every move needs to know beside the state.
#[derive(Clone, Copy)]
pub(super) struct Setting<'a> {
    pub(super) stock: &'a Stock,
    pub(super) taste: &'a Taste,
    pub(super) tolerance: Angle,
    pub(super) sight: &'a Sight,
}

impl<'a> Setting<'a> {
    pub(super) fn of(task: PlanTask<'a>, sight: &'a Sight) -> Setting<'a> {
        Setting { stock: task.stock, taste: task.taste, tolerance: task.grain_tolerance, sight }
    }

    pub(super) fn seen(&self, root: &PieceName) -> Seen {
        self.sight.get(root).copied().unwrap_or(Seen::Detail)
    }
}

/// The moves that could serve a need.
pub(super) fn serving(state: &State, need: &Need, setting: Setting<'_>) -> Vec<Move> {
    let (piece, lack) = match need {
        Need::TooWide { piece, width, gives } => (piece, Lack::Width { width: *width, gives: *gives }),
        Need::TooLong { piece, length, longest } => {
            (piece, Lack::Length { length: *length, longest: *longest })
        }
        Need::Short { cloth } => return sparing(state, cloth, setting),
    };
    let (Some(piece), root) = (state.pattern.find(piece), state.root(piece)) else { return Vec::new() };
    let Some(cloth) = setting.stock.find(&piece.cloth) else { return Vec::new() };
    let Setting { stock, taste, tolerance, .. } = setting;
    let seen = setting.seen(&root);
    let site = Site { state, stock, taste, tolerance, piece, cloth, root, seen, lack };
    let families = [
        cloth::crosswise,
        cloth::companion,
        side::moved,
        centre::opened,
        style::along_lines,
        two_piece::two_piece,
        princess::princess,
        dart::run_out,
        piecing::pieced,
        band::banded,
        across::across,
        panels::panels,
    ];
    families.iter().flat_map(|family| family(&site)).collect()
}

/// The moves that spare a cloth of which there is too little.
fn sparing(state: &State, short: &ClothName, setting: Setting<'_>) -> Vec<Move> {
    let mut moves = cloth::spared(state, short, setting);
    moves.extend(centre::eased(state, short, setting));
    moves
}
