//! Bringing a bought drawing in at the table: what was found in it, what a map says of it, and what is still missing.
//!
//! ```text
//! page/bring.js ── changes of the map ──> Bring ──> map.toml ── adopt ──> bought.svg ──> the table
//! ```
//!
//! [`Bring`] holds the drawing and its map; all that is found, guessed, missing or wrong `adopt` says, and here is only how a
//! person is shown it. The file of the map is the truth: a change is written there before the page says so.

mod choosing;
mod files;
mod missing;
mod reading;
mod seen;
mod server;
mod state;
mod thing;

pub use files::BringFiles;
pub use missing::{AnswerSeen, MissingSeen};
pub use reading::DrawingReader;
pub use seen::{BringSeen, OutlineSeen, SizeSeen};
pub use server::{Bringing, serve_bringing};
pub use state::Bring;
pub use thing::{ThingAsked, ThingSeen};
