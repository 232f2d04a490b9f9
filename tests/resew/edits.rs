//! Hand edits of sheets that recipes made, each noticed by `--against` with what and where.
//!
//! The edits are made in the text of the SVG and know nothing of the model: every attribute, id, text, coordinate and
//! number of the record may be changed, every element and step taken out. What rightly changes nothing is listed with its
//! reason ([`changes_nothing`]). `RETRUE_EDITS` sets how many are made; otherwise 300.

mod record;

use std::collections::BTreeMap;
use std::ops::Range;

use kurbo::{BezPath, ParamCurve, ParamCurveNearest};
use retrue::pattern::Pattern;
use retrue::resew::{DrawnPattern, ResewLimits, resew};
use retrue::sheet;
use retrue::units::Unit;

use crate::recipes::{read, recipes};
use crate::run::Bench;

/// How far a line must move to be another, mm.
const MOVED: f64 = 0.02;
/// How far the lines of two sheets may lie apart that are the same but for rounding (mm).
const LIES_SAME: f64 = 1e-4;

/// A small generator of numbers, the same on every run (xorshift*, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % count as u64) as usize
    }

    fn pick<'a, T>(&mut self, things: &'a [T]) -> Option<&'a T> {
        (!things.is_empty()).then(|| &things[self.below(things.len())])
    }

    /// A change of a number: from 0.05 to 5, either way.
    fn by(&mut self) -> f64 {
        let size = 0.05 + 4.95 * (self.below(1000) as f64 / 1000.0).powi(3);
        if self.below(2) == 0 { size } else { -size }
    }
}

/// A sheet that a recipe made, and the one that it was made from.
struct Made {
    recipe: String,
    old: Pattern,
    text: String,
}

fn made() -> Vec<Made> {
    let all = recipes().into_iter().map(|(recipe, pattern)| {
        let text = Bench::new().retrue(&format!("-q apply \"{}\"", recipe.display())).stdout();
        let old = read(&std::fs::read(pattern).unwrap());
        Made { recipe: recipe.file_name().unwrap().to_string_lossy().into_owned(), old, text }
    });
    all.collect()
}

/// Something on a sheet that can be edited.
#[derive(Clone, Debug)]
struct Spot {
    /// What it is called in what is told: the element's id, else the piece that it stands in, else the pattern, of its title, or the background.
    place: String,
    tag: String,
    kind: String,
    /// The attribute; `#text`, `#label`, `#comment` or `#element` for the whole.
    attribute: String,
    range: Range<usize>,
    value: String,
}

/// The text of a label, among what can be edited.
const LABEL: &str = "#label";

const SVG: &str = "http://www.w3.org/2000/svg";

/// Everything on a sheet that is not made anew on writing.
fn spots(text: &str) -> Vec<Spot> {
    let document = roxmltree::Document::parse(text).unwrap();
    let mut spots = Vec::new();
    for node in document.descendants() {
        let stated = |node: roxmltree::Node| node.attribute("data-kind").unwrap_or_default().to_owned();
        let is_of_label = node.parent().is_some_and(|parent| parent.attribute("data-shows") == Some("label"));
        if !(node.is_text() && is_of_label)
            && node.ancestors().any(|node| ["derived", "record"].contains(&stated(node).as_str()))
        {
            continue;
        }
        let named = node.ancestors().find_map(|node| node.attribute("id"));
        let is_title = node.ancestors().any(|node| node.has_tag_name((SVG, "title")));
        let beside_pieces = if is_title { "pattern" } else { "background" };
        let place = named.unwrap_or(beside_pieces).to_owned();
        let tag = node.tag_name().name().to_owned();
        let spot = |attribute: &str, range: Range<usize>, value: &str| Spot {
            place: place.clone(),
            tag: tag.clone(),
            kind: stated(node),
            attribute: attribute.to_owned(),
            range,
            value: value.to_owned(),
        };
        let said = node.text().unwrap_or_default();
        if node.is_text() && !said.trim().is_empty() {
            let attribute = if is_of_label { LABEL } else { "#text" };
            spots.push(spot(attribute, node.range(), &text[node.range()]));
        } else if node.is_comment() {
            spots.push(spot("#comment", node.range(), &text[node.range()]));
        } else if node.is_element() && node.parent_element().is_some() {
            spots.push(spot("#element", node.range(), &text[node.range()]));
            for attribute in node.attributes() {
                spots.push(spot(attribute.name(), attribute.range_value(), attribute.value()));
            }
        }
    }
    spots
}

/// An edit that was made.
struct Edit {
    what: String,
    place: String,
    /// The line of the sheet on which it was made: where an id was taken out, that is what is told of its place.
    line: usize,
    text: String,
    told: ToldBy,
}

