//! What can be guessed of a drawing, so that a person need not say it.
//!
//! ```text
//! Found ── piece (words, labels, notches) ──> LikelyPiece
//! pattern of these ── seams (sides, pairs, runs) ──> LikelySeam
//! ```

mod allowance_said;
mod counterparts;
mod labels;
mod notches;
mod pairs;
mod piece;
mod runs;
mod seams;
mod sides;
mod usual;
mod vocabulary;
mod words;

pub(super) use allowance_said::{Included, said_allowance};
pub(super) use piece::{LikelyEdge, LikelyFinish, LikelyPiece, likely_piece_of, likely_pieces};
pub use seams::{Certainty, LikelySeam, likely_seams};
pub use usual::{edge_names, piece_names};
