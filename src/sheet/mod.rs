//! The pattern sheet: SVG in, SVG out.
//!
//! [`drawing`] turns the bytes of any SVG into a resolved list of shapes in millimetres and knows
//! nothing of sewing; what the shapes mean is decided above it.

pub mod drawing;
