//! Re-cuts sewing-pattern pieces.
#![forbid(unsafe_code)]

pub mod curve;
pub mod tolerance;
