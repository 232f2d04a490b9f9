//! The gate before cutting: everything that is not true, as findings.

mod allowances;
mod copies;
mod darts;
mod grain;
mod inside;
mod kinks;
mod seams;

use super::finding::{Finding, FindingKind};
use super::ledger::girth_accounts;
use super::seam_index::SeamIndex;
use super::walk_seam::{SeamWalk, walk_indexed};
use crate::pattern::Pattern;
use crate::units::Length;

/// What may be off before it is a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Between the sewn lengths of the two sides of a seam, beyond its ease: 0.5 mm, the line of a sharp pencil.
    pub length: Length,
    /// Between notches that meet, and for ease on the wrong side between two of them: 0.5 mm.
    pub notch: Length,
    /// Of an edge that runs on across a seam, a closed dart or the fold: 3°, which shows as 1 mm over 20 mm.
    pub kink_degrees: f64,
    /// Of a new lengthwise seam against the grain: 3°, beyond which a long edge visibly grows.
    pub off_grain_degrees: f64,
    /// Between the legs of a dart: 1 mm, which is pressed away.
    pub dart_legs: Length,
    /// Between the girth of a level now and when it was first read: 0.5 mm on the whole garment; no tape shows it.
    pub girth: Length,
    /// Between the ends of two cutting lines when their stitching lines are matched: 0.5 mm.
    pub cut_ends: Length,
    /// Between the allowances of the two sides of a seam: 0.5 mm.
    pub allowance: Length,
    /// By which an edge on the selvedge may stray from the line of the grain: 0.5 mm.
    pub selvedge: Length,
}

impl Default for Limits {
    fn default() -> Limits {
        let half = Length::from_mm(0.5);
        Limits {
            length: half,
            notch: half,
            kink_degrees: 3.0,
            off_grain_degrees: 3.0,
            dart_legs: Length::from_mm(1.0),
            girth: half,
            cut_ends: half,
            allowance: half,
            selvedge: half,
        }
    }
}

/// A pattern with what all families of checks look at, made once.
struct Measures<'a> {
    pattern: &'a Pattern,
    index: SeamIndex<'a>,
    walks: Vec<SeamWalk>,
    limits: &'a Limits,
}

/// Everything about a pattern that is over its limit, seams first. Takes time in proportion to the size of the
/// pattern.
#[must_use]
pub fn check(pattern: &Pattern, limits: &Limits) -> Vec<Finding> {
    let index = SeamIndex::of(pattern);
    let walks = pattern.seam_ids().filter_map(|id| walk_indexed(&index, id).ok()).collect();
    let measures = Measures { pattern, index, walks, limits };
    let mut findings = seams::lengths(&measures);
    findings.extend(seams::notches(&measures));
    findings.extend(kinks::across_seams(&measures));
    findings.extend(kinks::in_pieces(&measures));
    findings.extend(darts::darts(&measures));
    findings.extend(allowances::along_seams(&measures));
    findings.extend(grain::grain(&measures));
    findings.extend(copies::copies(&measures));
    findings.extend(inside::inside(&measures));
    findings.extend(girths(&measures));
    findings
}

/// Girths that changed since the pattern was first read, beyond what the steps declare.
fn girths(measures: &Measures<'_>) -> Vec<Finding> {
    let Some(then) = &measures.pattern.record.ledger else { return Vec::new() };
    let changed = girth_accounts(measures.pattern, then).into_iter().filter_map(|account| {
        let by = account.unexplained().mm();
        Finding::length(FindingKind::GirthChanged, account.level.to_string(), by, measures.limits.girth)
    });
    changed.collect()
}
