//! What is still missing before a drawing is a pattern: what `adopt` refuses and tells, each with what can be answered at one
//! press.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::adopt::{
    AdoptNote, Certainty, Found, Guess, Guessed, LaidWay, LineSort, Map, MapEdit, MapThing, Tried,
    UndecidedSeam, finish_words,
};
use crate::pattern::EdgeRef;
use crate::show::report::with_capital;
use crate::table::bring::reading::wrong;
use crate::table::said::advised;
use crate::units::{Length, Unit, listed};

/// What is missing, or is to be looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MissingSeen {
    /// What, in a sentence.
    pub sentence: String,
    /// Whether nothing can be made of it until it is mended.
    pub wrong: bool,
    /// Whether it is a guess that is less than sure.
    pub unsure: bool,
    /// What of the drawing it is about.
    pub things: Vec<MapThing>,
    /// What can be answered.
    pub answers: Vec<AnswerSeen>,
}

/// Something that is done at one press.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AnswerSeen {
    /// What it says.
    pub says: String,
    /// The change of the map that it is.
    pub edit: MapEdit,
}

impl AnswerSeen {
    pub(super) fn new(says: impl Into<String>, edit: MapEdit) -> AnswerSeen {
        AnswerSeen { says: says.into(), edit }
    }
}

/// The allowances that are usual on what is bought, mm: 6 mm, and 3/8 and 5/8 in. Others are said in figures.
const USUAL_ALLOWANCES: [f64; 3] = [6.0, 10.0, 15.0];

/// How deep hems usually are, mm: of a skirt or a coat first, then of a blouse.
const USUAL_HEMS: [f64; 3] = [40.0, 30.0, 20.0];

/// Fields that are said of a thing.
pub(super) fn say(thing: &MapThing, fields: &[(&str, &str)]) -> MapEdit {
    let fields = fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
    MapEdit::Say(thing.clone(), fields.collect::<BTreeMap<_, _>>())
}

fn missing(sentence: String, things: Vec<MapThing>, answers: Vec<AnswerSeen>) -> MissingSeen {
    MissingSeen { sentence, wrong: false, unsure: false, things, answers }
}

/// What is not as it should be in the drawing itself.
pub(super) fn of_drawing(found: &Found, unit: Unit) -> Vec<MissingSeen> {
    let off = found.scale.check().filter(|check| check.is_off()).map(|check| check.untrue().what);
    let all = found.untrue(unit).into_iter().map(|untrue| {
        let correct =
            AnswerSeen::new("Correct the scale", say(&MapThing::Drawing, &[("correct-scale", "yes")]));
        let answers = if off.as_ref() == Some(&untrue.what) { vec![correct] } else { Vec::new() };
        missing(
            format!("{}; {}.", with_capital(&untrue.what), advised(&untrue.way_out)),
            vec![MapThing::Drawing],
            answers,
        )
    });
    all.collect()
}

/// What is missing in the map: what is wrong first, then what was guessed, then what is not said.
pub(super) fn of_map(found: &Found, map: &Map, tried: &Tried, unit: Unit) -> Vec<MissingSeen> {
    let mut all: Vec<MissingSeen> = Vec::new();
    for error in &tried.wrong {
        let answer = wrong(error);
        let things: Vec<MapThing> = map.thing_at(found, &error.span).into_iter().collect();
        let place =
            things.first().map_or_else(String::new, |thing| format!("{}: ", called(found, map, thing)));
        let what = if place.is_empty() { with_capital(&answer.what) } else { answer.what };
        let sentence = format!("{place}{what}; {}.", answer.way_out);
        all.push(MissingSeen { wrong: true, ..missing(sentence, things, Vec::new()) });
    }
    all.extend(tried.open.iter().map(|open| open_seam(found, map, open)));
    let is_open = |thing: &MapThing| tried.open.iter().any(|open| *thing == MapThing::Seam(open.seam));
    let guesses = map.guesses(found).unwrap_or_default();
    all.extend(at_once(&guesses, "pieces", |thing| matches!(thing, MapThing::Outline(_))));
    all.extend(at_once(&guesses, "seams", |thing| matches!(thing, MapThing::Seam(_))));
    // Which ends meet and whether it is sewn at all is one question.
    let closed = guesses.iter().filter(|guessed| !is_open(&guessed.thing));
    all.extend(closed.map(|guessed| guess(found, map, guessed)));
    all.extend(tried.notes.iter().flat_map(|note| of_note(found, map, note, unit)));
    all
}

