//! Every seam, walked: those that agree in a table; of each other its two seamlines unrolled, its notches, ease, difference
//! and the corners at its ends.

use crate::pattern::{EdgeRef, Pattern, Run};
use crate::show::markup::Markup;
use crate::show::report::Report;
use crate::show::report::girths::tenths;
use crate::show::report::order::{eased, lapped};
use crate::show::report::unrolled::unrolled;
use crate::tolerance::TOLD_DIFFERENCE;
use crate::truing::{Meeting, NotchPair, RunMark, SeamEnd, SeamWalk};
use crate::units::{Length, Unit, listed};

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    if report.walks.is_empty() {
        return part;
    }
    let (plain, drawn): (Vec<&SeamWalk>, Vec<&SeamWalk>) =
        report.walks.iter().partition(|walk| is_plain(report, walk));
    if !plain.is_empty() {
        let row = |walk: &&SeamWalk| {
            vec![called(report.now, walk), walk.name.clone(), tenths(walk.lengths.0, report.unit)]
        };
        let rows: Vec<Vec<String>> = plain.iter().map(row).collect();
        part.table("Both sides agree, without ease or notches", &["Seam", "Edges", "Sewn length"], &rows);
    }
    if !drawn.is_empty() {
        part.element("p", &[], HOW_DRAWN);
        part.within("div", &[("class", "walks")], |walks| {
            for walk in drawn {
                walks.within("article", &[("class", "walk")], |article| one(article, report, walk));
            }
        });
    }
    part
}

const HOW_DRAWN: &str = "Both seamlines of a seam with ease, notches or a finding, drawn straight at the length that is sewn, \
                         darts folded out, the first above the second. Notches that meet are joined; at the ends the \
                         neighbouring edges stand at their angle.";

/// Whether a seam is told in a row: both sides agree, and there is nothing on the way to be met.
fn is_plain(report: &Report<'_>, walk: &SeamWalk) -> bool {
    let agrees = walk.ease == Length::ZERO && walk.difference.mm().abs() <= TOLD_DIFFERENCE;
    let has_notches = walk.pairs.iter().any(|pair| pair.first.notch.is_some() || pair.second.notch.is_some());
    let is_found = report.verdict.findings().iter().any(|finding| finding.at.contains(&walk.name));
    let mut edges = report.now.seam(walk.seam).edges().filter_map(|run| report.now.find_edge(&run.edge));
    let lies_on_top = edges.any(|edge| edge.lap.is_some());
    agrees && !lies_on_top && !has_notches && walk.unmatched.is_empty() && !is_found
}

/// A seam by what it joins: `side seam: front to back`.
fn called(pattern: &Pattern, walk: &SeamWalk) -> String {
    let seam = pattern.seam(walk.seam);
    let of = |run: &Run, name: fn(&EdgeRef) -> String| {
        let mut names: Vec<String> = Vec::new();
        for name in run.edges().iter().map(|run| name(&run.edge)) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        listed(&names)
    };
    let edges = |run: &Run| of(run, |edge| edge.edge.unnumbered().to_owned());
    let pieces = |run: &Run| of(run, |edge| edge.piece.to_string());
    let (first, second) = (edges(&seam.first), edges(&seam.second));
    let what = match () {
        () if first != second => format!("{first} to {second}"),
        () if first.contains("seam") => first,
        () => format!("{first} seam"),
    };
    match seam.is_to_own_mirror() {
        true => format!("{what}: {} to its mirror image", pieces(&seam.first)),
        false => format!("{what}: {} to {}", pieces(&seam.first), pieces(&seam.second)),
    }
}

/// What a seam is called, with its edges where another seam is called so too.
fn heading(report: &Report<'_>, walk: &SeamWalk) -> String {
    let name = called(report.now, walk);
    let alike = report.walks.iter().filter(|other| called(report.now, other) == name).count();
    if alike > 1 { format!("{name}, {}", walk.name) } else { name }
}

