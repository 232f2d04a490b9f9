//! Cloth: its files, what fits on it, and layouts.

#[path = "../common/lay_sets.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod lay_sets;
#[path = "../common/run.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod run;

mod files;
mod fit;
mod lay_command;
mod lay_engine;
mod matching;