/// A seam of which nothing tells the ends that meet: each way to lay it is an answer.
fn open_seam(found: &Found, map: &Map, open: &UndecidedSeam) -> MissingSeen {
    let seam = MapThing::Seam(open.seam);
    let way = |LaidWay { from, meeting: [first, second], .. }: &LaidWay| {
        AnswerSeen::new(format!("{first} meets {second}"), say(&seam, &[("from", &from.to_string())]))
    };
    let mut answers: Vec<AnswerSeen> = open.ways.iter().map(way).collect();
    answers.push(AnswerSeen::new("They are not sewn", MapEdit::Unsew(open.seam)));
    let sentence = format!("{}: {}.", called(found, map, &seam), open.fault.what);
    MissingSeen { wrong: true, ..missing(sentence, map.seam_things(found, open.seam), answers) }
}

/// What of one sort was guessed, to be taken at once: pieces, or seams.
fn at_once(guesses: &[Guessed], what: &str, is: impl Fn(&MapThing) -> bool) -> Option<MissingSeen> {
    let every: Vec<&Guessed> = guesses.iter().filter(|guessed| is(&guessed.thing)).collect();
    let is_sure = |guessed: &&&Guessed| guessed.guess.certainty == Certainty::Sure;
    let sure: Vec<MapThing> = every.iter().filter(is_sure).map(|guessed| guessed.thing.clone()).collect();
    let every: Vec<MapThing> = every.iter().map(|guessed| guessed.thing.clone()).collect();
    if every.len() < 2 {
        return None;
    }
    let for_sure = if sure.is_empty() { "none".to_owned() } else { sure.len().to_string() };
    let sentence = format!("{} {what} are guessed, {for_sure} of them sure.", every.len());
    let mut answers = Vec::new();
    if !sure.is_empty() && sure.len() < every.len() {
        answers.push(AnswerSeen::new("Those that are sure are right", MapEdit::Confirm(sure)));
    }
    answers.push(AnswerSeen::new("All of them are right", MapEdit::Confirm(every)));
    Some(missing(sentence, Vec::new(), answers))
}

fn guess(found: &Found, map: &Map, Guessed { thing, called, guess }: &Guessed) -> MissingSeen {
    let certainty = guess.certainty.word();
    let because = if guess.because.is_empty() { String::new() } else { format!(": {}", guess.because) };
    let right = AnswerSeen::new("It is right", MapEdit::Confirm(vec![thing.clone()]));
    let (sentence, answers) = match thing {
        MapThing::Outline(letter) => {
            let no = AnswerSeen::new("It is no piece", MapEdit::Ignore(vec![thing.clone()]));
            (format!("Outline {letter} is the piece {called}, {certainty}{because}."), vec![right, no])
        }
        MapThing::Edge(..) => {
            let wrong = AnswerSeen::new("It does not", say(thing, &[("finish", "")]));
            (format!("{called} lies on the fold, {certainty}."), vec![right, wrong])
        }
        MapThing::Seam(at) => {
            let wrong = AnswerSeen::new("They are not sewn", MapEdit::Unsew(*at));
            (format!("{called} is sewn, {certainty}{because}."), vec![right, wrong])
        }
        MapThing::Line(letter) => {
            let no =
                AnswerSeen::new("It means nothing", MapEdit::Mark(LineSort::Nothing, vec![letter.clone()]));
            (format!("{called} is a dart, {certainty}{because}."), vec![right, no])
        }
        MapThing::Drawing => (format!("{called}, {certainty}{because}."), vec![right]),
    };
    let things = match thing {
        MapThing::Seam(at) => map.seam_things(found, *at),
        other => vec![other.clone()],
    };
    MissingSeen { unsure: guess.certainty != Certainty::Sure, ..missing(sentence, things, answers) }
}

