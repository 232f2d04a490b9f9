//! Cutting lines held to the trade's rules and to what is known from outside.

mod corners;
#[path = "../common/counted.rs"]
mod counted;
mod darts;
mod distances;
mod drawing;
mod ends;
mod fixtures;
mod hems;

#[path = "../common/left_beside.rs"]
mod left_beside;
mod pieces;
#[path = "../common/random/mod.rs"]
mod random;
mod random_shapes;
mod shortage;
mod take_off;
