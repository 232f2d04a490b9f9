//! Why a layout cannot even be looked for.

use crate::allowance::AllowanceError;
use crate::cloth::search::BadProblem;
use crate::curve::CurveError;
use crate::pattern::{ClothName, LevelName, PieceName, Refusal};
use crate::tolerance::MOST_COPIES;

/// Why a layout cannot even be looked for.
#[derive(Debug, thiserror::Error)]
pub enum LayError {
    /// A piece has no cutting line.
    #[error(transparent)]
    Allowance(#[from] AllowanceError),
    /// Something asked for is not in the pattern.
    #[error(transparent)]
    Pattern(#[from] Refusal),
    /// The gap around a piece cannot be drawn.
    #[error("the gap around `{piece}` cannot be drawn: {source}; ask for another gap")]
    Gap {
        /// The piece.
        piece: PieceName,
        /// What stands in the way.
        source: CurveError,
    },
    /// A piece is cut from a cloth that is not at hand.
    #[error("there is no cloth `{0}`")]
    NoCloth(ClothName),
    /// More is to be laid than can be searched for at once.
    #[error("with `{piece}`, cut {count} times, more than {MOST_COPIES} copies are to be laid at once")]
    TooMany {
        /// The piece with which it is too much.
        piece: PieceName,
        /// How often it is cut.
        count: u32,
    },
    /// No piece is cut from a cloth that is at hand.
    #[error("no piece is cut from a cloth that is at hand; name the cloths as the pieces do (data-cloth)")]
    NothingToLay,
    /// Something is to meet on cloth that has no pattern.
    #[error(
        "{seam}: `{cloth}` has neither stripes nor colours, so that there is nothing to meet along the seam"
    )]
    NoStripes {
        /// The seam.
        seam: String,
        /// The cloth.
        cloth: ClothName,
    },
    /// Stripes are to meet between two cloths.
    #[error(
        "{seam}: one side is cut from `{first}`, the other from `{second}`: their stripes have nothing in common"
    )]
    TwoCloths {
        /// The seam.
        seam: String,
        /// The cloth of the one side.
        first: ClothName,
        /// The cloth of the other.
        second: ClothName,
    },
    /// A level is to be matched that no piece carries.
    #[error("no piece has a level `{level}`")]
    NoLevel {
        /// The level.
        level: LevelName,
        /// The nearest that there is.
        nearest: Option<String>,
    },
    /// A level is to be matched on cloths that have no pattern.
    #[error("level `{0}`: the pieces that carry it are cut from cloth that has neither stripes nor colours")]
    LevelOnPlainCloth(LevelName),
    /// The search cannot work on what it is given.
    #[error("the search cannot work on this: {0}")]
    Search(#[from] BadProblem),
    /// What the search found does not hold on the true outlines.
    #[error("the layout that was found does not hold: {0}")]
    Unsound(String),
}
