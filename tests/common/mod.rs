//! What several tests share.
#![allow(dead_code, reason = "each test file uses a part of it")]

pub mod commercial;
pub mod measure;
pub mod svg_dump;