/// What tells of an edit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ToldBy {
    /// What the steps give.
    Steps,
    /// That, or what is told on reading: a label is made anew, and an attribute is not read everywhere.
    Reading,
}

const COORDINATES: [&str; 14] =
    ["d", "cx", "cy", "r", "x", "y", "x1", "y1", "x2", "y2", "points", "width", "height", "transform"];

/// Words that may stand in place of others.
const WORDS: [(&str, &[&str]); 7] = [
    ("data-finish", &["seam", "hem", "free"]),
    ("data-selvedge", &["yes", "no"]),
    ("data-cut", &["1", "2", "2 same", "4"]),
    ("data-arrows", &["both", "start", "end"]),
    ("data-count", &["1", "2"]),
    ("data-girth", &["yes", "no"]),
    ("data-kind", &["edge", "mark", "level", "style-line", "notch"]),
];

/// The numbers of a text, where they stand.
fn numbers(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (at, letter) in text.char_indices() {
        let is_part = letter.is_ascii_digit() || letter == '.' || letter == '-';
        match found.last_mut() {
            Some(last) if is_part && last.end == at => last.end = at + 1,
            _ if is_part => found.push(at..at + 1),
            _ => {}
        }
    }
    found.retain(|range| text[range.clone()].parse::<f64>().is_ok());
    found
}

/// A text with one of its numbers changed.
fn with_number_changed(text: &str, dice: &mut Dice) -> Option<String> {
    let range = dice.pick(&numbers(text))?.clone();
    let number: f64 = text[range.clone()].parse().ok()?;
    Some(format!("{}{:.6}{}", &text[..range.start], number + dice.by(), &text[range.end..]))
}

/// A text with a letter changed.
fn with_letter_changed(text: &str, dice: &mut Dice) -> Option<String> {
    let letters: Vec<usize> =
        text.char_indices().filter(|(_, letter)| letter.is_ascii_alphabetic()).map(|(at, _)| at).collect();
    let at = *dice.pick(&letters)?;
    let other = if &text[at..=at] == "q" { "z" } else { "q" };
    Some(format!("{}{other}{}", &text[..at], &text[at + 1..]))
}

fn replaced(text: &str, range: &Range<usize>, with: &str) -> String {
    format!("{}{with}{}", &text[..range.start], &text[range.end..])
}

/// Whether an edit of a spot rightly changes nothing, by its reason.
fn changes_nothing(spot: &Spot, now: Option<&str>, text: &str) -> Option<&'static str> {
    let attribute = spot.attribute.as_str();
    let says_again = ["piece", "edge", "dart", "level", "notch", "point", "grainline", "style-line"];
    if attribute == "class" && now.is_none() && says_again.contains(&spot.value.as_str()) {
        return Some("the class says again what data-kind says");
    }
    if attribute == LABEL && now.is_none() {
        return Some("a label for which there is no room is left out");
    }
    if attribute == "data-kind" && now.is_none() {
        return Some("the class, the id or the place within a piece says the kind too");
    }
    let defaults = [
        ("data-allowance", "0mm"),
        ("data-cut", "1"),
        ("data-cloth", "main"),
        ("data-count", "1"),
        ("data-arrows", "both"),
        ("data-girth", "yes"),
        ("data-selvedge", "no"),
    ];
    let plain = |value: &str| defaults.contains(&(attribute, value));
    if now.is_none() && plain(&spot.value) {
        return Some("what is left out is the same by default");
    }
    if attribute == "data-finish" && now.is_none() && ["seam", "free"].contains(&spot.value.as_str()) {
        return Some("an edge that is sewn is a seam, and one that is not is free, where nothing is said");
    }
    if attribute == "data-sewn-to" && now.is_none() {
        let says_it = |other: &Spot| {
            other.attribute == "data-sewn-to"
                && other.place != spot.place
                && other.value.split([' ', ';']).any(|name| name.trim_end_matches("/m") == spot.place)
        };
        if spots(text).iter().any(says_it) {
            return Some("the seam is said on its other side too");
        }
    }
    if attribute == "class" && spot.kind == "placed" {
        return Some(
            "the group that puts kept things where they belong is written anew, and says nothing else",
        );
    }
    if attribute == "data-ease" && now.is_none() {
        let of = |spot: &Spot, name: &str, all: &[Spot]| {
            let same = |other: &&Spot| other.attribute == name && other.place == spot.place;
            all.iter().find(same).map(|other| other.value.clone())
        };
        let all = spots(text);
        let run = of(spot, "data-sewn-to", &all);
        let says_too = |other: &Spot| {
            other.attribute == "data-ease"
                && other.place != spot.place
                && other.value == spot.value
                && of(other, "data-sewn-to", &all) == run
        };
        if run.is_some() && all.iter().any(says_too) {
            return Some("another edge of the same run gives the ease of the seam too");
        }
    }
    let is_part = says_again[1..].contains(&spot.kind.as_str());
    let name = |id: &str| id.split_once('.').map(|(_, name)| name.to_owned());
    if attribute == "id" && is_part && now.is_some_and(|now| name(now) == name(&spot.value)) {
        return Some("the group says to which piece a thing belongs; its id need not");
    }
    if attribute == "id" && spot.kind == "grainline" {
        return Some("a piece has one grainline, and that has no name");
    }
    if attribute == "d" {
        let (was, is) = (BezPath::from_svg(&spot.value).ok()?, BezPath::from_svg(now?).ok()?);
        if apart(&was, &is) <= MOVED {
            return Some("the line lies where it lay: a handle went along it");
        }
    }
    None
}

