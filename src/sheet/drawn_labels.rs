//! Labels as a sheet has them drawn, held against what the attributes of their piece say: who cuts by a label that was changed
//! by hand, or that was left as it was when an attribute was changed, cuts something else than what was checked.

use crate::canvas::character_data;
use crate::drawing::{Node, texts_between};
use crate::pattern::{Pattern, PieceName};
use crate::sheet::derived::{LABEL, shown_as, written};
use crate::sheet::kinds::{DERIVED, ids};
use crate::sheet::labels::{CUT, LabelTexts, NOT_CUT, PARTS};
use crate::sheet::notes::{SheetNote, ShouldSay};

/// The labels that stand in a piece's group, line by line.
pub(super) struct DrawnLabels {
    piece: PieceName,
    /// What the group is called, and where it is a copy of another, what that is.
    groups: Vec<String>,
    lines: Vec<(String, LabelBy)>,
}

/// Who wrote a label.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LabelBy {
    /// The program, in full.
    Program,
    /// Someone else, who may say less.
    Other,
}

/// Between a name and what to cut, where both stand on one line.
const ON_ONE_LINE: &str = ": ";

impl DrawnLabels {
    /// What is written in the group of a piece.
    pub(super) fn of(piece: &PieceName, group: &Node) -> DrawnLabels {
        let lines = shown_as(group, LABEL).flat_map(|node| {
            let source = node.raw.as_str();
            let by = match written(source, "class") {
                Some(DERIVED) => LabelBy::Program,
                _ => LabelBy::Other,
            };
            lines_of(source).into_iter().map(move |line| (line, by))
        });
        let groups = ids(group).into_iter().map(str::to_owned).collect();
        DrawnLabels { piece: piece.clone(), groups, lines: lines.collect() }
    }
}

/// What a line should say, where it says something else.
fn other_than(texts: &LabelTexts, (says, by): &(String, LabelBy)) -> Option<ShouldSay> {
    if !says.starts_with(CUT) && says != NOT_CUT {
        let is_name = texts.names.iter().any(|name| character_data(name) == says.as_str());
        return (!is_name).then_some(ShouldSay::Name);
    }
    let all = || texts.cut.split(PARTS).map(character_data);
    let is_said = match by {
        LabelBy::Program => *says == character_data(&texts.cut),
        LabelBy::Other => says.split(PARTS).all(|part| all().any(|one| one == part)),
    };
    (!is_said).then(|| ShouldSay::Text(texts.cut.clone()))
}

/// Tells the labels that say something else than the attributes do.
pub(super) fn tell(pattern: &Pattern, drawn: &[DrawnLabels], notes: &mut Vec<SheetNote>) {
    for DrawnLabels { piece: name, groups, lines } in drawn.iter().filter(|labels| !labels.lines.is_empty()) {
        let Some(mut texts) = pattern.find(name).map(LabelTexts::of) else { continue };
        texts.names.extend(groups.iter().cloned());
        notes.extend(lines.iter().filter_map(|line| {
            let should = other_than(&texts, line)?;
            Some(SheetNote::OtherLabel { piece: name.clone(), says: line.0.clone(), should })
        }));
    }
}

/// The lines of a text element, from its source.
fn lines_of(source: &str) -> Vec<String> {
    let lines = texts_between(source).flat_map(|text| text.split(ON_ONE_LINE)).map(|line| {
        let words: Vec<&str> = line.split_whitespace().collect();
        words.join(" ")
    });
    lines.filter(|line| !line.is_empty()).collect()
}
