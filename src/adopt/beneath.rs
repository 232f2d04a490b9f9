//! The drawing itself, pale beneath what was found in it: so that what was missed is seen.

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::adopt::look::{StyleId, Styles, Surface};
use crate::canvas::ForeignThing;
use crate::drawing::{DrawnText, Ink};

/// The colour of what is painted with a pattern or a gradient.
const GREY: &str = "#888888";

/// How wide lines are drawn that have no width, mm: the thinnest that a printer shows.
const HAIRLINE: f64 = 0.1;

/// What of a drawing is seen.
#[derive(Clone, Debug, Default)]
pub struct Beneath {
    shapes: Vec<(BezPath, StyleId)>,
    texts: Vec<DrawnText>,
}

impl Beneath {
    pub(super) fn add_shape(&mut self, path: BezPath, style: StyleId) {
        self.shapes.push((path, style));
    }

    pub(super) fn add_text(&mut self, text: DrawnText) {
        self.texts.push(text);
    }

    /// All as much larger, across and down.
    pub(super) fn scale(&mut self, map: Affine) {
        self.shapes.iter_mut().for_each(|(path, _)| path.apply_affine(map));
        for text in &mut self.texts {
            text.at = map * text.at;
            text.size *= map.determinant().abs().sqrt();
        }
    }

    /// The box around all lines and surfaces.
    pub(crate) fn bounds(&self) -> Option<Rect> {
        self.shapes.iter().map(|(path, _)| path.bounding_box()).reduce(|a, b| a.union(b))
    }

    /// The lines, and the edges of surfaces.
    pub(super) fn lines(&self) -> impl Iterator<Item = &BezPath> {
        self.shapes.iter().map(|(path, _)| path)
    }

    /// All of it, to be drawn.
    pub(crate) fn things<'a>(&'a self, styles: &'a Styles) -> impl Iterator<Item = ForeignThing<'a>> {
        let shapes = self.shapes.iter().filter_map(|(path, style)| {
            let style = styles.get(*style)?;
            let colour = match &style.colour {
                Ink::Colour(_) => style.colour_text(),
                Ink::None | Ink::Other(_) => GREY.to_owned(),
            };
            Some(match style.surface {
                Surface::Filled => ForeignThing::Surface { path, colour },
                Surface::Line => {
                    ForeignThing::Line { path, colour, width: style.width.max(HAIRLINE), dash: &style.dashes }
                }
            })
        });
        let texts = self.texts.iter().filter(|text| text.size > 0.0);
        shapes.chain(texts.map(|text| ForeignThing::Writing {
            words: &text.words,
            at: text.at,
            along: text.along,
            size: text.size,
        }))
    }
}
