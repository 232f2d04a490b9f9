//! The search for a lay: where pieces go on cloth.
//!
//! A narrow interface, so that another engine can take its place: a [`Problem`] and a [`Budget`] go in, an [`Outcome`]
//! comes out. Knows polygons and rules, nothing of garments.
//!
//! ```text
//! search(&problem, &budget, &mut |progress| Continue::Search) -> Result<Outcome, BadProblem>
//! check::faults(&problem, &poses) -> Vec<Fault>      exact, of the problem's own outlines
//! ```

mod alike;
mod by_hand;
pub mod check;
mod circles;
mod figure;
mod ground;
mod impossible;
mod lay;
mod likeness;
mod matching;
mod outcome;
mod parts;
mod phases;
mod placing;
mod polygon;
mod prepared;
mod problem;
mod race;
mod random;
mod searching;
mod separating;
mod sound;
mod starting;
mod stop;
mod turning;
mod unlike;
mod ways;

pub use by_hand::ByHand;
pub use likeness::{JoinedItems, ShadeGrid, ShadeTable, Shades, UNKNOWN_SHADE};
pub use outcome::{FoundLay, Impossible, LayFault, Outcome};
pub use problem::{
    Axis, Budget, Continue, Goal, Hold, Item, LaySheet, Limit, LinesAlike, MarksAround, Phase, PhaseLines,
    Pose, Problem, Progress, SheetMark, Turn,
};
pub use searching::{search, search_shown};
pub use sound::BadProblem;
pub use stop::Stop;
