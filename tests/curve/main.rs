//! Laws of the floor `retrue::curve`, held against independent oracles: `lyon_geom` in f64 for lengths, dense sampling
//! for places and crossings, `clipper2-rust` for areas of offsets, and closed formulas.

mod blends;
#[path = "../common/counted.rs"]
mod counted;
mod crossings;
mod degenerate;
mod fits;
mod generators;
mod lengths;
mod motions;
mod offsets;
mod outlines;
