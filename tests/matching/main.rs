//! Stripes along seams: what is told of a layout is what the layout is.

#[path = "../common/run.rs"]
mod run;

mod drafted;
mod every_seam;
mod laws;
mod planted;
