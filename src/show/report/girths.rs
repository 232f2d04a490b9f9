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
    /// How many there are in the garment of what is measured around: two sleeves.
    pub times: u32,
}

impl LevelChange {
    /// By how much it is larger now.
    pub fn by(&self) -> Option<Length> {
        self.before.zip(self.after).map(|(before, after)| Length::from_mm(after.mm() - before.mm()))
    }

    /// What of a length around all is around one.
    pub fn once(&self, all: Length) -> Length {
        Length::from_mm(all.mm() / f64::from(self.times))
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
    let mut here = now.iter().chain(then.into_iter().flatten()).filter(|girth| girth.level.as_str() == level);
    let times = here.next().map_or(1, |girth| girth.times.max(1));
    LevelChange { level, before, after, declared, times }
}

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    let rows: Vec<Vec<String>> = changes(report).iter().map(|change| row(change, report.unit)).collect();
    if !rows.is_empty() {
        let caption = "Finished girth around the garment, or around one of its sleeves or legs, darts closed";
        part.table(caption, &["Level", "Before", "After", "Change", "Expected change"], &rows);
    }
    part
}

fn row(change: &LevelChange, unit: Unit) -> Vec<String> {
    let once = |all: Option<Length>| all.map(|all| change.once(all));
    let show = |girth| once(girth).map_or_else(|| "–".to_owned(), |girth| tenths(girth, unit));
    let signed = |by| once(by).map_or_else(|| "–".to_owned(), |by| signed(by, unit));
    let level = match change.times {
        1 => change.level.clone(),
        times => format!("{}, one of {times}", change.level),
    };
    vec![level, show(change.before), show(change.after), signed(change.by()), signed(change.declared)]
}

/// A length to a tenth of a millimetre, finer than a tape shows.
pub(super) fn tenths(length: Length, unit: Unit) -> String {
    length.to_tenths().show(unit)
}

/// A change, with its sign.
pub(super) fn signed(by: Length, unit: Unit) -> String {
    by.to_tenths().show_change(unit).replace('-', "−")
}
