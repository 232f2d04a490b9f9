//! The resew proof: the new pieces laid back onto the old ones, on every shipped recipe and over random pieces.

#[path = "../common/counted.rs"]
mod counted;
#[path = "../common/random/mod.rs"]
mod random;
#[path = "../common/random_bodice.rs"]
mod random_bodice;
#[path = "../common/random_chain.rs"]
mod random_chain;
#[path = "../common/run.rs"]
mod run;

mod chains;
mod command;
mod edits;
mod laws;
mod recipes;
mod snapped;
