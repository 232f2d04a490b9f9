//! Three answers before all else: whether it fits the cloth, whether it is true, whether it is of the same size.

use crate::cloth::layout::used_of;
use crate::pattern::Piece;
use crate::show::markup::Markup;
use crate::show::report::Report;
use crate::show::report::girths::{changes, signed};
use crate::tolerance::TOLD_DIFFERENCE;
use crate::truing::{LevelResized, SizeKept};
use crate::units::{counted, listed};

/// An answer.
struct Answer {
    /// How it is shown: `yes`, `no`, or `open` where it was not asked.
    class: &'static str,
    /// In a word or two.
    word: &'static str,
    /// By what that is known.
    because: Vec<String>,
}

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    part.within("dl", &[("class", "answers")], |all| {
        for answer in [fits(report), is_true(report), same_size(report)] {
            all.within("div", &[("class", answer.class)], |one| {
                one.element("dt", &[], answer.word);
                answer.because.iter().for_each(|line| one.element("dd", &[], line));
            });
        }
    });
    part
}

/// What fits is laid: a piece that lies on no layout was cut into others since, or its cloth is not at hand.
fn fits(report: &Report<'_>) -> Answer {
    let used: Vec<_> = report.layouts.iter().flat_map(|layout| &layout.used).collect();
    if used.is_empty() {
        let because = match report.layouts.is_empty() {
            true => "It was not laid on the cloth yet.",
            false => "The layouts do not say how much they use.",
        };
        return Answer { class: "open", word: "Fits?", because: vec![because.to_owned()] };
    }
    let lines =
        used.iter().map(|of| format!("{}: {} used", of.ground, used_of(of.used, of.whole, report.unit)));
    let mut because: Vec<String> = lines.collect();
    let lies = |piece: &&Piece| report.layouts.iter().any(|layout| layout.holds(piece.name()));
    let missing: Vec<String> = report
        .now
        .pieces()
        .filter(|piece| piece.is_cut() && !lies(piece))
        .map(|piece| piece.name().to_string())
        .collect();
    if !missing.is_empty() {
        because.push(format!("not laid out: {}", listed(&missing)));
    }
    match missing.is_empty() {
        true => Answer { class: "yes", word: "Fits", because },
        false => Answer { class: "open", word: "Fits in part", because },
    }
}

fn is_true(report: &Report<'_>) -> Answer {
    let seams = counted(report.walks.len(), "seam");
    let warnings = report.verdict.findings().len() - report.verdict.untrue().count();
    let untrue = report.verdict.untrue().count() + report.construction.faults.len();
    let mut because = vec![format!("{seams} walked")];
    if untrue > 0 {
        because.push(format!("{} to mend", counted(untrue, "thing")));
    }
    if warnings > 0 {
        because.push(format!("{} to look at twice", counted(warnings, "thing")));
    }
    match report.is_true() {
        true => Answer { class: "yes", word: "True", because },
        false => Answer { class: "no", word: "Not true", because },
    }
}

fn same_size(report: &Report<'_>) -> Answer {
    let levels = changes(report);
    let resized = levels.iter().filter_map(|level| {
        let (by, declared) = (level.by()?, level.declared.unwrap_or_default());
        Some(LevelResized { level: level.level.clone(), by, declared })
    });
    // As it stands in the table of girths.
    let told = |change: &LevelResized| {
        let level = levels.iter().find(|level| level.level == change.level);
        level.map_or_else(
            || signed(change.by, report.unit),
            |level| signed(level.once(change.by), report.unit),
        )
    };
    let because = |change: &LevelResized| match change.by.mm().abs() < TOLD_DIFFERENCE {
        true => vec!["no level has changed".to_owned()],
        false => vec![format!("largest change {}, at {}", told(change), change.level)],
    };
    match SizeKept::of(resized) {
        SizeKept::Unknown => {
            let because = "Nothing was recut, or no level is drawn.".to_owned();
            Answer { class: "open", word: "Same size?", because: vec![because] }
        }
        SizeKept::Same(most) => Answer { class: "yes", word: "Same size", because: because(&most) },
        SizeKept::AsPlanned(most) => {
            Answer { class: "yes", word: "Size as planned", because: because(&most) }
        }
        SizeKept::Another(most) => Answer { class: "no", word: "Another size", because: because(&most) },
    }
}
