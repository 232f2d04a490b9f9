//! Planning: pairs of a pattern and a cloth whose answer is known, and the command.

#[path = "../common/run.rs"]
mod run;

mod command;
mod narrow_coat;
mod pairs;
mod stripes;