fn of_note(found: &Found, map: &Map, note: &AdoptNote, unit: Unit) -> Vec<MissingSeen> {
    match note {
        // Each guess is told by itself, and a dart that is run on to its edge is one.
        AdoptNote::Guessed { .. } | AdoptNote::DartRunOn { .. } => Vec::new(),
        AdoptNote::Unsaid { piece, edges } => {
            let each = edges.iter().flat_map(|edge| {
                map.things_named(found, &format!("{piece}.{edge}")).into_iter().map(move |thing| {
                    let answers = finish_words().into_iter().filter(|word| *word != "seam");
                    let answers = answers
                        .map(|word| AnswerSeen::new(finish_said(word), say(&thing, &[("finish", word)])));
                    let answers = std::iter::once(usual_hem(&thing, unit)).chain(answers).collect();
                    missing(
                        format!("{piece}.{edge} is not sewn, and nothing says how it is finished."),
                        vec![thing],
                        answers,
                    )
                })
            });
            each.collect()
        }
        AdoptNote::LeftOut { piece, letters } => {
            let things: Vec<MapThing> = letters.iter().cloned().map(MapThing::Line).collect();
            let is_level =
                |letter: &String| found.line(letter).is_some_and(|line| line.guess == Guess::Level);
            let mut answers = Vec::new();
            if letters.iter().all(is_level) {
                let levels = MapEdit::Mark(LineSort::Level, letters.clone());
                answers.push(AnswerSeen::new(
                    if letters.len() == 1 { "It is a level" } else { "They are levels" },
                    levels,
                ));
            }
            let says = if letters.len() == 1 { "It means nothing" } else { "They mean nothing" };
            answers.push(AnswerSeen::new(says, MapEdit::Ignore(things.clone())));
            let sentence = match letters.as_slice() {
                [one] => format!("Line {one} on {piece}: say what it is."),
                several => format!("Lines {} on {piece}: say what they are.", several.join(", ")),
            };
            vec![missing(sentence, things, answers)]
        }
        AdoptNote::OutlinesLeftOut { letters } => {
            let things: Vec<MapThing> = letters.iter().cloned().map(MapThing::Outline).collect();
            let no = AnswerSeen::new("No pieces", MapEdit::Ignore(things.clone()));
            vec![missing(format!("Outlines {}: say which are pieces.", letters.join(", ")), things, vec![no])]
        }
        AdoptNote::Unknown { piece, what } => {
            let things = map.outline_named(piece.as_str()).into_iter().collect();
            vec![missing(format!("{piece}: {what}."), things, Vec::new())]
        }
        AdoptNote::LineUnsaid { pieces } => {
            let things: Vec<MapThing> =
                pieces.iter().filter_map(|piece| map.outline_named(piece.as_str())).collect();
            let all = |fields: &[(&str, &str)]| {
                let fields = fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
                MapEdit::SayAll(things.clone(), fields.collect())
            };
            let sewn = AnswerSeen::new("It is the seamline", all(&[("drawn", "seamline")]));
            let cut = USUAL_ALLOWANCES.map(|mm| {
                let allowance = format!("{mm}mm");
                let says = format!("It is cut, {} beyond the seamline", Length::from_mm(mm).show(unit));
                AnswerSeen::new(says, all(&[("drawn", "cutting-line"), ("allowance", &allowance)]))
            });
            let names: Vec<String> = pieces.iter().map(ToString::to_string).collect();
            let sentence =
                format!("Nothing says whether the line drawn around {} is cut or sewn.", listed(&names));
            vec![missing(sentence, things.clone(), [sewn].into_iter().chain(cut).collect())]
        }
        AdoptNote::CountUnsaid { pieces } => {
            let each = pieces.iter().filter_map(|piece| {
                let thing = map.outline_named(piece.as_str())?;
                let counts = [("Once", "1"), ("Twice, left and right", "2"), ("Twice alike", "2 same")];
                let answers = counts.map(|(says, cut)| AnswerSeen::new(says, say(&thing, &[("cut", cut)])));
                let sentence = format!("Nothing says how often {piece} is cut.");
                Some(missing(sentence, vec![thing], answers.into()))
            });
            each.collect()
        }
        AdoptNote::HemsUnsaid { hems } => vec![hems_unsaid(found, map, hems, unit)],
        AdoptNote::LengthsDiffer { seam, number, first, second, .. } => {
            let show = |mm: f64| Length::from_mm(mm).show(unit);
            let over = first - second;
            let ease = AnswerSeen::new(
                format!("Ease {} in", show(over.abs())),
                say(&MapThing::Seam(*number), &[("ease", &format!("{over:.1}mm"))]),
            );
            let unsew = AnswerSeen::new("They are not sewn", MapEdit::Unsew(*number));
            let sentence = format!("{seam}: {} are sewn to {}.", show(*first), show(*second));
            vec![missing(sentence, map.seam_things(found, *number), vec![ease, unsew])]
        }
    }
}

