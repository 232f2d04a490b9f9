//! Re-cuts sewing-pattern pieces.
#![forbid(unsafe_code)]

pub mod sheet;
pub mod tolerance;
