//! Stroke, fill and visibility as they are handed down from element to element.

use std::str::FromStr;

use kurbo::Affine;

use super::css::{CssDeclared, Property};
use super::length::{ViewportSide, WrittenLength};
use super::model::Visibility;
use crate::drawing::common::mean_scale;
use crate::drawing::drawn::{Ink, Marked, Paint, dashes_in_pairs};
use crate::drawing::limits::DASHES;

/// What an element hands down to those inside it, in user units.
#[derive(Clone, Debug)]
pub(super) struct Inherited {
    pub(super) visibility: Visibility,
    color: Ink,
    fill: Ink,
    stroke: Ink,
    stroke_width: f64,
    dashes: Vec<f64>,
    start: Marked,
    end: Marked,
    font_size: f64,
}

/// The size of letters where none is stated: medium, as browsers take it.
const MEDIUM: f64 = 16.0;

impl Default for Inherited {
    /// The initial values of SVG 2, chapter 13.
    fn default() -> Self {
        let black = Ink::Colour([0, 0, 0]);
        Self {
            visibility: Visibility::Shown,
            color: black.clone(),
            fill: black,
            stroke: Ink::None,
            stroke_width: 1.0,
            dashes: Vec::new(),
            start: Marked::No,
            end: Marked::No,
            font_size: MEDIUM,
        }
    }
}

impl Inherited {
    /// With what an element declares itself. Values that are not understood count as not declared.
    pub(super) fn with(&self, declared: &CssDeclared<'_>) -> Self {
        let own = |property| declared.get(property).filter(|value| !matches!(*value, "inherit" | ""));
        let mut after = self.clone();
        match own(Property::Visibility) {
            Some("visible") => after.visibility = Visibility::Shown,
            Some("hidden" | "collapse") => after.visibility = Visibility::Hidden,
            _ => {}
        }
        if let Some(value) = own(Property::Color) {
            after.color = ink(value, &self.color);
        }
        if let Some(value) = own(Property::Fill) {
            after.fill = ink(value, &after.color);
        }
        if let Some(value) = own(Property::Stroke) {
            after.stroke = ink(value, &after.color);
        }
        if let Some(width) = own(Property::StrokeWidth).and_then(length) {
            after.stroke_width = width;
        }
        if let Some(dashes) = own(Property::StrokeDasharray).and_then(dashes) {
            after.dashes = dashes;
        }
        if let Some(size) = own(Property::FontSize).and_then(length) {
            after.font_size = size;
        }
        let both = own(Property::Marker);
        after.start = own(Property::MarkerStart).or(both).map_or(after.start, marked);
        after.end = own(Property::MarkerEnd).or(both).map_or(after.end, marked);
        after
    }

    /// The size of letters in mm, under `to_mm`.
    pub(super) fn font_size(&self, to_mm: Affine) -> f64 {
        self.font_size * mean_scale(to_mm)
    }

    /// In mm, under `to_mm`; a transform that stretches counts by its mean.
    pub(super) fn paint(&self, to_mm: Affine) -> Paint {
        let scale = mean_scale(to_mm);
        Paint {
            fill: self.fill.clone(),
            stroke: self.stroke.clone(),
            stroke_width: self.stroke_width * scale,
            dashes: self.dashes.iter().map(|dash| dash * scale).collect(),
            start: self.start,
            end: self.end,
        }
    }
}

fn ink(value: &str, current: &Ink) -> Ink {
    if value.eq_ignore_ascii_case("none") || value.eq_ignore_ascii_case("transparent") {
        return Ink::None;
    }
    if value.eq_ignore_ascii_case("currentcolor") {
        return current.clone();
    }
    match svgtypes::Color::from_str(value) {
        Ok(color) => Ink::Colour([color.red, color.green, color.blue]),
        Err(_) => Ink::Other(crate::drawing::common::quoted(value)),
    }
}

fn marked(value: &str) -> Marked {
    if value.starts_with("url(") { Marked::Yes } else { Marked::No }
}

fn length(text: &str) -> Option<f64> {
    let length = WrittenLength::parse(text).and_then(|length| length.user_units(ViewportSide::Both, None));
    length.ok().filter(|length| *length >= 0.0)
}

/// Dashes and gaps, an odd list said twice (SVG 2, 13.5.6); `none`, and a list of zeros, is a solid line.
fn dashes(text: &str) -> Option<Vec<f64>> {
    if text.eq_ignore_ascii_case("none") {
        return Some(Vec::new());
    }
    let words = text.split(|character: char| character == ',' || character.is_ascii_whitespace());
    let words = words.filter(|word| !word.is_empty()).take(DASHES);
    let once: Vec<f64> = words.map(length).collect::<Option<_>>()?;
    Some(dashes_in_pairs(&once))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_come_in_pairs() {
        assert_eq!(dashes("5, 3"), Some(vec![5.0, 3.0]));
        assert_eq!(dashes("5 3 1"), Some(vec![5.0, 3.0, 1.0, 5.0, 3.0, 1.0]));
        assert_eq!(dashes("1in"), Some(vec![96.0, 96.0]));
        assert_eq!(dashes("none"), Some(vec![]));
        assert_eq!(dashes("0,0"), Some(vec![]));
        assert_eq!(dashes("5,-3"), None);
    }

    #[test]
    fn colours_are_told_apart_however_they_are_written() {
        let black = Ink::Colour([0, 0, 0]);
        for text in ["red", "#f00", "#FF0000", "rgb(255, 0, 0)", "rgb(100%,0%,0%)"] {
            assert_eq!(ink(text, &black), Ink::Colour([255, 0, 0]), "{text}");
        }
        assert_eq!(ink("none", &black), Ink::None);
        assert_eq!(ink("currentColor", &black), black);
        assert_eq!(ink("url(#g)", &black), Ink::Other("url(#g)".to_owned()));
    }
}