/// Hems of which nothing says how deep they are: all are answered at once, each is changed where it is pressed.
fn hems_unsaid(found: &Found, map: &Map, hems: &[(EdgeRef, Length)], unit: Unit) -> MissingSeen {
    let names: Vec<String> = hems.iter().map(|(edge, _)| edge.to_string()).collect();
    let things: Vec<MapThing> = names.iter().flat_map(|name| map.things_named(found, name)).collect();
    let deep = |says: String, depth: Length| {
        let fields = BTreeMap::from([("allowance".to_owned(), depth.to_string())]);
        AnswerSeen::new(says, MapEdit::SayAll(things.clone(), fields))
    };
    let usual = USUAL_HEMS.map(Length::from_mm);
    let mut answers: Vec<AnswerSeen> =
        usual.iter().map(|depth| deep(format!("{} deep", depth.show(unit)), *depth)).collect();
    let taken = hems.first().map(|(_, taken)| *taken);
    let alike = taken.filter(|taken| hems.iter().all(|(_, other)| other == taken) && !usual.contains(taken));
    let taken_said = alike.map_or_else(String::new, |taken| {
        answers.push(deep(format!("{}, as all round", taken.show(unit)), taken));
        format!("; {} is taken, as all round the piece", taken.show(unit))
    });
    let sentence = format!("Nothing says how deep the hem is at {}{taken_said}.", listed(&names));
    missing(sentence, things.clone(), answers)
}

/// A finish, as one says what an edge is.
pub(super) fn finish_said(word: &str) -> String {
    match word {
        "free" => "It stays free".to_owned(),
        "fold" => "It lies on the fold".to_owned(),
        "hem" => "It is a hem".to_owned(),
        other => format!("It is a {other}"),
    }
}

/// A hem of the depth that is most usual.
fn usual_hem(thing: &MapThing, unit: Unit) -> AnswerSeen {
    let depth = Length::from_mm(USUAL_HEMS[0]);
    let fields = [("finish", "hem"), ("allowance", &depth.to_string())];
    AnswerSeen::new(format!("It is a hem, {} deep", depth.show(unit)), say(thing, &fields))
}

/// What a thing is called, for a sentence.
pub(super) fn called(found: &Found, map: &Map, thing: &MapThing) -> String {
    match thing {
        MapThing::Drawing => "the drawing".to_owned(),
        MapThing::Outline(letter) => map.piece_name(letter).unwrap_or_else(|| format!("outline {letter}")),
        MapThing::Edge(letter, number) => map
            .edge_name(found, letter, *number)
            .unwrap_or_else(|| format!("edge {number} of outline {letter}")),
        MapThing::Line(letter) => format!("line {letter}"),
        MapThing::Seam(at) => map.seam_name(*at).unwrap_or_default(),
    }
}
