//! Refusals that name the element and the place.

use roxmltree::Node as XmlNode;

use super::shape::ShapeFault;
use super::walk::Reader;
use crate::drawing::error::DrawingError;
use crate::drawing::limits::{QUOTED, SEGMENTS};
use crate::tolerance::LARGEST_COORDINATE;

impl Reader<'_, '_> {
    pub(super) fn shape_error(&self, xml: XmlNode<'_, '_>, fault: ShapeFault) -> DrawingError {
        let element = self.text.element(xml);
        match fault {
            ShapeFault::Attribute(name, reason) => {
                self.bad_attribute(xml, name, xml.attribute(name).unwrap_or_default(), reason)
            }
            ShapeFault::Path { position, reason } => self.path_error(xml, position, reason),
            ShapeFault::Stray(point) => {
                let limit = LARGEST_COORDINATE;
                DrawingError::TooFar { element, x: point.x, y: point.y, limit }
            }
            ShapeFault::Full => DrawingError::TooManySegments { element, limit: SEGMENTS },
        }
    }

    /// Points at the character of the path data itself, where its source is written plainly.
    fn path_error(&self, xml: XmlNode<'_, '_>, position: usize, reason: &str) -> DrawingError {
        let d = xml.attribute("d").unwrap_or_default();
        let byte = d.char_indices().nth(position.saturating_sub(1)).map_or(d.len(), |(at, _)| at);
        let source = xml.attribute_node("d").map(|attribute| attribute.range_value()).unwrap_or(xml.range());
        let plain = self.text.written(source.clone()).len() == d.len();
        let offset = if plain { source.start + byte } else { source.start };
        let (line, column) = self.text.lines.line_and_column(self.text.origins.origin(offset));
        let near: String = d.chars().skip(position.saturating_sub(QUOTED / 2)).take(QUOTED).collect();
        let (element, reason) = (Box::new(self.text.element(xml)), reason.to_owned());
        DrawingError::BadPath { element, position, near, reason, line, column }
    }

    pub(super) fn bad_attribute(
        &self,
        xml: XmlNode<'_, '_>,
        name: &str,
        value: &str,
        reason: &str,
    ) -> DrawingError {
        DrawingError::BadAttribute {
            element: Box::new(self.text.element(xml)),
            attribute: name.to_owned(),
            value: crate::drawing::common::quoted(value),
            reason: reason.to_owned(),
        }
    }
}
