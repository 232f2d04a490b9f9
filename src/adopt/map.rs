//! The map: what a person says of a drawing's outlines and lines.
//!
//! A TOML file. Every key is known, every value is a text or a number as it would be said: `at = "4-6"`,
//! `allowance = "15mm"`. What is wrong is told at its place in the text.

use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;

use serde::de::{Deserializer, Error, Visitor};
use toml::Spanned;

use crate::adopt::likely::Certainty;
use crate::adopt::map_words::{ARROWS, DRAWN_AS, FINISHES, SEWN_TO, UNITS, words};
use crate::toml_file::TextFault;

/// A value as it is written, with its place.
pub(super) type Word = Spanned<TextOrNumber>;

/// A text, or a number as the text it is written with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct TextOrNumber(String);

impl<'de> serde::Deserialize<'de> for TextOrNumber {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<TextOrNumber, D::Error> {
        deserializer.deserialize_any(AnyScalar)
    }
}

struct AnyScalar;

impl Visitor<'_> for AnyScalar {
    type Value = TextOrNumber;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a text in quotes, or a number")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<TextOrNumber, E> {
        Ok(TextOrNumber(text.trim().to_owned()))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<TextOrNumber, E> {
        Ok(TextOrNumber(number.to_string()))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<TextOrNumber, E> {
        Ok(TextOrNumber(number.to_string()))
    }
}

/// What a field of a map asks for.
#[derive(Clone, Copy, Debug)]
pub enum MapAsks {
    /// What something is called.
    Name,
    /// A length.
    Length,
    /// One of a few words, and no other.
    OneOf(fn() -> Vec<&'static str>),
    /// What is likely, or anything like it.
    Like(&'static [&'static str]),
    /// Yes or no.
    Switch(Unsaid),
    /// What is written.
    Text,
    /// What is pointed at in the drawing, and never written by hand.
    Pointed,
    /// Things that have fields of their own.
    Things,
}

/// What a yes or no counts as where nothing is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsaid {
    /// As yes.
    Yes,
    /// As no.
    No,
}

impl Unsaid {
    /// Whether it is so by what is said.
    pub(super) fn or(self, said: Option<bool>) -> bool {
        said.unwrap_or(self == Unsaid::Yes)
    }
}

/// How a yes is told in a form; a no is told by an empty text.
pub(super) const YES: &str = "yes";

/// Whether the scale is corrected of which that is not said; whether an edge is cut along the selvedge; whether a girth is
/// measured at a level.
pub(super) const SCALE_CORRECTED: Unsaid = Unsaid::No;
pub(super) const ON_SELVEDGE: Unsaid = Unsaid::No;
pub(super) const GIRTH_MEASURED: Unsaid = Unsaid::Yes;

/// A field of a map: what the form of a thing asks for.
#[derive(Clone, Copy, Debug)]
pub struct MapField {
    name: &'static str,
    help: &'static str,
    /// What it asks for.
    pub asks: MapAsks,
}

impl MapField {
    /// Its name in a map.
    #[must_use]
    pub fn name(&self) -> String {
        self.name.replace('_', "-")
    }

    /// What it counts as where nothing is said, as a form tells it.
    #[must_use]
    pub fn unsaid(&self) -> &'static str {
        if matches!(self.asks, MapAsks::Switch(Unsaid::Yes)) { YES } else { "" }
    }

    /// What it says.
    #[must_use]
    pub fn help(&self) -> &'static str {
        self.help.trim()
    }
}

