//! Proves that a pattern trues up: walks its seams, measures its girths, keeps its ledger, and checks it.
//!
//! [`girths`] measures the garment, [`walk_seam`] lays the two seamlines of a seam along each other, [`ledger`] and
//! [`account`] tell whether the garment is still the same size, [`check`] gives every fault as data, a [`Verdict`] says in
//! one line whether there is any and what is new since, [`construction_order`] tells which seam is sewn first. Nothing here changes a pattern, and that a pattern is not
//! true is no error. May use `pattern`, `allowance`, `curve`, `units` and `tolerance`.
//!
//! # Examples
//!
//! ```
//! use retrue::truing::{Verdict, girths};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! assert!(Verdict::of(&coat).is_true());
//! let bust = girths(&coat).into_iter().find(|girth| girth.level.as_str() == "bust").expect("a level of the coat");
//! assert!(bust.around.mm() > 900.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod account;
mod check;
mod construction;
mod cut_checks;
mod dart_checks;
mod derived_checks;
mod finding;
mod finding_sentence;
mod garment_checks;
mod girth;
mod ledger;
mod level_checks;
mod limits;
mod lining_checks;
mod meeting;
mod mended;
mod mirror_checks;
mod opening_checks;
mod partner;
mod piece_checks;
mod said_otherwise;
mod seam_checks;
mod sewing_stage;
mod sewn_corner;
mod size_kept;
mod verdict;
mod walk_seam;

pub use account::{Account, EdgeAccount, EdgePart, GirthAccount, PartOffGrain, account};
pub use check::check;
pub use construction::{
    Construction, OrderFault, SeamWay, SewingStep, SewingWork, StripOver, construction_order,
};
pub use finding::{Finding, FindingKind, Measure};
pub(crate) use finding_sentence::narrowed;
pub use garment_checks::declared_girths;
pub use girth::{Girth, GirthPart, girths};
pub use ledger::ledger;
pub use level_checks::{level_doubt, levels_across};
pub use limits::{Limits, SeamLimit, Weight};
pub use meeting::Meeting;
pub(crate) use meeting::{beyond, run_end, run_start};
pub use opening_checks::{beneath_lap, faced_with, seams_into_opening};
pub use partner::{LostPartner, NotchPair, RunMark};
pub use said_otherwise::SaidOtherwise;
pub use sewing_stage::SewingStage;
pub use size_kept::{LevelResized, SizeKept};
pub use verdict::{Comparison, Verdict};
pub use walk_seam::{SeamEnd, SeamWalk, UnmatchedNotch, Wanted, walk_seam, walk_seams};
