//! Cutting lines held to the trade's rules and to what is known from outside.

mod corners;
mod darts;
mod distances;
mod drawing;
mod ends;
mod fixtures;
mod hems;

#[path = "../common/left_beside.rs"]
mod left_beside;
mod pieces;
mod random;
#[path = "../common/random_block.rs"]
#[allow(dead_code, reason = "only its patterns are used here")]
mod random_block;
#[path = "../common/random_piece.rs"]
#[allow(dead_code, reason = "only its patterns are used here")]
mod random_piece;
mod shortage;
mod take_off;