/// Defines a table of a map, with what each of its fields asks for.
macro_rules! map_table {
    (
        $(#[$table:meta])*
        $vis:vis struct $name:ident {
            $(
                #[doc = $help:literal]
                $(#[$more:meta])*
                $field:ident: $type:ty = $asks:expr,
            )+
        }
    ) => {
        $(#[$table])*
        #[derive(Clone, Debug, serde::Deserialize)]
        #[serde(deny_unknown_fields, rename_all = "kebab-case")]
        $vis struct $name {
            $(
                #[doc = $help]
                $(#[$more])*
                pub(super) $field: $type,
            )+
        }

        impl $name {
            /// Its fields, in their order.
            pub const FIELDS: &'static [MapField] =
                &[$(MapField { name: stringify!($field), help: $help, asks: $asks }),+];
        }
    };
}

map_table! {
/// What a person says of a drawing.
#[derive(Default)]
pub struct Map {
    /// The unit of the drawing.
    unit: Option<Word> = MapAsks::OneOf(|| words(&UNITS)),
    /// How long something is, by its letter: A=100mm.
    known: Option<Word> = MapAsks::Text,
    /// Whether the scale is corrected by the test square.
    correct_scale: Option<bool> = MapAsks::Switch(SCALE_CORRECTED),
    /// Which of several sizes is taken.
    size: Option<Word> = MapAsks::Pointed,
    /// How the pages lie: columns x rows, as in 5 x 6.
    pages: Option<Word> = MapAsks::Text,
    /// The least turn that is a corner, in degrees.
    corner_angle: Option<Word> = MapAsks::Text,
    /// Outlines that are no pieces.
    #[serde(default)]
    ignore: Vec<Word> = MapAsks::Pointed,
    /// The pieces.
    #[serde(default, rename = "piece")]
    pieces: Vec<MapPiece> = MapAsks::Things,
    /// The seams.
    #[serde(default, rename = "seam")]
    seams: Vec<MapSeam> = MapAsks::Things,
}
}

map_table! {
/// A piece.
pub struct MapPiece {
    /// Its outline.
    outline: Word = MapAsks::Pointed,
    /// How sure a guess of it is, until someone has looked at it.
    guessed: Option<Word> = MapAsks::Pointed,
    /// What it is called.
    name: Word = MapAsks::Name,
    /// Which of its lines is drawn.
    drawn: Option<Word> = MapAsks::OneOf(|| words(&DRAWN_AS)),
    /// The allowance of edges that have none of their own.
    allowance: Option<Word> = MapAsks::Length,
    /// How often it is cut; 2 is a left and a right.
    cut: Option<Word> = MapAsks::Like(&["1", "2", "2 same"]),
    /// Of which cloth it is cut.
    cloth: Option<Word> = MapAsks::Like(&["main", "lining", "interfacing"]),
    /// Where two edges meet without a corner, as in 3@120mm.
    #[serde(default)]
    soft_joints: Vec<Word> = MapAsks::Pointed,
    /// Corners of the cutting line.
    corners: Option<Word> = MapAsks::Text,
    /// Its grainline.
    grainline: Option<Word> = MapAsks::Pointed,
    /// At which ends the grainline has arrows.
    arrows: Option<Word> = MapAsks::OneOf(|| words(&ARROWS)),
    /// Lines on it that are kept as they are drawn.
    #[serde(default)]
    marks: Vec<Word> = MapAsks::Pointed,
    /// Lines that mean nothing.
    #[serde(default)]
    ignore: Vec<Word> = MapAsks::Pointed,
    /// Its edges.
    #[serde(default, rename = "edge")]
    edges: Vec<MapEdge> = MapAsks::Things,
    /// Its darts.
    #[serde(default, rename = "dart")]
    darts: Vec<MapDart> = MapAsks::Things,
    /// Its notches.
    #[serde(default, rename = "notch")]
    notches: Vec<MapNotch> = MapAsks::Things,
    /// Its levels.
    #[serde(default, rename = "level")]
    levels: Vec<MapLevel> = MapAsks::Things,
    /// Its points.
    #[serde(default, rename = "point")]
    points: Vec<MapMark> = MapAsks::Things,
    /// Its style lines.
    #[serde(default, rename = "style-line")]
    style_lines: Vec<MapMark> = MapAsks::Things,
}
}

map_table! {
/// An edge.
pub struct MapEdge {
    /// Its numbers in the drawing.
    at: Word = MapAsks::Pointed,
    /// How sure a guess of it is, until someone has looked at it.
    guessed: Option<Word> = MapAsks::Pointed,
    /// What it is called.
    name: Word = MapAsks::Name,
    /// How it is finished; a seam, where it is sewn and nothing is said.
    finish: Option<Word> = MapAsks::OneOf(|| words(&FINISHES)),
    /// What is left beside it.
    allowance: Option<Word> = MapAsks::Length,
    /// What it is sewn to that is not in this drawing.
    sewn_to: Option<Word> = MapAsks::OneOf(|| words(&SEWN_TO)),
    /// Whether it is cut along the selvedge.
    selvedge: Option<bool> = MapAsks::Switch(ON_SELVEDGE),
}
}

map_table! {
/// A dart.
pub struct MapDart {
    /// What it is called.
    name: Word = MapAsks::Name,
    /// Its line.
    drawn: Option<Word> = MapAsks::Pointed,
    /// Its legs, where it is cut in.
    cut_in: Option<Word> = MapAsks::Pointed,
    /// The edge that it opens on.
    edge: Option<Word> = MapAsks::Name,
    /// The edge that it is pressed towards.
    press: Option<Word> = MapAsks::Name,
    /// How sure it is that it is one, where it was guessed.
    guessed: Option<Word> = MapAsks::Pointed,
}
}

map_table! {
/// A notch.
pub struct MapNotch {
    /// What it is called.
    name: Option<Word> = MapAsks::Name,
    /// Its line.
    drawn: Option<Word> = MapAsks::Pointed,
    /// Where it is, where it is not drawn: side@40%.
    at: Option<Word> = MapAsks::Text,
    /// How many ticks it has.
    count: Option<Word> = MapAsks::Like(&["1", "2"]),
}
}

map_table! {
/// A level.
pub struct MapLevel {
    /// What it is called.
    name: Word = MapAsks::Name,
    /// Its line.
    drawn: Word = MapAsks::Pointed,
    /// Whether the girth is measured there.
    girth: Option<bool> = MapAsks::Switch(GIRTH_MEASURED),
}
}

map_table! {
/// A point or a style line.
pub struct MapMark {
    /// What it is called.
    name: Word = MapAsks::Name,
    /// Its line.
    drawn: Word = MapAsks::Pointed,
}
}

map_table! {
/// A seam.
pub struct MapSeam {
    /// How sure a guess of it is, until someone has looked at it.
    guessed: Option<Word> = MapAsks::Pointed,
    /// Its one side.
    first: Word = MapAsks::Pointed,
    /// Its other side.
    second: Word = MapAsks::Pointed,
    /// At which end of its edges sewing begins.
    from: Option<Word> = MapAsks::Text,
    /// By how much the first side is longer, and eased in.
    ease: Option<Word> = MapAsks::Length,
}
}

/// How sure a guess is that a map holds, and what speaks for it: `likely: both 126.9 mm`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MapGuess {
    /// How sure it is.
    pub certainty: Certainty,
    /// What speaks for it.
    pub because: String,
}

impl FromStr for MapGuess {
    type Err = String;

    fn from_str(text: &str) -> Result<MapGuess, String> {
        let (word, because) = text.split_once(':').unwrap_or((text, ""));
        let known = Certainty::ALL.into_iter().find(|certainty| certainty.word() == word.trim());
        let certainty = known.ok_or("it may be: sure, likely, perhaps; take it out where it is right")?;
        Ok(MapGuess { certainty, because: because.trim().to_owned() })
    }
}

impl std::fmt::Display for MapGuess {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.certainty.word(), self.because)
    }
}

impl Map {
    /// Reads a map.
    ///
    /// # Errors
    ///
    /// What is no TOML, a key that is not known, a value that is neither text nor number: at its place.
    pub fn read(text: &str) -> Result<Map, TextFault> {
        toml::from_str(text).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            let message = error.message().lines().next().unwrap_or_default();
            let (what, way_out) = in_plain_words(message);
            TextFault::new(span, "this map cannot be read", what, way_out)
        })
    }
}

