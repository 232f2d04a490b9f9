//! What a sheet says of its pattern as a whole: its title, its size, and the body that it was drafted for.

use crate::drawing::{Node, SvgDrawing, Tag};
use crate::pattern::{About, Measures, line_of_words, measure};
use crate::sheet::ReadError;
use crate::sheet::element::Element;

const SIZE: &str = "data-size";
const MEASURE: &str = "data-measure-";

/// Whether an attribute of the root says something of the pattern.
pub(super) fn is_about(name: &str) -> bool {
    name == SIZE || name.starts_with(MEASURE)
}

/// The element that bears the title, where there is one.
pub(super) fn title_of(drawing: &SvgDrawing) -> Option<&Node> {
    let is_title = |node: &&Node| {
        matches!(&node.tag, Tag::Other(name) if name == "title")
            && node.text.as_ref().is_some_and(|text| !text.trim().is_empty())
    };
    drawing.nodes.iter().find(is_title)
}

/// What a drawing says of its pattern.
///
/// # Errors
///
/// Refuses a measure without a unit, or that no body has.
pub(super) fn read(drawing: &SvgDrawing) -> Result<About, ReadError> {
    let said = |text: String| (!text.is_empty()).then_some(text);
    let title = title_of(drawing).and_then(|node| node.text.as_deref()).map(line_of_words);
    let mut about = About { title, ..About::default() };
    for (name, value) in &drawing.root_attributes {
        if name == SIZE {
            about.size = said(line_of_words(value));
        } else if let Some(of) = name.strip_prefix(MEASURE) {
            let wrong = |error| ReadError::About { name: name.clone(), value: value.clone(), error };
            about.measures.take_up(&Measures(vec![measure(of, value).map_err(wrong)?]));
        }
    }
    Ok(about)
}

/// Writes it on the root, before anything else that stands there.
pub(super) fn write(about: &About, root: &mut Element) {
    if let Some(size) = &about.size {
        root.set(SIZE, size.as_str());
    }
    for (name, length) in &about.measures.0 {
        root.set(&format!("{MEASURE}{name}"), length.to_string());
    }
    if let Some(title) = &about.title {
        let mut element = Element::new("title");
        element.add_text(title.as_str());
        root.add(element);
    }
}
