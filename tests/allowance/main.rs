//! Cutting lines held to the trade's rules and to what is known from outside.

mod corners;
mod darts;
mod distances;
mod ends;
mod fixtures;
mod hems;

mod pieces;
mod random;
mod take_off;