/// How far two paths lie apart, by places on each.
fn apart(a: &BezPath, b: &BezPath) -> f64 {
    let farthest = |a: &BezPath, b: &BezPath| {
        let places =
            a.segments().flat_map(|segment| (0..=64).map(move |i| segment.eval(f64::from(i) / 64.0)));
        let off =
            |at| b.segments().map(|other| other.nearest(at, 1e-6).distance_sq).fold(f64::INFINITY, f64::min);
        places.map(off).fold(0.0, f64::max).sqrt()
    };
    farthest(a, b).max(farthest(b, a))
}

/// Attributes that an element may be given.
const GIVEN: [(&str, &str); 14] = [
    ("data-girth", "no"),
    ("data-press", "side"),
    ("data-lap", "5mm"),
    ("data-open", "vent"),
    ("data-ease", "5mm"),
    ("data-for", "lining"),
    ("data-selvedge", "yes"),
    ("data-finish", "hem"),
    ("data-allowance", "33mm"),
    ("data-cut", "4"),
    ("data-cloth", "other"),
    ("data-count", "2"),
    ("data-arrows", "end"),
    ("data-sewn-to", "nothing"),
];

/// An attribute given to an element that has none of this name; none where it has.
fn given(made: &Made, spots: &[Spot], dice: &mut Dice) -> Option<Edit> {
    let is_read =
        |spot: &&Spot| spot.attribute == "#element" && !["", "mark", "placed"].contains(&spot.kind.as_str());
    let spot = *dice.pick(&spots.iter().filter(is_read).collect::<Vec<_>>())?;
    let (name, value) = *dice.pick(&GIVEN)?;
    let has = |other: &Spot| other.place == spot.place && other.attribute == name;
    let counts_none = name == "data-girth" && spot.kind == "piece" && {
        let levels: Vec<&Spot> = spots
            .iter()
            .filter(|level| {
                level.kind == "level"
                    && level.attribute == "#element"
                    && level.place.split('.').next() == Some(&spot.place)
            })
            .collect();
        !levels.is_empty() && levels.iter().all(|level| level.value.contains("data-girth=\"no\""))
    };
    if spots.iter().any(has) || counts_none {
        return None;
    }
    let at = spot.range.start + 1 + spot.tag.len();
    let what = format!("{} <{} {}> given {name}=\"{value}\"", spot.place, spot.tag, spot.kind);
    let line = made.text[..at].matches('\n').count() + 1;
    let text = replaced(&made.text, &(at..at), &format!(" {name}=\"{value}\""));
    Some(Edit { what, place: spot.place.clone(), line, text, told: ToldBy::Reading })
}

