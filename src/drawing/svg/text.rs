//! The text that the tree was parsed from, and where its bytes stand in the file.

use std::sync::Arc;

use roxmltree::Node as XmlNode;

use super::entities::Origins;
use super::markup;
use super::model::{SourcePlace, SourceText};
use super::source::TextLines;
use crate::drawing::error::NamedElement;

/// What the reader knows besides the tree: the text, and where its bytes stand in the file.
pub(super) struct TextInFile<'a> {
    pub(super) shared: Arc<str>,
    pub(super) origins: &'a Origins,
    pub(super) lines: &'a TextLines<'a>,
}

impl TextInFile<'_> {
    pub(super) fn place(&self, node: XmlNode<'_, '_>) -> SourcePlace {
        let range = node.range();
        let start = self.origins.origin(range.start);
        let end = self.origins.origin(range.end.max(1) - 1).max(start);
        let (line, column) = self.lines.line_and_column(start);
        SourcePlace { line, column, range: start..end + 1 }
    }

    pub(super) fn raw(&self, node: XmlNode<'_, '_>) -> SourceText {
        SourceText::new(Arc::clone(&self.shared), node.range())
    }

    /// The opening tag of an element, with its brackets.
    pub(super) fn opening_tag(&self, node: XmlNode<'_, '_>) -> &str {
        markup::opening_tag(self.written(node.range()))
    }

    /// What is written of an element behind its opening tag.
    pub(super) fn beyond_opening_tag(&self, node: XmlNode<'_, '_>) -> &str {
        let raw = self.written(node.range());
        raw.get(markup::tag_length(raw)..).unwrap_or_default()
    }

    /// What is written at `range`.
    pub(super) fn written(&self, range: std::ops::Range<usize>) -> &str {
        self.shared.get(range).unwrap_or_default()
    }

    /// An element for a message.
    pub(super) fn element(&self, node: XmlNode<'_, '_>) -> NamedElement {
        let (line, column) = self.lines.line_and_column(self.origins.origin(node.range().start));
        NamedElement {
            tag: node.tag_name().name().to_owned(),
            id: node.attribute("id").map(str::to_owned),
            line,
            column,
        }
    }
}
