//! The cloth floor: how pieces lie on the cloth.
//!
//! May use every floor below it; nothing in `recut` or `truing` knows of it.

pub mod lay;
