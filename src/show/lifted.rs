//! The texts of a cutting layout, lifted out of its drawing: who shows a part of it sets them anew where they can be read whole.

use std::ops::Range;

use kurbo::{BezPath, Rect, Shape};

use crate::canvas::{Label, Layer, lettered_in, shortened};
use crate::curve::{Point, Vec2};
use crate::tolerance::LARGEST_COORDINATE;

pub(super) const SVG: &str = "http://www.w3.org/2000/svg";

/// Lines of text of a layout that belong together, mm of its drawing.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LiftedTexts {
    pub labels: Vec<Label>,
    pub of: TextOf,
}

/// What texts of a layout belong to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum TextOf {
    /// The title of a row of cloth.
    Title,
    /// The key of lines.
    Key,
    /// A copy of a piece, which lies within a box.
    Copy(Rect),
    /// What stands beside the cloth.
    Beside,
}

impl LiftedTexts {
    /// The box around them.
    pub fn bounds(&self) -> Rect {
        let boxes = self.labels.iter().map(Label::bounds);
        boxes.reduce(|a, b| a.union(b)).unwrap_or_default()
    }

    /// The same texts further along the cloth.
    pub fn moved(&self, along: f64) -> Vec<Label> {
        let moved = |label: &Label| Label { at: label.at + Vec2::new(along, 0.0), ..label.clone() };
        self.labels.iter().map(moved).collect()
    }
}

/// The texts of a group of a layout, and where they stand in its file; only those that are written as `lay` writes them: the
/// others stay in the drawing.
pub(super) fn lifted(group: roxmltree::Node<'_, '_>, titles: &[&str]) -> Vec<(LiftedTexts, Range<usize>)> {
    let texts = group.children().filter(|node| node.has_tag_name((SVG, "text")));
    let labels = texts.filter_map(|node| Some((label(node)?, node.text()?, node.range())));
    let is_key = group.attribute("class") == Some("key");
    let copy = group.attribute("data-name").filter(|_| group.attribute("class").is_none());
    labels
        .map(|(label, written, range)| {
            let of = match () {
                () if is_key => TextOf::Key,
                () if copy.is_some() => TextOf::Copy(reach(group)),
                () if titles.contains(&written) => TextOf::Title,
                () => TextOf::Beside,
            };
            (LiftedTexts { labels: vec![label], of }, range)
        })
        .collect()
}

/// Puts the texts of one copy together.
pub(super) fn together(texts: Vec<LiftedTexts>) -> Vec<LiftedTexts> {
    let mut all: Vec<LiftedTexts> = Vec::new();
    for text in texts {
        match all.last_mut() {
            Some(last) if matches!(last.of, TextOf::Copy(_)) && last.of == text.of => {
                last.labels.extend(text.labels);
            }
            _ => all.push(text),
        }
    }
    all
}

/// The box around the lines of a copy.
fn reach(group: roxmltree::Node<'_, '_>) -> Rect {
    let lines = group.children().filter_map(|node| BezPath::from_svg(node.attribute("d")?).ok());
    lines.map(|path| path.bounding_box()).reduce(|a, b| a.union(b)).unwrap_or_default()
}

/// A text as `lay` writes it.
fn label(node: roxmltree::Node<'_, '_>) -> Option<Label> {
    let number = |name| -> Option<f64> {
        let number: f64 = node.attribute(name)?.parse().ok()?;
        (number.abs() <= LARGEST_COORDINATE).then_some(number)
    };
    let is_single = node.children().all(|inside| inside.is_text());
    let (at, size) = (Point::new(number("x")?, number("y")?), number("font-size")?);
    number("textLength")?;
    let turn = match node.attribute("transform") {
        Some(turned) => turned.strip_prefix("rotate(")?.split(' ').next()?.parse().ok()?,
        None => 0.0_f64,
    };
    let tone = lettered_in(node.attribute("fill")?)?;
    let label = Label {
        text: shortened(node.text()?).into_owned(),
        at,
        along: Vec2::from_angle(turn.to_radians()),
        size,
        tone,
        layer: Layer::Labels,
    };
    (is_single && size > 0.0 && turn.is_finite()).then_some(label)
}
