//! Cloth: its files, what fits on it, and layouts.

#[path = "../common/counted.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod counted;
#[path = "../common/dyed_cloth.rs"]
mod dyed_cloth;
#[path = "../common/lay_sets.rs"]
mod lay_sets;
#[path = "../common/programs.rs"]
mod programs;
#[path = "../common/run.rs"]
mod run;

mod by_hand;
mod colours;
mod files;
mod fit;
mod lay_command;
mod lay_engine;
mod matching;
mod pictures;
mod shipped_gradation;