fn one(article: &mut Markup, report: &Report<'_>, walk: &SeamWalk) {
    let unit = report.unit;
    article.element("h3", &[], &heading(report, walk));
    article.element("p", &[("class", "edges")], &walk.name);
    article.within("figure", &[], |figure| {
        figure.element("figcaption", &[], &summary(report, walk));
        figure.add(unrolled(report.now, walk));
    });
    let mut rows: Vec<Vec<String>> = walk.pairs.iter().map(|pair| pair_row(pair, walk.ease, unit)).collect();
    for lone in &walk.unmatched {
        let at = tenths(Length::from_mm(lone.notch.at), unit);
        let none = "no partner".to_owned();
        let name = lone.notch.name.to_string();
        rows.push(match lone.side {
            crate::pattern::Side::First => vec![name, at, none.clone(), none],
            crate::pattern::Side::Second => vec![name, none.clone(), at, none],
        });
    }
    if !rows.is_empty() {
        let last = if walk.ease == Length::ZERO { "Off by" } else { "Taken up" };
        article.table("Where notches meet, from the start", &["Notch", "First", "Second", last], &rows);
    }
    let ends: Vec<String> = ["Start", "End"]
        .iter()
        .zip(&walk.ends)
        .map(|(word, end)| end_sentence(report, walk, word, end))
        .collect();
    if !ends.is_empty() {
        article.list("ul", &[("class", "ends")], &ends);
    }
}

fn summary(report: &Report<'_>, walk: &SeamWalk) -> String {
    let unit = report.unit;
    let (first, second) = (tenths(walk.lengths.0, unit), tenths(walk.lengths.1, unit));
    let mut text = format!("{first} against {second}.");
    text.push_str(&eased(report.now, walk, unit));
    text.push_str(&lapped(report.now, walk.seam, unit));
    if walk.difference.mm().abs() > TOLD_DIFFERENCE {
        let longer = if walk.difference.mm() > 0.0 { "first" } else { "second" };
        let by = Length::from_mm(walk.difference.mm().abs()).show(unit);
        text.push_str(&format!(" Beyond that the {longer} is longer by {by}."));
    } else {
        text.push_str(if walk.ease == Length::ZERO { " They agree." } else { " With that they agree." });
    }
    text
}

fn pair_row(pair: &NotchPair, ease: Length, unit: Unit) -> Vec<String> {
    let name = |mark: &RunMark| {
        mark.notch.as_ref().map_or_else(|| "joint".to_owned(), |notch| notch.name.to_string())
    };
    let (first, second) = (name(&pair.first), name(&pair.second));
    let name = if first == second { first } else { format!("{first} / {second}") };
    let off = match ease == Length::ZERO {
        true => pair.drift.mm().abs(),
        false => pair.drift.mm() * ease.mm().signum(),
    };
    let off = Length::from_mm(if off.abs() < TOLD_DIFFERENCE { 0.0 } else { off });
    vec![name, tenths(pair.first.at, unit), tenths(pair.second.at, unit), off.show(unit)]
}

fn end_sentence(report: &Report<'_>, walk: &SeamWalk, word: &str, end: &SeamEnd) -> String {
    let (one, other) = &end.beyond;
    let angles = format!("{word}: corners of {:.1}° and {:.1}°", end.angles.0, end.angles.1);
    let seam = report.now.seam(walk.seam);
    match end.meeting {
        _ if seam.first.holds(one) && seam.second.holds(other) => format!("{word}: a closed seam."),
        Meeting::Continue => match end.kink().abs() {
            turn if turn < 0.05 => format!("{angles}; {one} runs straight on in {other}."),
            turn => format!("{angles}; {one} runs on in {other} with a turn of {turn:.1}°."),
        },
        Meeting::Closed => format!("{angles}; {one} is sewn to {other}, a corner to turn out."),
        Meeting::Apart => format!("{angles}."),
    }
}
