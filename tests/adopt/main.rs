//! Bringing in drawings that nobody drew as pattern sheets.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/programs.rs"]
mod programs;
#[path = "../common/run.rs"]
mod run;

#[path = "../common/usvg_path.rs"]
mod usvg_path;

mod broken;
mod compare;
mod direct;
mod drawing;
mod drawn;
mod edited;
mod faults;
mod furniture;
mod guesses;
mod hostile;
mod kept;
mod mapping;
mod maps;
mod pages;
mod pdf;
mod picture;
mod printed;
mod seen;
mod sizes;
mod whole;
