//! Stripes and colours along seams: what is told of a layout is what the layout is.

mod colours;
mod drafted;
mod every_seam;
mod laws;
mod plaid;
mod planted;
