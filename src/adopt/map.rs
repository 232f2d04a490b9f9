//! The map: what a person says of a drawing's outlines and lines.
//!
//! A TOML file. Every key is known, every value is a text or a number as it would be said: `at = "4-6"`,
//! `allowance = "15mm"`. What is wrong is told at its place in the text.

use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;

use serde::de::{Deserializer, Error, Visitor};
use toml::Spanned;

use crate::adopt::MapError;

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

/// What a person says of a drawing.
#[derive(Clone, Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Map {
    pub(super) unit: Option<Word>,
    pub(super) known: Option<Word>,
    #[serde(default)]
    pub(super) correct_scale: bool,
    pub(super) size: Option<Word>,
    pub(super) pages: Option<Word>,
    pub(super) corner_angle: Option<Word>,
    #[serde(default)]
    pub(super) ignore: Vec<Word>,
    #[serde(default, rename = "piece")]
    pub(super) pieces: Vec<MapPiece>,
    #[serde(default, rename = "seam")]
    pub(super) seams: Vec<MapSeam>,
}

/// A piece.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapPiece {
    pub outline: Word,
    pub name: Word,
    pub drawn: Option<Word>,
    pub allowance: Option<Word>,
    pub cut: Option<Word>,
    pub cloth: Option<Word>,
    #[serde(default)]
    pub soft_joints: Vec<Word>,
    pub corners: Option<Word>,
    pub grainline: Option<Word>,
    pub arrows: Option<Word>,
    #[serde(default)]
    pub ignore: Vec<Word>,
    #[serde(default, rename = "edge")]
    pub edges: Vec<MapEdge>,
    #[serde(default, rename = "dart")]
    pub darts: Vec<MapDart>,
    #[serde(default, rename = "notch")]
    pub notches: Vec<MapNotch>,
    #[serde(default, rename = "level")]
    pub levels: Vec<MapLevel>,
    #[serde(default, rename = "point")]
    pub points: Vec<MapMark>,
    #[serde(default, rename = "style-line")]
    pub style_lines: Vec<MapMark>,
}

/// An edge.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapEdge {
    pub at: Word,
    pub name: Word,
    pub finish: Option<Word>,
    pub allowance: Option<Word>,
    pub sewn_to: Option<Word>,
    #[serde(default)]
    pub selvedge: bool,
}

/// A dart.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapDart {
    pub name: Word,
    pub drawn: Option<Word>,
    pub cut_in: Option<Word>,
    pub edge: Option<Word>,
    pub press: Option<Word>,
}

/// A notch.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapNotch {
    pub name: Option<Word>,
    pub drawn: Option<Word>,
    pub at: Option<Word>,
    pub count: Option<Word>,
}

/// A level.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapLevel {
    pub name: Word,
    pub drawn: Word,
    pub girth: Option<bool>,
}

/// A point or a style line.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapMark {
    pub name: Word,
    pub drawn: Word,
}

/// A seam.
#[derive(Clone, Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct MapSeam {
    pub first: Word,
    pub second: Word,
    pub from: Option<Word>,
    pub ease: Option<Word>,
}

impl Map {
    /// Reads a map.
    ///
    /// # Errors
    ///
    /// What is no TOML, a key that is not known, a value that is neither text nor number: at its place.
    pub fn read(text: &str) -> Result<Map, MapError> {
        toml::from_str(text).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            let message = error.message().lines().next().unwrap_or_default().to_owned();
            MapError::at(
                span,
                "this map cannot be read",
                message,
                "have a template written and fill it in; `retrue help map` has all that can stand there",
            )
        })
    }
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
pub(super) fn value<T: FromStr>(word: &Word, what: &str) -> Result<T, MapError>
where
    T::Err: Display,
{
    text(word).parse().map_err(|error: T::Err| {
        MapError::at(span(word), format!("this is not {what}"), error, "look at `retrue help map`")
    })
}

/// A value that is read where it is given.
pub(super) fn given<T: FromStr>(word: Option<&Word>, what: &str) -> Result<Option<T>, MapError>
where
    T::Err: Display,
{
    word.map(|word| value(word, what)).transpose()
}

/// One of a few words.
pub(super) fn one_of<T: Copy>(word: &Word, words: &[(&str, T)]) -> Result<T, MapError> {
    let asked = text(word);
    if let Some((_, value)) = words.iter().find(|(name, _)| *name == asked) {
        return Ok(*value);
    }
    let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
    let way_out = match crate::pattern::nearest(asked, names.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        None => format!("it may be: {}", names.join(", ")),
    };
    Err(MapError::at(span(word), format!("this cannot be `{asked}`"), "not known", way_out))
}
