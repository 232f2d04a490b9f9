//! Kinds of line: what a person sees as one style, by which sizes and layers are told apart.

use std::fmt;

use crate::drawing::{Ink, Paint, SeenAs};
use crate::tolerance::{SAME_DASH, SAME_LINE_WIDTH};

/// Which kind of line, counted from nothing in the order of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StyleId(pub(super) usize);

impl StyleId {
    /// As it is called by people: from 1.
    #[must_use]
    pub fn number(self) -> usize {
        self.0 + 1
    }
}

impl fmt::Display for StyleId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.number())
    }
}

/// A kind of line.
#[derive(Clone, Debug, PartialEq)]
pub struct LineStyle {
    /// The colour of the line, or of the surface where there is no line.
    pub colour: Ink,
    /// Dashes and gaps in mm; none for a solid line.
    pub dashes: Vec<f64>,
    /// How wide the line is, mm; nothing for a surface.
    pub width: f64,
    /// Whether it is a surface without a line around it.
    pub surface: Surface,
}

/// Whether a shape shows as a line or as a surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// A line.
    Line,
    /// A surface without a line.
    Filled,
}

impl LineStyle {
    /// The kind of line that something is drawn with; none where nothing is seen, or only the white of the paper.
    pub(super) fn of(paint: &Paint) -> Option<LineStyle> {
        match paint.seen_as() {
            SeenAs::Nothing => None,
            SeenAs::Surface => Some(LineStyle {
                colour: paint.fill.clone(),
                dashes: Vec::new(),
                width: 0.0,
                surface: Surface::Filled,
            }),
            SeenAs::Line => Some(LineStyle {
                colour: paint.stroke.clone(),
                dashes: paint.dashes.clone(),
                width: paint.stroke_width,
                surface: Surface::Line,
            }),
        }
    }

    fn is_same(&self, other: &LineStyle) -> bool {
        (self.width - other.width).abs() <= SAME_LINE_WIDTH && self.is_same_but_for_width(other)
    }

    fn is_same_but_for_width(&self, other: &LineStyle) -> bool {
        let near = |(a, b): (&f64, &f64)| (a - b).abs() <= SAME_DASH;
        self.colour == other.colour
            && self.surface == other.surface
            && self.dashes.len() == other.dashes.len()
            && self.dashes.iter().zip(&other.dashes).all(near)
    }

    /// The colour as it is written in SVG.
    #[must_use]
    pub fn colour_text(&self) -> String {
        match &self.colour {
            Ink::None => "none".to_owned(),
            Ink::Colour([r, g, b]) => format!("#{r:02x}{g:02x}{b:02x}"),
            Ink::Other(other) => other.clone(),
        }
    }
}

impl fmt::Display for LineStyle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = match (self.surface, self.dashes.as_slice()) {
            (Surface::Filled, _) => "filled".to_owned(),
            (Surface::Line, []) => "solid".to_owned(),
            (Surface::Line, dashes) => {
                let lengths: Vec<String> = dashes.iter().map(|dash| format!("{dash:.1}")).collect();
                format!("dashed {}", lengths.join(" "))
            }
        };
        write!(f, "{kind}, {}", self.colour_text())
    }
}

/// The kinds of line of a drawing, in its order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Styles(Vec<LineStyle>);

/// How many kinds of line are told apart. A drawing of ten sizes has twenty; beyond it they are colours of a picture.
const MOST_STYLES: usize = 200;

impl Styles {
    /// The id of a kind of line, added where it is new. Beyond [`MOST_STYLES`] all are one.
    pub(super) fn id(&mut self, style: LineStyle) -> StyleId {
        if let Some(at) = self.0.iter().position(|known| known.is_same(&style)) {
            return StyleId(at);
        }
        if self.0.len() < MOST_STYLES {
            self.0.push(style);
        }
        StyleId(self.0.len() - 1)
    }

    /// A kind of line.
    #[must_use]
    pub fn get(&self, id: StyleId) -> Option<&LineStyle> {
        self.0.get(id.0)
    }

    /// What a kind of line looks like, with its width where another differs in nothing else.
    #[must_use]
    pub fn look(&self, id: StyleId) -> String {
        let Some(style) = self.get(id) else { return String::new() };
        let others = self.iter().filter(|(other, _)| *other != id);
        match others.into_iter().any(|(_, other)| other.is_same_but_for_width(style)) {
            true => format!("{style}, {:.2} mm wide", style.width),
            false => style.to_string(),
        }
    }

    /// All of them with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (StyleId, &LineStyle)> {
        self.0.iter().enumerate().map(|(at, style)| (StyleId(at), style))
    }

    /// All dashes as much longer, and lines as much wider.
    pub(super) fn scale(&mut self, factor: f64) {
        self.0.iter_mut().for_each(|style| style.width *= factor);
        self.0.iter_mut().flat_map(|style| &mut style.dashes).for_each(|dash| *dash *= factor);
    }
}
