//! Which of several nested sizes is meant.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{Refusal, RefusalKind};
use crate::sheet::adopt::stroke::DrawnThings;
use crate::units::serde_as_text;

/// The lines of one size: by their kind, colour, layer, or the kind of line that a text stands at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SizeChoice {
    /// `style 3`: a kind of line, as numbered in the list of what was found.
    Style(usize),
    /// `colour #c00000`.
    Colour(String),
    /// `layer size 38`: a layer or group whose name holds this.
    Layer(String),
    /// `text 38`: the kind of line nearest to a text of these words.
    Text(String),
}

/// Why a text chooses no size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` chooses no size: write \"style 3\", \"colour #c00000\", \"layer NAME\" or \"text 38\"")]
pub struct SizeError(String);

impl FromStr for SizeChoice {
    type Err = SizeError;

    fn from_str(text: &str) -> Result<SizeChoice, SizeError> {
        let wrong = || SizeError(text.to_owned());
        let (by, what) = text.trim().split_once(' ').ok_or_else(wrong)?;
        let what = what.trim();
        match by {
            _ if what.is_empty() => Err(wrong()),
            "style" => what.parse().ok().filter(|n| *n > 0).map(SizeChoice::Style).ok_or_else(wrong),
            "colour" | "color" => Ok(SizeChoice::Colour(what.to_owned())),
            "layer" | "group" => Ok(SizeChoice::Layer(what.to_owned())),
            "text" => Ok(SizeChoice::Text(what.to_owned())),
            _ => Err(wrong()),
        }
    }
}

impl fmt::Display for SizeChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SizeChoice::Style(n) => write!(f, "style {n}"),
            SizeChoice::Colour(colour) => write!(f, "colour {colour}"),
            SizeChoice::Layer(layer) => write!(f, "layer {layer}"),
            SizeChoice::Text(text) => write!(f, "text {text}"),
        }
    }
}

serde_as_text!(SizeChoice);

impl SizeChoice {
    /// For each stroke whether it is of the chosen size.
    ///
    /// # Errors
    ///
    /// Nothing in the drawing is meant by it.
    pub(super) fn chosen(&self, drawn: &DrawnThings) -> Result<Vec<bool>, Refusal> {
        let by_style = |wanted: usize| drawn.strokes.iter().map(|stroke| stroke.style.0 == wanted).collect();
        let chosen: Vec<bool> = match self {
            SizeChoice::Style(n) => by_style(n - 1),
            SizeChoice::Colour(colour) => {
                let wanted = colour_of(colour);
                let is = |stroke: &crate::sheet::adopt::stroke::FoundStroke| {
                    drawn.styles.get(stroke.style).is_some_and(|style| style.colour_text() == wanted)
                };
                drawn.strokes.iter().map(is).collect()
            }
            SizeChoice::Layer(name) => {
                let wanted = name.to_lowercase();
                drawn.strokes.iter().map(|stroke| stroke.layer.to_lowercase().contains(&wanted)).collect()
            }
            SizeChoice::Text(words) => match style_at(words, drawn) {
                Some(style) => by_style(style),
                None => Vec::new(),
            },
        };
        if chosen.iter().any(|is| *is) {
            return Ok(chosen);
        }
        Err(Refusal::new(
            RefusalKind::UnknownName,
            format!("size `{self}`"),
            "no line of the drawing is of this size",
            "look at the kinds of line and layers that `retrue adopt DRAWING` lists",
        ))
    }
}

fn colour_of(text: &str) -> String {
    match svgtypes::Color::from_str(text) {
        Ok(colour) => format!("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue),
        Err(_) => text.to_owned(),
    }
}

/// The kind of line that passes nearest to a text which holds these words.
fn style_at(words: &str, drawn: &DrawnThings) -> Option<usize> {
    let wanted = words.to_lowercase();
    let holds = |text: &str| text.to_lowercase().split_whitespace().any(|word| word == wanted);
    let exact = drawn.texts.iter().find(|text| text.text.to_lowercase() == wanted);
    let text = exact.or_else(|| drawn.texts.iter().find(|text| holds(&text.text)))?;
    let nearest = drawn.strokes.iter().min_by(|a, b| {
        let far = |stroke: &crate::sheet::adopt::stroke::FoundStroke| stroke.curve.nearest(text.at).distance;
        far(a).total_cmp(&far(b))
    })?;
    Some(nearest.style.0)
}
