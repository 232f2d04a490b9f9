//! The girth of the whole garment at each level, before and after.

use std::collections::BTreeSet;

use crate::show::markup::Markup;
use crate::show::report::Report;
use crate::truing::{Girth, girths};
use crate::units::{Length, Unit};

/// What became of the girth of the whole garment at a level.
pub(super) struct LevelChange {
    pub level: String,
    pub before: Option<Length>,
    pub after: Option<Length>,
    /// By how much the steps say that they change it.
    pub declared: Option<Length>,
}

impl LevelChange {
    /// By how much it is larger now.
    pub fn by(&self) -> Option<Length> {
        self.before.zip(self.after).map(|(before, after)| Length::from_mm(after.mm() - before.mm()))
    }
}

/// Of each level that was there before or is there now.
pub(super) fn changes(report: &Report<'_>) -> Vec<LevelChange> {
    let now = girths(report.now);
    let then = report.before.map(girths);
    let mut levels: Vec<String> = then.iter().flatten().map(|girth| girth.level.to_string()).collect();
    levels.extend(now.iter().map(|girth| girth.level.to_string()));
    let mut seen = BTreeSet::new();
    levels.retain(|level| seen.insert(level.clone()));
    levels.into_iter().map(|level| change(report, level, then.as_deref(), &now)).collect()
}

fn change(report: &Report<'_>, level: String, then: Option<&[Girth]>, now: &[Girth]) -> LevelChange {
    let of = |girths: &[Girth]| {
        girths.iter().find(|girth| girth.level.as_str() == level).map(|girth| girth.around)
    };
    let account = report.account.as_ref();
    let account = account.and_then(|all| all.girths.iter().find(|girth| girth.level.as_str() == level));
    let before = match then {
        Some(then) => of(then),
        None => account.and_then(|account| account.then),
    };
    let (after, declared) = (of(now), account.map(|account| account.declared));
    LevelChange { level, before, after, declared }
}

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    let rows: Vec<Vec<String>> = changes(report).iter().map(|change| row(change, report.unit)).collect();
    if !rows.is_empty() {
        let caption = "Finished girth of the whole garment, darts closed, all copies counted";
        part.table(caption, &["Level", "Before", "After", "Change", "Expected change"], &rows);
    }
    part
}

fn row(change: &LevelChange, unit: Unit) -> Vec<String> {
    let show = |girth: Option<Length>| girth.map_or_else(|| "–".to_owned(), |girth| tenths(girth, unit));
    let signed = |by: Option<Length>| by.map_or_else(|| "–".to_owned(), |by| signed(by, unit));
    vec![
        change.level.clone(),
        show(change.before),
        show(change.after),
        signed(change.by()),
        signed(change.declared),
    ]
}

/// A length to a tenth of a millimetre, finer than a tape shows.
pub(super) fn tenths(length: Length, unit: Unit) -> String {
    length.to_tenths().show(unit)
}

/// A change, with its sign.
pub(super) fn signed(by: Length, unit: Unit) -> String {
    by.to_tenths().show_change(unit).replace('-', "−")
}
