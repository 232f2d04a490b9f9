//! Where to add, move or turn which seam so that all of a pattern fits the cloth at hand.
//!
//! ```text
//! PlanTask: Pattern, Stock, Taste
//!   └─ trued ──> what was not true trued first, as far as steps can (trued)
//!   └─ needs ──> what does not fit, and by how much          (need)
//!        └─ moves ──> recuts that could serve a need         (moves/, each made with Step::apply)
//!             └─ search ──> sets of moves that fit by width and area, best first, the rest pruned
//!                  └─ trials ──> laid quickly, the best few well
//!                       └─ Planned: alternatives, ranked; or what would come closest
//! ```
//!
//! All of it goes by geometry, seams, darts and levels; what a piece is called is no more than a hint of whether it is
//! seen. May use `cloth`, `recut`, `truing` and what they use.
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::Size;
//! use retrue::cloth::search::Limit;
//! use retrue::plan::{Effort, PlanTask, Taste, plan};
//! use retrue::units::Angle;
//!
//! # let sheet = std::fs::read("fixtures/skirt-shaped-back.svg")?;
//! let skirt = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let cloth = "140cm x 2m".parse::<Size>()?.stock()?;
//! let effort = Effort { recuts: 20, quick: Limit::Iterations(20), good: Limit::Iterations(20), ..Effort::default() };
//! let taste = Taste::default();
//! let task = PlanTask { pattern: &skirt, stock: &cloth, taste: &taste, grain_tolerance: Angle::ZERO };
//! let planned = plan(task, &effort, &mut |_| {})?;
//! assert!(!planned.alternatives.is_empty(), "it fits as it is");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod alternative;
mod change;
mod choices;
mod closest;
mod cost;
mod draft;
mod effort;
mod figures;
pub mod file;
mod least_seen;
mod look;
mod moves;
mod narrower;
mod need;
mod planning;
mod running_on;
mod search;
mod state;
mod task;
mod taste;
mod trial;
mod trials;
mod trued;
mod variety;
mod view;

pub use crate::pattern::Seen;
pub use alternative::Alternative;
pub use change::ChangeKind;
pub use choices::PlanChoices;
pub use closest::{Closest, Missing};
pub use cost::Cost;
pub use effort::{Effort, News};
pub use figures::{LengthUsed, RecutFigures, figures};
pub use narrower::{Narrower, narrower, on_selvedge, or_narrower};
pub use planning::{PlanError, Planned, plan};
pub use running_on::Missed;
pub use search::{Prospects, prospects};
pub use state::Done;
pub use task::PlanTask;
pub use taste::{Taste, Unwanted};
