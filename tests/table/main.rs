//! The cutting table: who may speak with it, what a hand means, what is kept and what is never lost.

mod begun;
mod bench;
mod brought;
mod cloth;
mod door;
mod drag;
mod forms;
mod hands;
mod kept;
mod killed;
mod lay;
mod lying;
mod outside;
mod photographed;
mod plan;
mod pointed;
mod saved;
mod shown;