/// An edit of a spot; none where nothing of the sort can be done there.
fn edit(made: &Made, spots: &[Spot], dice: &mut Dice) -> Option<Result<Edit, &'static str>> {
    let sorts: [&dyn Fn(&Spot) -> bool; 5] = [
        &|spot| spot.attribute.starts_with("data-"),
        &|spot| COORDINATES.contains(&spot.attribute.as_str()),
        &|spot| spot.attribute == "id" || spot.attribute.starts_with('#') && spot.attribute != "#element",
        &|spot| spot.attribute == "#element",
        &|_| true,
    ];
    let sort = sorts[dice.below(sorts.len())];
    let of_sort: Vec<&Spot> = spots.iter().filter(|spot| sort(spot)).collect();
    let spot = *dice.pick(&of_sort)?;
    let choices = WORDS.iter().find(|(name, _)| *name == spot.attribute).map(|(_, words)| *words);
    let now = match (spot.attribute.as_str(), choices, dice.below(3)) {
        ("#element", ..) | (_, _, 0) => None,
        (_, Some(words), _) => {
            let others: Vec<&&str> = words.iter().filter(|word| **word != spot.value).collect();
            Some((**dice.pick(&others)?).to_owned())
        }
        (name, None, _) if COORDINATES.contains(&name) || name == "data-allowance" || name == "data-ease" => {
            Some(with_number_changed(&spot.value, dice)?)
        }
        _ => Some(with_letter_changed(&spot.value, dice)?),
    };
    if let Some(reason) = changes_nothing(spot, now.as_deref(), &made.text) {
        return Some(Err(reason));
    }
    let text = match (&now, spot.attribute.starts_with('#')) {
        (Some(now), true) => replaced(&made.text, &spot.range, now),
        (Some(now), false) => {
            replaced(&made.text, &spot.range, &now.replace('&', "&amp;").replace('"', "&quot;"))
        }
        (None, true) => replaced(&made.text, &spot.range, ""),
        (None, false) => {
            let start = made.text[..spot.range.start].rfind(char::is_whitespace)?;
            replaced(&made.text, &(start..spot.range.end + 1), "")
        }
    };
    let what = format!(
        "{} <{} {}> {}: {} -> {now:?}",
        spot.place,
        spot.tag,
        spot.kind,
        spot.attribute,
        spot.value.chars().take(80).collect::<String>()
    );
    let line = made.text[..spot.range.start].matches('\n').count() + 1;
    let told = if spot.attribute == LABEL { ToldBy::Reading } else { ToldBy::Steps };
    Some(Ok(Edit { what, place: spot.place.clone(), line, text, told }))
}

/// What is told of an edit: everything, each in a sentence.
fn told(made: &Made, edit: &Edit) -> Vec<String> {
    let new = match sheet::read(edit.text.as_bytes(), &Default::default()) {
        Ok(read) => read,
        Err(error) => return vec![error.to_string()],
    };
    let warned: Vec<String> = match edit.told {
        ToldBy::Steps => Vec::new(),
        ToldBy::Reading => {
            new.notes.iter().filter(|note| note.is_warning()).map(ToString::to_string).collect()
        }
    };
    let drawn = DrawnPattern { pattern: &new.pattern, snapped: &new.snapped };
    match resew(DrawnPattern::from(&made.old), drawn) {
        Err(error) => vec![error.to_string()],
        Ok(resewn) => {
            let findings = resewn.findings(&ResewLimits::default());
            let found = findings.iter().map(|finding| finding.sentence(Unit::Millimetre));
            found.chain(warned).collect()
        }
    }
}

#[test]
fn every_edit_by_hand_is_noticed_with_its_place() {
    let count: usize = std::env::var("RETRUE_EDITS").ok().and_then(|text| text.parse().ok()).unwrap_or(300);
    let seed: u64 = std::env::var("RETRUE_SEED").ok().and_then(|text| text.parse().ok()).unwrap_or(1);
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let sheets: Vec<(Made, Vec<Spot>)> = made()
        .into_iter()
        .map(|made| {
            let spots = spots(&made.text);
            (made, spots)
        })
        .collect();
    let (mut done, mut tried, mut silent, mut nowhere) = (0, 0, Vec::new(), Vec::new());
    let mut reasons: BTreeMap<&str, usize> = BTreeMap::new();
    while done < count {
        tried += 1;
        assert!(tried < 20 * count, "only {done} edits could be made");
        let (made, spots) = dice.pick(&sheets).unwrap();
        let edit = match dice.below(7) {
            0 => record::edit(made, &mut dice),
            1 => given(made, spots, &mut dice).map(Ok),
            _ => edit(made, spots, &mut dice),
        };
        let edit = match edit {
            None => continue,
            Some(Err(reason)) => {
                *reasons.entry(reason).or_default() += 1;
                continue;
            }
            Some(Ok(edit)) => edit,
        };
        done += 1;
        let told = told(made, &edit);
        let piece = edit.place.split('.').next().unwrap_or_default();
        if told.is_empty() {
            silent.push(format!("{}: {}", made.recipe, edit.what));
        } else if !told
            .iter()
            .any(|one| one.contains(piece) || one.contains(&format!("(line {},", edit.line)))
        {
            nowhere.push(format!("{}: {}\n    {}", made.recipe, edit.what, told.join("\n    ")));
        }
    }
    println!(
        "{done} edits, {} silent, {} told without their place; rightly silent: {reasons:#?}",
        silent.len(),
        nowhere.len()
    );
    assert!(
        silent.is_empty() && nowhere.is_empty(),
        "{} of {done} edits are not noticed:\n{}\n{} are told without their place:\n{}",
        silent.len(),
        silent.join("\n"),
        nowhere.len(),
        nowhere.join("\n")
    );
}
