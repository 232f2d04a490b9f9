#![doc = "Re-cuts sewing-pattern pieces so that a garment fits the cloth at hand, and proves that the new pieces still true up."]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod allowance;
pub mod cloth;
pub mod curve;
pub mod pattern;
pub mod plan;
pub mod recut;
pub mod resew;
pub mod sheet;
pub mod show;
pub mod tolerance;
pub mod truing;
pub mod units;