/// What is wrong with a map, and the way out, of what its reader says of it.
fn in_plain_words(message: &str) -> (String, String) {
    let template = "have a template written and fill it in; `retrue help map` has all that can stand there";
    let quoted = |text: &str| text.split('`').nth(1).map(str::to_owned);
    if let Some(rest) = message.strip_prefix("unknown field ") {
        let (name, known) = rest.split_once(',').unwrap_or((rest, ""));
        let name = quoted(name).unwrap_or_default();
        let known: Vec<&str> = known.split('`').skip(1).step_by(2).collect();
        let way_out = match crate::pattern::nearest(&name, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if known.is_empty() => template.to_owned(),
            None => format!("here can stand: {}", known.join(", ")),
        };
        return (format!("`{name}` is not known here"), way_out);
    }
    if let Some(name) = message.strip_prefix("missing field ").and_then(quoted) {
        return (format!("`{name}` is missing here"), format!("write a line `{name} = \"...\"` here"));
    }
    if message.starts_with("duplicate key") {
        return ("this stands here twice".to_owned(), "take one of the two lines out".to_owned());
    }
    let (what, way_out) = match message.split_once(", expected ").map(|(_, expected)| expected) {
        Some("a sequence") => {
            ("this is no list", "put what it holds in square brackets, each in quotes: [\"A\", \"B\"]")
        }
        Some("a boolean") => ("this is neither true nor false", "write true or false, without quotes"),
        Some("a string") => ("this is no text", "put it in quotes"),
        _ => (message, template),
    };
    (what.to_owned(), way_out.to_owned())
}

/// The text of a value.
pub(super) fn text(word: &Word) -> &str {
    &word.get_ref().0
}

/// Where a value stands.
pub(super) fn span(word: &Word) -> Range<usize> {
    word.span()
}

/// A value read as what it should be.
pub(super) fn value<T: FromStr>(word: &Word, what: &str) -> Result<T, TextFault>
where
    T::Err: Display,
{
    text(word).parse().map_err(|error: T::Err| {
        TextFault::new(span(word), format!("this is not {what}"), error, "look at `retrue help map`")
    })
}

/// A value that is read where it is given.
pub(super) fn given<T: FromStr>(word: Option<&Word>, what: &str) -> Result<Option<T>, TextFault>
where
    T::Err: Display,
{
    word.map(|word| value(word, what)).transpose()
}

/// One of a few words.
pub(super) fn one_of<T: Copy>(word: &Word, words: &[(&str, T)]) -> Result<T, TextFault> {
    let asked = text(word);
    if let Some((_, value)) = words.iter().find(|(name, _)| *name == asked) {
        return Ok(*value);
    }
    let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
    let way_out = match crate::pattern::nearest(asked, names.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        None => format!("it may be: {}", names.join(", ")),
    };
    Err(TextFault::new(span(word), format!("this cannot be `{asked}`"), "not known", way_out))
}
