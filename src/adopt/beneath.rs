//! The drawing itself, pale beneath what was found in it: so that what was missed is seen.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::adopt::look::{StyleId, Styles, Surface};
use crate::canvas::shortened;
use crate::drawing::number::{number, path_data};
use crate::drawing::{DrawnText, Ink};
use crate::sheet::WriteError;
use crate::sheet::element::Element;

/// How much of its own colour the drawing keeps.
const PALE: &str = "0.4";

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
    pub(super) fn bounds(&self) -> Option<Rect> {
        self.shapes.iter().map(|(path, _)| path.bounding_box()).reduce(|a, b| a.union(b))
    }

    /// The group of all of it.
    pub(super) fn element(&self, styles: &Styles) -> Result<Element, WriteError> {
        let mut group = Element::new("g");
        group.set("class", "drawn");
        group.set("opacity", PALE);
        for (path, style) in &self.shapes {
            let Some(style) = styles.get(*style) else { continue };
            let colour = match &style.colour {
                Ink::Colour(_) => style.colour_text(),
                Ink::None | Ink::Other(_) => "#888888".to_owned(),
            };
            let mut shape = Element::new("path");
            shape.set("d", path_data(path)?);
            match style.surface {
                Surface::Filled => shape.set("fill", colour),
                Surface::Line => {
                    shape.set("fill", "none");
                    shape.set("stroke", colour);
                    shape.set("stroke-width", number(style.width.max(HAIRLINE))?);
                    if !style.dashes.is_empty() {
                        let dashes: Result<Vec<String>, _> =
                            style.dashes.iter().map(|dash| number(*dash)).collect();
                        shape.set("stroke-dasharray", dashes?.join(" "));
                    }
                }
            }
            group.add(shape);
        }
        for text in self.texts.iter().filter(|text| text.size > 0.0) {
            group.add(writing(text)?);
        }
        Ok(group)
    }
}

fn writing(text: &DrawnText) -> Result<Element, WriteError> {
    let DrawnText { words, at: Point { x, y }, along: Vec2 { x: across, y: down }, size } = text;
    let mut element = Element::new("text");
    element.set("class", "drawn");
    element.set("font-size", number(*size)?);
    element.set("stroke", "none");
    let turned = number(down.atan2(*across).to_degrees())?;
    element.set("transform", format!("translate({} {}) rotate({turned})", number(*x)?, number(*y)?));
    element.add_text(shortened(words));
    Ok(element)
}
