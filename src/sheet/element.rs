//! Elements as they are written: attributes in the order given, values escaped.

use std::fmt::{self, Write};

use crate::canvas::{attribute_value, character_data};

/// An element to be written.
#[derive(Clone, Debug)]
pub(crate) struct Element {
    tag: &'static str,
    attributes: Vec<(String, String)>,
    content: Vec<Content>,
}

#[derive(Clone, Debug)]
enum Content {
    Element(Element),
    /// Source text, as it stands.
    Source(String),
    Text(String),
}

impl Element {
    pub(crate) fn new(tag: &'static str) -> Element {
        Element { tag, attributes: Vec::new(), content: Vec::new() }
    }

    /// Sets an attribute. One that is set already keeps its place and its value.
    pub(crate) fn set(&mut self, name: &str, value: impl Into<String>) {
        if !self.attributes.iter().any(|(known, _)| known == name) {
            self.attributes.push((name.to_owned(), value.into()));
        }
    }

    pub(crate) fn add(&mut self, child: Element) {
        self.content.push(Content::Element(child));
    }

    /// Adds source text as it stands.
    pub(crate) fn add_source(&mut self, source: impl Into<String>) {
        self.content.push(Content::Source(source.into()));
    }

    pub(crate) fn add_text(&mut self, text: impl Into<String>) {
        self.content.push(Content::Text(text.into()));
    }

    fn holds_text(&self) -> bool {
        self.content.iter().any(|content| matches!(content, Content::Text(_)))
    }
}

impl fmt::Display for Element {
    /// One element to a line, but where text stands in it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "<{}", self.tag)?;
        for (name, value) in &self.attributes {
            write!(f, " {name}=\"{}\"", attribute_value(value))?;
        }
        if self.content.is_empty() {
            return f.write_str("/>");
        }
        f.write_char('>')?;
        let between = if self.holds_text() { "" } else { "\n" };
        for content in &self.content {
            f.write_str(between)?;
            match content {
                Content::Element(element) => write!(f, "{element}")?,
                Content::Source(source) => f.write_str(source)?,
                Content::Text(text) => f.write_str(&character_data(text))?,
            }
        }
        write!(f, "{between}</{}>", self.tag)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_and_line_breaks_in_values_come_back() {
        let mut element = Element::new("path");
        element.set("style", "font-family:\"Serif\";\nfill:none");
        element.set("style", "twice");
        let text = element.to_string();
        let read = roxmltree::Document::parse(&text).expect("valid");
        assert_eq!(read.root_element().attribute("style"), Some("font-family:\"Serif\";\nfill:none"));
    }
}
