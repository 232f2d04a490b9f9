//! Forms: what can be done with a thing, and the fields of that, made of each operation's own definition.

use clap::{Arg, Args, Command};
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::pattern::{EdgeRef, Field, Operation, Pattern, Piece, PieceName};
use crate::recipe::fitted;
use crate::recut::{self, Over, Step};
use crate::table::field_sort::FieldSort;
use crate::table::said::Refused;
use crate::table::thing::Thing;

macro_rules! define_definitions {
    ($($module:ident $operation:ident $name:literal,)+) => {
        /// The definition of an operation, as the command line has it.
        fn definition(operation: Operation) -> Command {
            match operation {
                $(Operation::$operation => recut::$operation::augment_args(Command::new($name)),)+
            }
        }
    };
}

crate::for_each_operation!(define_definitions);

/// Something that can be done with a thing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Offer {
    /// What it does, in a sentence.
    pub says: String,
    /// Whether it is done to the thing itself; else to what the thing is part of.
    pub own: bool,
    /// What it begins with.
    pub begins: Begins,
    /// The step as far as the thing answers it.
    pub step: Value,
}

/// What one takes hold of to do something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Begins {
    /// An edge, or the seam that it is sewn in.
    Edge,
    /// A dart.
    Dart,
    /// A whole piece.
    Piece,
    /// The pattern.
    Pattern,
}

/// The form of an operation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OperationForm {
    /// What it does.
    pub says: String,
    /// Its name.
    #[serde(rename = "do")]
    pub operation: &'static str,
    /// Its fields.
    pub fields: Vec<FormField>,
}

/// A field of a form.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FormField {
    /// Its name.
    pub name: String,
    /// What it is called.
    pub called: String,
    /// What it is for.
    pub help: String,
    /// Whether it must be filled in.
    pub needed: bool,
    /// What it asks for.
    pub sort: FieldSort,
    /// What stands in it.
    pub value: String,
    /// What is so now, where it sets something that was said before; empty elsewhere.
    pub now: String,
    /// What may stand there.
    pub words: Vec<String>,
    /// Whether nothing else may.
    pub closed: bool,
}

/// What can be done with a thing: what is done to itself first, and of that what recuts it before what is only set of it, in
/// the order of [`Operation::ALL`].
pub(super) fn offers(thing: &Thing, pattern: &Pattern) -> Vec<Offer> {
    let mut offers: Vec<Offer> =
        Operation::ALL.iter().map(|operation| offer(*operation, thing, pattern)).collect();
    offers.sort_by_key(|offer| (!offer.own, offer.begins));
    offers
}

fn offer(operation: Operation, thing: &Thing, pattern: &Pattern) -> Offer {
    let command = definition(operation);
    let mut step = Map::from_iter([("do".to_owned(), json!(operation.name()))]);
    let (mut answered, mut own) = (Vec::new(), false);
    for field in command.get_arguments().filter(|field| !asks_new_name(field)) {
        let sort = FieldSort::of(field);
        let is_own = thing.is_asked_by(sort);
        // A level is one of many pieces: which is then to be said as well.
        let is_of_line = sort == FieldSort::Piece
            && matches!(thing, Thing::Level(..))
            && answered.contains(&FieldSort::Over);
        if answered.contains(&sort) || !(is_own || is_of_line || field.is_required_set()) {
            continue;
        }
        let Some(value) = thing.answer(sort, pattern) else { continue };
        own |= is_own;
        answered.push(sort);
        step.insert(name(field).to_owned(), json!(value));
    }
    // Whoever has nothing in the hand chooses among all.
    own |= *thing == Thing::Pattern;
    Offer { says: about(&command), own, begins: begins(&command), step: Value::Object(step) }
}

/// What an operation begins with: a dart where it needs one, else what it needs first.
fn begins(command: &Command) -> Begins {
    let mut needed =
        command.get_arguments().filter(|field| field.is_required_set()).map(FieldSort::of).peekable();
    let first = needed.peek().copied();
    if needed.any(|sort| sort == FieldSort::Dart) {
        return Begins::Dart;
    }
    match first {
        Some(FieldSort::Piece) => Begins::Piece,
        Some(
            FieldSort::Edge
            | FieldSort::EdgeOfAny
            | FieldSort::Edges
            | FieldSort::EdgeRun
            | FieldSort::Corner
            | FieldSort::Over,
        ) => Begins::Edge,
        _ => Begins::Pattern,
    }
}

