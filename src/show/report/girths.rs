//! The girth of the whole garment at each level, before and after.

use std::collections::BTreeSet;

use crate::show::report::Report;
use crate::show::report::markup::Markup;
use crate::truing::{Girth, girths};
use crate::units::{Length, Unit};

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    let now = girths(report.now);
    let then = report.before.map(girths);
    let mut levels: Vec<String> = then.iter().flatten().map(|girth| girth.level.to_string()).collect();
    levels.extend(now.iter().map(|girth| girth.level.to_string()));
    let mut seen = BTreeSet::new();
    levels.retain(|level| seen.insert(level.clone()));
    let rows: Vec<Vec<String>> =
        levels.iter().map(|level| row(report, level, then.as_deref(), &now)).collect();
    if !rows.is_empty() {
        let caption = "Finished girth of the whole garment, darts closed, all copies counted";
        part.table(caption, &["Level", "Before", "After", "Change", "Expected change"], &rows);
    }
    part
}

fn row(report: &Report<'_>, level: &str, then: Option<&[Girth]>, now: &[Girth]) -> Vec<String> {
    let of = |girths: &[Girth]| {
        girths.iter().find(|girth| girth.level.as_str() == level).map(|girth| girth.around)
    };
    let account = report.account.as_ref();
    let account = account.and_then(|all| all.girths.iter().find(|girth| girth.level.as_str() == level));
    let before = match then {
        Some(then) => of(then),
        None => account.and_then(|account| account.then),
    };
    let after = of(now);
    let show =
        |girth: Option<Length>| girth.map_or_else(|| "–".to_owned(), |girth| tenths(girth, report.unit));
    let change = before.zip(after).map(|(before, after)| Length::from_mm(after.mm() - before.mm()));
    let signed = |by: Option<Length>| by.map_or_else(|| "–".to_owned(), |by| signed(by, report.unit));
    vec![
        level.to_owned(),
        show(before),
        show(after),
        signed(change),
        signed(account.map(|account| account.declared)),
    ]
}

/// A length to a tenth of a millimetre, finer than a tape shows.
pub(super) fn tenths(length: Length, unit: Unit) -> String {
    rounded(length).show(unit)
}

fn rounded(length: Length) -> Length {
    Length::from_mm((length.mm() * 10.0).round() / 10.0)
}

/// A change, with its sign.
fn signed(by: Length, unit: Unit) -> String {
    rounded(by).show_change(unit).replace('-', "−")
}
