//! The job: three answers, and what was done in two sentences.

use crate::show::markup::Markup;
use crate::show::report::{Report, answers};
use crate::units::{counted, listed};

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = answers::part(report);
    part.element("p", &[("class", "job")], &[what(report), pieces(report)].join(" "));
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
    match report.now.record.steps.len() {
        0 => format!("Nothing was done to {} so far.", report.title),
        count => format!("{} was recut in {}.", report.title, counted(count, "step")),
    }
}

fn pieces(report: &Report<'_>) -> String {
    let now = counted(report.now.pieces().len(), "piece");
    let seams = report.now.seam_ids().filter(|id| report.now.is_new_seam(*id)).count();
    let seams = if seams == 0 { "no new seam".to_owned() } else { counted(seams, "new seam") };
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
