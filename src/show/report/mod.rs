//! The report: one page that tells a whole job, to be read on a screen, on a phone or on paper before anything is cut.
//!
//! What was done in three sentences; what is not true; the pieces before and after; each step with its picture; girths;
//! every seam walked; cutting layouts; the order of sewing; a list to tick. One HTML file, which needs no network and no
//! script. each part of the page has a file of its own.
//!
//! # Examples
//!
//! ```
//! use retrue::show::report::Report;
//! use retrue::units::Unit;
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let report = Report::of("coat", &coat, None, Unit::Centimetre)?;
//! assert!(report.is_true());
//! assert!(report.html()?.contains("front-facing"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod answers;
mod before_after;
mod changes;
mod checklist;
mod figure;
mod followers;
mod girths;
mod job;
mod layout;
mod marks;
mod order;
mod page;
mod phrases;
mod proof;
mod seams;
mod sewn;
mod steps;
mod unrolled;
mod warnings;

use crate::pattern::{Pattern, Refusal};
use crate::resew::{DrawnPattern, Replay, ResewError, ResewLimits, Resewn};
use crate::show::picture::PictureError;
use crate::truing::{self, Account, Construction, SeamWalk, Verdict};
use crate::units::Unit;

pub use crate::show::layout::{Layout, LayoutError};
pub(crate) use changes::ChangedPieces;
pub(crate) use phrases::of_step;
pub(crate) use steps::{capital, with_capital};

/// Why there can be no report.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReportError {
    /// A picture cannot be drawn.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// A seam names an edge that is not there.
    #[error("{}", .0.what)]
    Unsound(Refusal),
    /// The pattern was not made from the earlier one.
    #[error("{0}")]
    OtherHistory(ResewError),
}

/// All that the page tells.
#[derive(Clone, Debug)]
pub struct Report<'a> {
    title: String,
    now: &'a Pattern,
    before: Option<&'a Pattern>,
    unit: Unit,
    changes: Option<ChangedPieces<'a>>,
    replay: Option<Replay<'a>>,
    verdict: Verdict,
    walks: Vec<SeamWalk>,
    account: Option<Account>,
    construction: Construction,
    layouts: Vec<Layout>,
    resewn: Option<Resewn>,
}

impl<'a> Report<'a> {
    /// A report on a pattern; on how it was made where the pattern that it was made from is given.
    ///
    /// # Errors
    ///
    /// The one was not made from the other; a seam names an edge that is not there.
    pub fn of(
        title: impl Into<String>,
        now: impl Into<DrawnPattern<'a>>,
        before: Option<DrawnPattern<'a>>,
        unit: Unit,
    ) -> Result<Report<'a>, ReportError> {
        let now = now.into();
        let replay = before.map(|before| Replay::of(before, now)).transpose();
        let replay = replay.map_err(ReportError::OtherHistory)?;
        let resewn = replay.as_ref().map(Replay::resewn);
        let laid_back = resewn.iter().flat_map(|resewn| resewn.findings(&ResewLimits::default()));
        let (now, before) = (now.pattern, before.map(|before| before.pattern));
        let verdict = Verdict::of(now).with(laid_back);
        Ok(Report {
            title: title.into(),
            now,
            before,
            unit,
            changes: before.map(|before| ChangedPieces::between(before, now)),
            replay,
            verdict,
            walks: truing::walk_seams(now).map_err(ReportError::Unsound)?,
            account: truing::account(now),
            construction: truing::construction_order(now),
            layouts: Vec::new(),
            resewn,
        })
    }

    /// The report with cutting layouts.
    #[must_use]
    pub fn with_layouts(self, layouts: Vec<Layout>) -> Report<'a> {
        Report { layouts, ..self }
    }

    /// Whether nothing stands in the way of cutting.
    #[must_use]
    pub fn is_true(&self) -> bool {
        self.can_be_sewn() && self.verdict.is_true()
    }

    /// What the checks say of the pattern, and of the new pieces laid back onto the old.
    #[must_use]
    pub fn verdict(&self) -> &Verdict {
        &self.verdict
    }

    /// Whether there is an order in which all seams can be sewn as they are declared.
    #[must_use]
    pub fn can_be_sewn(&self) -> bool {
        self.construction.faults.is_empty()
    }
}
