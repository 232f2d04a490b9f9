//! Which of several nested sizes is meant.

use std::collections::HashMap;
use std::fmt;
use std::str::FromStr;

use crate::adopt::chain::FoundStroke;
use crate::adopt::look::LineStyle;
use crate::adopt::sizes::SizeKind;
use crate::adopt::stroke::DrawnThings;
use crate::pattern::{Refusal, RefusalKind};
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
    /// For each stroke whether it is of the chosen size, else of which kind of others: alike in what the size is chosen
    /// by.
    ///
    /// # Errors
    ///
    /// Nothing in the drawing is meant by it.
    pub(super) fn kinds(&self, drawn: &DrawnThings) -> Result<Vec<SizeKind>, Refusal> {
        let style_of = |stroke: &FoundStroke| stroke.style.0.to_string();
        let colour_of_stroke = |stroke: &FoundStroke| {
            drawn.styles.get(stroke.style).map(LineStyle::colour_text).unwrap_or_default()
        };
        let kinds = match self {
            SizeChoice::Style(n) => {
                let wanted = n - 1;
                told_apart(drawn, style_of, |stroke| stroke.style.0 == wanted)
            }
            SizeChoice::Colour(colour) => {
                let wanted = colour_of(colour);
                told_apart(drawn, colour_of_stroke, |stroke| colour_of_stroke(stroke) == wanted)
            }
            SizeChoice::Layer(_) => {
                let layer = |stroke: &FoundStroke| stroke.layer.clone();
                told_apart(drawn, layer, |stroke| self.is_of_layer(&stroke.layer))
            }
            SizeChoice::Text(words) => {
                let style = style_at(words, drawn).ok_or_else(|| self.no_text(words, drawn))?;
                told_apart(drawn, style_of, |stroke| stroke.style.0 == style)
            }
        };
        if kinds.contains(&SizeKind::Chosen) {
            return Ok(kinds);
        }
        Err(match self {
            SizeChoice::Layer(_) => self.no_layer(drawn),
            _ => self.refused(
                "no line of the drawing is of this size",
                "look at the kinds of line and layers that `retrue adopt DRAWING` lists",
            ),
        })
    }

    /// Whether a layer of such a name is chosen.
    pub(super) fn is_of_layer(&self, path: &str) -> bool {
        matches!(self, SizeChoice::Layer(name) if holds_whole(&path.to_lowercase(), &name.to_lowercase()))
    }

    fn refused(&self, what: impl fmt::Display, way_out: impl Into<crate::pattern::Advice>) -> Refusal {
        Refusal::new(RefusalKind::UnknownName, format!("size `{self}`"), what, way_out)
    }

    /// The refusal of words that do not stand in the drawing: a converter may have made shapes of them.
    fn no_text(&self, words: &str, drawn: &DrawnThings) -> Refusal {
        let texts: Vec<&str> = drawn.texts.iter().map(|text| text.text.as_str()).collect();
        let in_lines = drawn.may_write_in_lines();
        if texts.is_empty() && drawn.writing.is_empty() {
            let what = match in_lines {
                true => "no writing can be read in the drawing: where there is any, it was made into lines",
                false => "there is no writing in the drawing",
            };
            return self.refused(what, OTHER_WAYS);
        }
        let told = match crate::pattern::nearest(words, texts.iter().copied()) {
            Some(near) => format!("did you mean `text {near}`? Or {OTHER_WAYS}"),
            None => OTHER_WAYS.to_owned(),
        };
        if drawn.writing.is_empty() && !in_lines {
            return self.refused(format!("the words `{words}` do not stand in the drawing"), told);
        }
        let what = match texts.len() {
            0 => "the writing in this drawing was made into shapes, so that its words cannot be read"
                .to_owned(),
            _ if drawn.writing.is_empty() => format!(
                "the words `{words}` are not among what can be read; some of the writing in this drawing may have been made \
                 into lines"
            ),
            _ => format!(
                "the words `{words}` are not among what can be read: some of the writing in this drawing was made into \
                 shapes"
            ),
        };
        self.refused(what, told)
    }

    /// The refusal of a layer that the drawing does not have.
    fn no_layer(&self, drawn: &DrawnThings) -> Refusal {
        /// Layers that are named.
        const NAMED: usize = 12;
        let mut layers: Vec<&str> = Vec::new();
        for stroke in &drawn.strokes {
            if !stroke.layer.is_empty() && layers.len() < NAMED && !layers.contains(&stroke.layer.as_str()) {
                layers.push(&stroke.layer);
            }
        }
        if layers.is_empty() {
            let what = "the drawing has no layers; a converter may have lost them";
            return self.refused(
                what,
                "choose by the kind of line that `retrue adopt DRAWING` lists, as in \"style 3\"",
            );
        }
        let names: Vec<String> = layers.iter().map(|layer| format!("`{layer}`")).collect();
        self.refused("no layer has a name that holds this", format!("there are: {}", names.join(", ")))
    }
}

/// Whether a text holds others' words as whole ones: `10` stands in `size 10` and `size10`, and not in `110`.
fn holds_whole(text: &str, words: &str) -> bool {
    let goes_on = |one: Option<char>, two: Option<char>| match (one, two) {
        (Some(one), Some(two)) => {
            (one.is_numeric() && two.is_numeric()) || (one.is_alphabetic() && two.is_alphabetic())
        }
        _ => false,
    };
    text.match_indices(words).any(|(at, found)| {
        let (before, after) = (&text[..at], &text[at + found.len()..]);
        !goes_on(before.chars().next_back(), found.chars().next())
            && !goes_on(found.chars().next_back(), after.chars().next())
    })
}

const OTHER_WAYS: &str = "choose by the kind of line or the layer that `retrue adopt DRAWING` lists, as in \"style 3\" or \
                          \"colour #c00000\"";

/// The kinds of all strokes: the chosen one, and those of others by what they are alike in.
fn told_apart(
    drawn: &DrawnThings,
    alike: impl Fn(&FoundStroke) -> String,
    is_chosen: impl Fn(&FoundStroke) -> bool,
) -> Vec<SizeKind> {
    let mut numbers: HashMap<String, usize> = HashMap::new();
    let kind = |stroke: &FoundStroke| {
        if is_chosen(stroke) {
            return SizeKind::Chosen;
        }
        let next = numbers.len();
        SizeKind::Other(*numbers.entry(alike(stroke)).or_insert(next))
    };
    drawn.strokes.iter().map(kind).collect()
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
        let far = |stroke: &FoundStroke| stroke.curve.nearest(text.at).distance;
        far(a).total_cmp(&far(b))
    })?;
    Some(nearest.style.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_is_chosen_by_whole_words_and_numbers() {
        let of =
            |choice: &str, path: &str| choice.parse::<SizeChoice>().is_ok_and(|size| size.is_of_layer(path));
        assert!(
            of("layer 10", "Size 10") && of("layer 10", "size10") && of("layer size 38", "Front/Size 38 cut")
        );
        assert!(!of("layer 10", "Size 110") && !of("layer 1", "Size 10") && !of("layer 1", "110"));
        assert!(!of("layer all", "small") && of("layer 10", "110 and 10"));
    }
}
