//! The look that an element brings along, carried from its own user space to the sheet's millimetres.
//!
//! A written element stands directly on the sheet: its points have taken in every transform, so that lengths in its
//! attributes and style must be scaled with them, and a transform that a style gives must not act a second time.

use crate::drawing::number::number;
use crate::drawing::{Node, Tag, opening_tag};
use crate::tolerance::SAME_SCALE;
use crate::units::MM_PER_INCH;

/// Properties whose values are lengths in the element's user space.
const LENGTHS: &[&str] = &["stroke-width", "stroke-dasharray", "stroke-dashoffset", "font-size"];

/// Properties that move an element.
const MOVES: &[&str] = &["transform", "transform-origin", "translate", "rotate", "scale"];

/// Units of length of style sheets, in user units.
const UNITS: &[(&str, f64)] = &[
    ("px", 1.0),
    ("mm", 96.0 / MM_PER_INCH),
    ("cm", 960.0 / MM_PER_INCH),
    ("in", 96.0),
    ("pt", 96.0 / 72.0),
    ("pc", 16.0),
];

/// Makes the attributes of an element fit for where it is written.
pub(super) fn carry_to_sheet(attributes: &mut Vec<(String, String)>, node: &Node) {
    let scale = node.to_mm.determinant().abs().sqrt();
    if (scale - 1.0).abs() > SAME_SCALE {
        for (name, value) in attributes.iter_mut() {
            if LENGTHS.contains(&name.as_str()) {
                *value = scaled(value, scale);
            } else if name == "style" {
                *value = mapped(value, |name, value| {
                    if LENGTHS.contains(&name) { scaled(value, scale) } else { value.to_owned() }
                });
            }
        }
    }
    if is_moved_by_style(attributes, node) {
        stay(attributes);
    }
}

/// Whether a style moves the element: its own, or, where it has no `transform`, a style sheet's.
fn is_moved_by_style(attributes: &[(String, String)], node: &Node) -> bool {
    if node.to_mm == node.context_to_mm {
        return false;
    }
    let own =
        attributes.iter().any(|(name, value)| name == "style" && declarations(value).any(|d| moves(d.0)));
    let container = matches!(node.tag, Tag::Use | Tag::Svg);
    own || !(container || opening_tag(&node.raw).contains("transform="))
}

fn moves(property: &str) -> bool {
    MOVES.contains(&property)
}

/// Writes `transform: none` into the style in place of whatever moves the element.
fn stay(attributes: &mut Vec<(String, String)>) {
    let style = attributes.iter().position(|(name, _)| name == "style");
    let kept = style.map_or(String::new(), |at| {
        let kept = declarations(&attributes[at].1).filter(|(name, _)| !moves(name));
        kept.map(|(name, value)| format!("{name}:{value};")).collect()
    });
    let value = format!("{kept}transform:none");
    match style {
        Some(at) => attributes[at].1 = value,
        None => attributes.push(("style".to_owned(), value)),
    }
}

/// A style with each value made anew.
fn mapped(style: &str, value_of: impl Fn(&str, &str) -> String) -> String {
    declarations(style)
        .map(|(name, value)| format!("{name}:{}", value_of(name, value)))
        .collect::<Vec<_>>()
        .join(";")
}

/// The declarations of a `style` attribute; a `;` in brackets or quotes parts nothing.
fn declarations(style: &str) -> impl Iterator<Item = (&str, &str)> {
    let mut depth = 0_usize;
    let mut quote = None;
    let parts = style.split(move |character| {
        match (quote, character) {
            (Some(open), _) if open == character => quote = None,
            (None, '"' | '\'') => quote = Some(character),
            (None, '(') => depth += 1,
            (None, ')') => depth = depth.saturating_sub(1),
            _ => {}
        }
        quote.is_none() && depth == 0 && character == ';'
    });
    parts.filter_map(|part| part.split_once(':')).map(|(name, value)| (name.trim(), value.trim()))
}

/// Lengths in a value, scaled; what is no length is left as it stands.
fn scaled(value: &str, scale: f64) -> String {
    let words = value.split([' ', ',']).filter(|word| !word.is_empty());
    words
        .map(|word| scaled_length(word, scale).unwrap_or_else(|| word.to_owned()))
        .collect::<Vec<_>>()
        .join(" ")
}

fn scaled_length(word: &str, scale: f64) -> Option<String> {
    let split = word.find(|c: char| c.is_ascii_alphabetic() || c == '%').unwrap_or(word.len());
    let (digits, unit) = word.split_at(split);
    let units = match unit {
        "" => 1.0,
        unit => UNITS.iter().find(|(name, _)| *name == unit)?.1,
    };
    let length: f64 = digits.parse().ok()?;
    let suffix = if unit.is_empty() { "" } else { "px" };
    Some(format!("{}{suffix}", number(length * units * scale).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_scaled_and_all_else_is_left() {
        for (value, expected) in [
            ("2", "0.5"),
            ("2px", "0.5px"),
            ("4, 2 1", "1 0.5 0.25"),
            ("none", "none"),
            ("50%", "50%"),
            ("1in", "24px"),
            ("1e1", "1e1"),
        ] {
            assert_eq!(scaled(value, 0.25), expected);
        }
    }

    #[test]
    fn declarations_are_parted_outside_brackets_and_quotes() {
        let style = "fill: url(data:a;b); font-family:'a;b' ;stroke:#222";
        let found: Vec<_> = declarations(style).collect();
        assert_eq!(found, [("fill", "url(data:a;b)"), ("font-family", "'a;b'"), ("stroke", "#222")]);
    }
}
