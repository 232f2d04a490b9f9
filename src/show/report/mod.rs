//! The report: one page that tells a whole job, to be read on a screen, on a phone or on paper before anything is cut.
//!
//! What was done in three sentences; what is not true; the pieces before and after; each step with its picture; girths;
//! every seam walked; cutting layouts; the order of sewing; a list to tick. One HTML file, which needs no network and no
//! script. `markup` writes elements and escapes all text; each part of the page has a file of its own.
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

mod changes;
mod checklist;
mod figure;
mod girths;
mod job;
mod layout;
mod markup;
mod order;
mod phrases;
mod proof;
mod seams;
mod steps;
mod unrolled;
mod warnings;

use crate::pattern::{Pattern, Refusal};
use crate::resew::{Drawn, Replay, ResewError, ResewLimits, Resewn};
use crate::show::picture::PictureError;
use crate::truing::{self, Account, Construction, SeamWalk, Verdict};
use crate::units::Unit;

use changes::Changes;
use markup::Markup;

pub use layout::{Layout, LayoutError};

/// How the page looks, on screens light and dark and on paper.
const STYLE: &str = include_str!("style.css");

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
    changes: Option<Changes<'a>>,
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
        now: impl Into<Drawn<'a>>,
        before: Option<Drawn<'a>>,
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
            changes: before.map(|before| Changes::between(before, now)),
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

    /// The page.
    ///
    /// # Errors
    ///
    /// A cutting line cannot be worked out, so that a piece cannot be drawn.
    pub fn html(&self) -> Result<String, ReportError> {
        let mut body = Markup::default();
        let mut contents: Vec<(&str, &str)> = Vec::new();
        let mut part = |body: &mut Markup, id: &'static str, title: &'static str, inside: Markup| {
            if inside.is_empty() {
                return;
            }
            contents.push((id, title));
            let heading = format!("{id}-title");
            body.within("section", &[("id", id), ("aria-labelledby", &heading)], |section| {
                section.element("h2", &[("id", &heading)], title);
                section.add(inside);
            });
        };
        part(&mut body, "job", "The job", job::part(self));
        part(&mut body, "warnings", "Before you cut", warnings::part(self));
        part(&mut body, "before-after", "Before and after", changes::part(self)?);
        part(&mut body, "steps", "Step by step", steps::part(self)?);
        part(&mut body, "proof", "Laid back on the old pieces", proof::part(self.resewn.as_ref()));
        part(&mut body, "girths", "Girth at each level", girths::part(self));
        part(&mut body, "seams", "Every seam, walked", seams::part(self));
        part(&mut body, "layouts", "On the cloth", layout::part(&self.layouts));
        part(&mut body, "order", "In which order to sew", order::part(self));
        part(&mut body, "checklist", "To tick off before you cut", checklist::part(self));
        Ok(self.page(body, &contents))
    }

    fn page(&self, body: Markup, contents: &[(&str, &str)]) -> String {
        let title = format!("{}: what was done", self.title);
        let mut page = Markup::default();
        page.within("html", &[("lang", "en")], |html| {
            html.within("head", &[], |head| {
                head.empty("meta", &[("charset", "utf-8")]);
                head.empty(
                    "meta",
                    &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")],
                );
                head.empty("meta", &[("name", "color-scheme"), ("content", "light dark")]);
                head.element("title", &[], &title);
                head.style(STYLE);
            });
            html.within("body", &[], |all| {
                all.within("header", &[], |header| header.element("h1", &[], &title));
                all.within("nav", &[("aria-label", "Contents")], |nav| {
                    nav.within("ul", &[], |list| {
                        for (id, title) in contents {
                            list.within("li", &[], |item| {
                                item.element("a", &[("href", &format!("#{id}"))], title);
                            });
                        }
                    });
                });
                all.within("main", &[], |main| main.add(body));
            });
        });
        format!("<!DOCTYPE html>\n{}\n", page.into_text())
    }
}

/// Things named in a row: `a, b and c`.
fn listed(things: &[String]) -> String {
    match things {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
