//! Planning: pairs of a pattern and a cloth whose answer is known, and the command.

#[path = "../common/run.rs"]
mod run;
#[path = "../common/spoiled.rs"]
mod spoiled;

mod borders;
mod command;
mod differing;
mod narrow_coat;
mod pairs;
mod selvedges;
mod short;
mod stripes;
mod untrue;
mod wedges;