/// The form of a step, as far as it is filled in, on the pattern that it is to be done on. A width that a cloth can give has a
/// field for one of the cloths beside it.
///
/// # Errors
///
/// There is no such operation.
pub(super) fn form(step: &Value, pattern: &Pattern, cloths: &[String]) -> Result<OperationForm, Refused> {
    let given = |name: &str| step.get(name).and_then(Value::as_str).unwrap_or_default();
    let operation = Operation::ALL.iter().find(|operation| operation.name() == given("do"));
    let operation = *operation.ok_or_else(|| {
        Refused::plain(format!("there is no operation `{}`", given("do")), "load the page anew")
    })?;
    let command = definition(operation);
    let piece = piece_in(&command, step).and_then(|piece| pattern.find(&piece));
    let now = now(step, pattern);
    let fields = command.get_arguments().map(|field| {
        let sort = if asks_new_name(field) { FieldSort::Text } else { FieldSort::of(field) };
        let mut words = sort.likely(pattern, piece);
        let closed = field.get_value_parser().possible_values().into_iter().flatten();
        words.extend(closed.map(|value| value.get_name().to_owned()));
        FormField {
            name: name(field).to_owned(),
            called: called(name(field)),
            help: help(field),
            needed: field.is_required_set(),
            sort,
            value: given(name(field)).to_owned(),
            now: now.get(name(field)).and_then(Value::as_str).unwrap_or_default().to_owned(),
            closed: sort.is_closed() && !words.is_empty(),
            words,
        }
    });
    let mut fields: Vec<FormField> = fields.collect();
    let width = fitted::width_field(operation.name());
    if let Some(at) = fields.iter().position(|field| Some(field.name.as_str()) == width) {
        let cloth = cloth_field(&fields[at], given(fitted::FIELD), cloths);
        fields[at].needed = false;
        fields.insert(at + 1, cloth);
    }
    Ok(OperationForm { says: about(&command), operation: operation.name(), fields })
}

/// What is so now of what a step can set, by the names of its fields.
fn now(step: &Value, pattern: &Pattern) -> Value {
    let step = Step::from_value(step).ok();
    step.and_then(|step| step.as_it_is(pattern)).map_or(Value::Null, |step| step.to_value())
}

/// The field for a cloth that gives a width.
fn cloth_field(width: &FormField, value: &str, cloths: &[String]) -> FormField {
    FormField {
        name: fitted::FIELD.to_owned(),
        called: called(fitted::FIELD),
        help: format!("A cloth, in place of {}: the width that it gives", width.name.replace('-', " ")),
        needed: false,
        sort: FieldSort::Text,
        value: value.to_owned(),
        now: String::new(),
        words: cloths.to_vec(),
        closed: false,
    }
}

/// The piece that a step is done on.
pub(super) fn piece_of<'a>(step: &Value, pattern: &'a Pattern) -> Option<&'a Piece> {
    let named = step.get("do")?.as_str()?;
    let operation = Operation::ALL.iter().find(|operation| operation.name() == named)?;
    pattern.find(&piece_in(&definition(*operation), step)?)
}

/// The piece that the first field names that names one.
fn piece_in(command: &Command, step: &Value) -> Option<PieceName> {
    let given = |name: &str| step.get(name).and_then(Value::as_str).unwrap_or_default();
    command.get_arguments().find_map(|field| piece_named(FieldSort::of(field), given(name(field))))
}

/// The piece that a field names by what stands in it.
fn piece_named(sort: FieldSort, value: &str) -> Option<PieceName> {
    match sort {
        FieldSort::Piece => value.parse().ok(),
        FieldSort::EdgeOfAny | FieldSort::EdgeRun | FieldSort::Edges | FieldSort::Corner => {
            let first = value.split(',').next()?.trim();
            match first.strip_suffix(".*") {
                Some(piece) => piece.parse().ok(),
                None => first.parse().ok().map(|edge: EdgeRef| edge.piece),
            }
        }
        FieldSort::Over => match value.parse().ok()? {
            Over::Named(edge) => Some(edge.piece),
            Over::Line(_) => None,
        },
        _ => None,
    }
}

/// Whether a field is for the name of something that is not there yet.
fn asks_new_name(field: &Arg) -> bool {
    name(field) == Field::Name.name()
}

pub(super) fn name(field: &Arg) -> &str {
    field.get_long().unwrap_or_else(|| field.get_id().as_str())
}

/// What fields are called at the table, and what is said of them, whose names are words of programs.
const OTHERWISE: [(&str, &str, &str); 4] = [
    (
        "seed",
        "order of trying",
        "A number for the order in which places are tried: the same number finds the same again, another may find better",
    ),
    (
        "iterations",
        "rounds, in place of a time",
        "How often the pieces are moved about, however long that takes: as often again finds the same again",
    ),
    ("recuts", "ways to try", "At most so many ways of cutting the pieces are tried"),
    ("alternatives", "ways to offer", "At most so many ways that fit are shown"),
];

/// What a field is called at the table: by its name, but where that is a word of programs.
pub(super) fn called(name: &str) -> String {
    let known = OTHERWISE.iter().find(|(field, ..)| *field == name);
    known.map_or_else(|| name.replace('-', " "), |(_, called, _)| (*called).to_owned())
}

/// What is said of a field at the table.
pub(super) fn help(field: &Arg) -> String {
    let known = OTHERWISE.iter().find(|(known, ..)| *known == name(field));
    let own = || in_words(&field.get_help().map(ToString::to_string).unwrap_or_default());
    known.map_or_else(own, |(.., help)| (*help).to_owned())
}

fn about(command: &Command) -> String {
    in_words(&command.get_about().map(ToString::to_string).unwrap_or_default())
}

/// A text of the command line without what only stands there.
fn in_words(text: &str) -> String {
    let words = text.trim_end_matches('.').split(' ').map(|word| {
        let at = word.find(|letter: char| letter != '(').unwrap_or(0);
        let (before, rest) = word.split_at(at);
        match rest.strip_prefix("--") {
            Some(field) if field.starts_with(char::is_alphabetic) => {
                format!("{before}{}", field.replace('-', " "))
            }
            _ => word.to_owned(),
        }
    });
    words.collect::<Vec<_>>().join(" ")
}
