//! The job in three sentences.

use crate::show::report::Report;
use crate::show::report::markup::Markup;
use crate::show::report::phrases::{listed, phrase};
use crate::truing::Limits;
use crate::units::{counted, counted_as};

/// So many steps are named one by one.
const NAMED: usize = 8;

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    part.within("p", &[("class", "job")], |text| {
        text.text(&[what(report), pieces(report), truth(report)].join(" "));
    });
    let about = report.now.about.lines(|length| length.show(report.unit));
    if !about.is_empty() {
        part.element("p", &[("class", "about")], &sentences(&about));
    }
    part
}

/// Lines as sentences, one after another.
fn sentences(lines: &[String]) -> String {
    let sentence = |line: &String| {
        let mut letters = line.chars();
        letters
            .next()
            .map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
    };
    lines.iter().map(sentence).collect::<Vec<_>>().join(" ")
}

fn what(report: &Report<'_>) -> String {
    let steps = &report.now.record.steps;
    if steps.is_empty() {
        return format!("Nothing was done to {} so far.", report.title);
    }
    let mut named: Vec<String> = steps.iter().take(NAMED).map(|step| phrase(&step.step)).collect();
    if steps.len() > NAMED {
        named.push(counted(steps.len() - NAMED, "more step"));
    }
    format!("{} was re-cut in {}: {}.", report.title, counted(steps.len(), "step"), named.join("; "))
}

fn pieces(report: &Report<'_>) -> String {
    let now = counted(report.now.pieces().len(), "piece");
    let seams = report.now.seam_ids().filter(|id| report.now.is_new_seam(*id)).count();
    let seams = counted(seams, "new seam");
    let Some(changes) = &report.changes else { return format!("It has {now}, and {seams}.") };
    let names = |word: &str, names: Vec<String>| match names.is_empty() {
        true => None,
        false => Some(format!("{} {word}", listed(&names))),
    };
    let be = |count: usize, word: &str| format!("{} {word}", if count == 1 { "is" } else { "are" });
    let changed: Vec<String> = changes.changed.iter().map(|(_, new)| new.name().to_string()).collect();
    let made: Vec<String> = changes.made.iter().map(|new| new.name().to_string()).collect();
    let gone: Vec<String> = changes.gone.iter().map(|old| old.name().to_string()).collect();
    let told: Vec<String> = [
        names(&be(made.len(), "new"), made.clone()),
        names(&be(changed.len(), "changed"), changed.clone()),
        names(&be(gone.len(), "gone"), gone.clone()),
    ]
    .into_iter()
    .flatten()
    .collect();
    match told.is_empty() {
        true => format!("All of its {now} are as they were."),
        false => format!("It has {now} now and {seams}: {}.", told.join("; ")),
    }
}

fn truth(report: &Report<'_>) -> String {
    let seams = counted(report.walks.len(), "seam");
    let untrue = report.verdict.untrue().count();
    let true_up = match untrue {
        0 => format!("All {seams} true up"),
        _ => format!(
            "Of its {seams}, darts and pieces {} not true",
            counted_as(untrue, "thing is", "things are")
        ),
    };
    let limit = Limits::default().girth.mm();
    let Some(account) = report.account.as_ref().filter(|account| !account.girths.is_empty()) else {
        return format!("{true_up}.");
    };
    let (kept, lost): (Vec<_>, Vec<_>) =
        account.girths.iter().partition(|girth| girth.unaccounted().mm().abs() <= limit);
    let names = |girths: &[&crate::truing::GirthAccount]| {
        listed(&girths.iter().map(|girth| girth.level.to_string()).collect::<Vec<_>>())
    };
    match (kept.is_empty(), lost.is_empty()) {
        (_, true) => {
            let declared = account.girths.iter().any(|girth| girth.declared.mm().abs() > limit);
            let but = if declared { ", but for what the steps declare" } else { "" };
            format!("{true_up}, and the girth is kept at {}{but}.", names(&kept))
        }
        (true, false) => format!("{true_up}, but the girth has changed at {}.", names(&lost)),
        (false, false) => {
            format!("{true_up}; the girth is kept at {}, but has changed at {}.", names(&kept), names(&lost))
        }
    }
}
