//! Whether the pieces true up: seams walked, girths measured, the ledger, and the checks before cutting.
//!
//! Everything here measures a [`crate::pattern::Pattern`] as it is and changes nothing. A seam that is not true is a
//! finding, never an error. May use `pattern`, `curve`, `allowance`, `units` and `tolerance`.

mod check;
mod corner;
mod finding;
mod girth;
mod ledger;
mod notches;
mod seam_index;
mod walk_seam;
mod wedge;

pub use check::{Limits, check};
pub use corner::{CornerAngle, Meeting};
pub use finding::{Finding, FindingKind, Measured, Weight};
pub use girth::{Girth, girths};
pub use ledger::{Account, EdgeAccount, EdgePlace, GirthAccount, PartOffGrain, account, ledger};
pub use notches::{LoneNotch, NotchPair, Partner};
pub use walk_seam::{SeamEnd, SeamWalk, SideWalk, StretchEase, walk_seam};
