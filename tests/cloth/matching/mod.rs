//! Stripes along seams: what is told of a layout is what the layout is.

mod drafted;
mod every_seam;
mod laws;
mod planted;
