//! Each step: what it did, what it told, and the pieces it changed over what they were.

use std::collections::BTreeSet;

use crate::canvas::LineKind;
use crate::pattern::Pattern;
use crate::recut::Notice;
use crate::resew::{ChangedSince, Replay, Replayed};
use crate::show::markup::Markup;
use crate::show::picture::Viewing;
use crate::show::report::changes::ChangedPieces;
use crate::show::report::phrases::{phrase, typed};
use crate::show::report::{Report, ReportError, before_after, figure};
use crate::units::{Unit, listed};

pub(super) fn part(report: &Report<'_>) -> Result<Markup, ReportError> {
    let mut all = Markup::default();
    let earlier = report.before.map_or(0, |before| before.record.steps.len());
    let recorded = &report.now.record.steps[earlier..];
    let steps: &[Replayed] = report.replay.as_ref().map_or(&[], |replay| &replay.steps);
    let stopped = report.replay.as_ref().and_then(|replay: &Replay<'_>| replay.stopped.as_ref());
    let mut was = report.before;
    let mut lines = BTreeSet::new();
    for (i, step) in recorded.iter().enumerate() {
        let [mut inside, mut drawn] = [(); 2].map(|()| Markup::default());
        match (was, steps.get(i)) {
            (Some(before), Some(done)) => {
                notices(&mut inside, &done.notices, report.unit);
                let changes = ChangedPieces::between(before, &done.pattern);
                changed(&mut inside, &changes, report.unit);
                lines.extend(picture(&mut drawn, &changes, before, &done.pattern, report.unit)?);
                was = Some(&done.pattern);
            }
            (Some(_), None) => {
                if let Some(why) = stopped.filter(|_| i == steps.len()) {
                    let why = format!("From here on there are no pictures: {}.", why.what);
                    inside.element("p", &[], &why);
                }
                was = None;
            }
            (None, _) => {}
        }
        all.within("article", &[("class", "step")], |article| {
            article.element("h3", &[], &format!("{}. {}", earlier + i + 1, capital(&phrase(&step.step))));
            inside.within("details", &[], |folded| {
                folded.element("summary", &[], "As a command");
                folded.within("p", &[], |text| {
                    text.within("code", &[], |code| command(code, &typed(&step.step)))
                });
            });
            article.within("div", &[("class", "words")], |words| words.add(inside));
            article.add(drawn);
        });
    }
    let mut part = Markup::default();
    if !lines.is_empty() {
        figure::key_of_overlays(&mut part, &lines);
    }
    if !all.is_empty() {
        part.within("div", &[("class", "steps")], |steps| steps.add(all));
    }
    by_hand(&mut part, report.resewn.as_ref().map_or(&[], |resewn| &resewn.changes));
    Ok(part)
}

/// A step as it is typed, its options not broken at their hyphens.
fn command(code: &mut Markup, typed: &str) {
    for (i, word) in typed.split(' ').enumerate() {
        if i > 0 {
            code.text(" ");
        }
        match word.starts_with("--") {
            true => code.within("span", &[("class", "option")], |option| option.text(word)),
            false => code.text(word),
        }
    }
}

fn notices(part: &mut Markup, notices: &[Notice], unit: Unit) {
    if notices.is_empty() {
        return;
    }
    part.within("ul", &[], |list| {
        for notice in notices {
            list.within("li", &[], |item| {
                if notice.is_warning() {
                    item.element("strong", &[], "Look twice:");
                }
                item.sentence(&notice.sentence(unit));
            });
        }
    });
}

/// What a step changed, in words and figures.
fn changed(part: &mut Markup, changes: &ChangedPieces<'_>, unit: Unit) {
    let settings: Vec<String> =
        changes.changed.iter().flat_map(|(old, new)| before_after::settings(old, new, unit)).collect();
    if !settings.is_empty() {
        part.list("ul", &[], &settings);
    }
    if changes.is_of_shape() {
        part.within("details", &[], |folded| {
            folded.element("summary", &[], "Widths and heights");
            before_after::table(folded, changes, unit);
        });
    }
}

/// The pieces that a step changed, over what they were; none of a step that moves no cloth. Gives the kinds of lines that are
/// drawn.
fn picture(
    part: &mut Markup,
    changes: &ChangedPieces<'_>,
    before: &Pattern,
    after: &Pattern,
    unit: Unit,
) -> Result<BTreeSet<LineKind>, ReportError> {
    if !changes.is_of_shape() {
        return Ok(BTreeSet::new());
    }
    let mut pieces = changes.now();
    pieces.extend(changes.gone.iter().map(|piece| piece.name().clone()));
    let caption = "What this step changed, over what was there before";
    Ok(figure::pieces(part, caption, pieces, after, Some(before), (unit, Viewing::InStep))?)
}

/// Says where the pattern is other than its record makes it; each thing stands with what is not true.
fn by_hand(part: &mut Markup, changes: &[ChangedSince]) {
    let mut places: Vec<String> = changes.iter().map(|change| change.at.clone()).collect();
    places.dedup();
    if !places.is_empty() {
        let differ = if places.len() == 1 { "differs" } else { "differ" };
        let sentence = format!(
            "After these steps the sheet was changed by hand: {} {differ} from what the steps make.",
            listed(&places)
        );
        part.within("p", &[("class", "warning")], |text| {
            text.element("strong", &[], "Look twice:");
            text.text(&sentence);
        });
    }
}

/// A phrase as it stands at the beginning; one that begins with a name begins as that does.
pub(crate) fn capital(text: &str) -> String {
    if !["the ", "a ", "an ", "two ", "facings, "].iter().any(|word| text.starts_with(word)) {
        return text.to_owned();
    }
    with_capital(text)
}

/// A sentence that begins with no name.
pub(crate) fn with_capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
