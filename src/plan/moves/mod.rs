//! The recuts that could serve a need: one file for each family. Each is made at once, so that what is refused is none.

mod across;
mod band;
mod beside;
mod border;
mod centre;
mod cloth;
mod dart;
mod panels;
mod piecing;
mod princess;
mod selvedges;
mod side;
mod site;
mod style;
mod two_piece;

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use crate::pattern::ClothName;
use crate::plan::change::Move;
use crate::plan::need::Need;
use crate::plan::state::State;
pub(super) use cloth::from_other;
use site::{Lack, Site};
pub(super) use site::{Setting, Sight};

/// The moves that could serve a need.
pub(super) fn serving(state: &State, need: &Need, setting: Setting<'_>) -> Vec<Move> {
    let (piece, lack) = match need {
        Need::TooWide { piece, width, gives, all_along } => {
            (piece, Lack::Width { width: *width, gives: *gives, all_along: *all_along })
        }
        Need::TooLong { piece, length, longest } => {
            (piece, Lack::Length { length: *length, longest: *longest })
        }
        Need::Short { cloth } => return sparing(state, cloth, setting),
    };
    let (Some(piece), root) = (state.pattern.find(piece), state.root(piece)) else { return Vec::new() };
    let Some(cloth) = setting.stock.find(&piece.cloth) else { return Vec::new() };
    let Setting { stock, taste, tolerance, .. } = setting;
    let seen = setting.seen(&root);
    let site = Site { setting, state, stock, taste, tolerance, piece, cloth, root, seen, lack };
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
        border::from_other_cloth,
        across::across,
        panels::panels,
    ];
    let made: Vec<Vec<Move>> = families.par_iter().map(|family| family(&site)).collect();
    made.into_iter().flatten().collect()
}

/// The moves that spare a cloth of which there is too little.
fn sparing(state: &State, short: &ClothName, setting: Setting<'_>) -> Vec<Move> {
    let mut moves = cloth::spared(state, short, setting);
    moves.extend(centre::eased(state, short, setting));
    moves.extend(border::sparing(state, short, setting));
    moves
}
