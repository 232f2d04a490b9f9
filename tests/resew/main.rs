//! The resew proof: the new pieces laid back onto the old ones, on every shipped recipe and over random pieces.

#[path = "../common/run.rs"]
mod run;

mod recipes;
