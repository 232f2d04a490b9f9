//! What a hand does to what it holds, as a step: here alone operations are known by name.
//!
//! `grip` is what can be held and what a hand may do there, `motion` where the hand is and what it means; each thing that is
//! held has a file of its own, and `meant` asks the right one.

mod cut;
mod dart;
mod edge;
mod grain;
mod grip;
mod joined;
mod meant;
mod motion;
mod onto_cloth;
mod out_of_job;
mod seam;
mod seam_runs;

pub(super) use grip::ways;
pub use grip::{Grip, Handling, HandlingSeen};
pub use motion::Hand;
pub(super) use motion::{BeneathHand, FallsShort, Held, refuse_beyond};
pub(super) use out_of_job::out_of_job;
