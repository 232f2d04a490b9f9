//! Cuts XML text into tags, text, comments and the rest, without judging it.
//!
//! Two things have to be known before the XML parser may see a file: where its entities stand, and
//! that no element has so many attributes or stands so deep that parsing takes forever.

use std::ops::Range;

use crate::drawing::limits::{ALL_ATTRIBUTES, ATTRIBUTES, DEPTH, NAMESPACES};

/// A stretch of markup and what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct MarkupPart {
    pub(super) kind: MarkupKind,
    pub(super) range: Range<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MarkupKind {
    Text,
    /// An opening, closing or empty tag, with its brackets.
    Tag,
    /// A comment, CDATA section or processing instruction: no references in it.
    Verbatim,
    /// A document type with all it declares.
    Doctype,
}

/// The pieces of `text` in order; together they are the whole of it. What is not closed runs to the
/// end, where the XML parser will complain of it.
pub(super) fn pieces(text: &str) -> impl Iterator<Item = MarkupPart> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..).filter(|rest| !rest.is_empty())?;
        let (kind, length) = next_piece(rest);
        let range = at..at + length;
        at = range.end;
        Some(MarkupPart { kind, range })
    })
}

/// How a document type begins.
pub(super) const DOCTYPE: &str = "<!DOCTYPE";

fn next_piece(rest: &str) -> (MarkupKind, usize) {
    for (opening, closing) in [("<!--", "-->"), ("<![CDATA[", "]]>"), ("<?", "?>")] {
        if let Some(inner) = rest.strip_prefix(opening) {
            let length = inner.find(closing).map_or(rest.len(), |at| opening.len() + at + closing.len());
            return (MarkupKind::Verbatim, length);
        }
    }
    if rest.starts_with(DOCTYPE) {
        return (MarkupKind::Doctype, doctype_length(rest));
    }
    if rest.starts_with('<') {
        return (MarkupKind::Tag, tag_length(rest));
    }
    (MarkupKind::Text, rest.find('<').unwrap_or(rest.len()))
}

/// The opening tag of what is written of an element, with its brackets.
pub(crate) fn opening_tag(written: &str) -> &str {
    written.get(..tag_length(written)).unwrap_or_default()
}

/// What stands between the tags of what is written of an element, as it is written.
pub(crate) fn texts_between(written: &str) -> impl Iterator<Item = &str> {
    let texts = pieces(written).filter(|part| matches!(part.kind, MarkupKind::Text));
    texts.filter_map(|part| written.get(part.range))
}

/// Bytes up to and with the first `>` outside quotes.
pub(super) fn tag_length(rest: &str) -> usize {
    outside_quotes(rest).find(|(_, byte)| *byte == b'>').map_or(rest.len(), |(at, _)| at + 1)
}

/// The bytes of a text outside its quotes, and where they stand; from a quote that is not closed on there are none.
fn outside_quotes(text: &str) -> impl Iterator<Item = (usize, u8)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let byte = *text.as_bytes().get(at)?;
            if !matches!(byte, b'"' | b'\'') {
                at += 1;
                return Some((at - 1, byte));
            }
            at += 1 + text.get(at + 1..)?.find(char::from(byte))? + 1;
        }
    })
}

/// Bytes up to and with the `>` that closes a document type, past its `[…]`.
fn doctype_length(rest: &str) -> usize {
    let mut at = 0;
    let mut inside = false;
    while let Some(tail) = rest.get(at..).filter(|tail| !tail.is_empty()) {
        at += match tail.as_bytes().first() {
            Some(b'[') => {
                inside = true;
                1
            }
            Some(b']') => {
                inside = false;
                1
            }
            Some(b'>') if !inside => return at + 1,
            Some(b'<') if at > 0 => next_piece(tail).1,
            Some(quote @ (b'"' | b'\'')) => quoted_length(tail, *quote),
            _ => tail.chars().next().map_or(1, char::len_utf8),
        };
    }
    rest.len()
}

/// Bytes of a quoted string with both quotes.
pub(super) fn quoted_length(tail: &str, quote: u8) -> usize {
    let closing = tail.bytes().skip(1).position(|byte| byte == quote);
    closing.map_or(tail.len(), |at| at + 2)
}

/// Why a text must not be handed to the XML parser.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Excess {
    /// Elements stand too deep.
    Depth,
    /// An element has too many attributes.
    Attributes,
    /// All elements together have too many attributes.
    AllAttributes,
    /// Too many namespaces are declared.
    Namespaces,
}

/// How the declaration of a namespace begins.
const DECLARED: &str = "xmlns";

/// The first place at which parsing `text` would become too costly.
pub(super) fn excess(text: &str) -> Option<(Excess, usize)> {
    let declares = text.matches(DECLARED).nth(NAMESPACES).is_some();
    let mut depth = 0_usize;
    let mut namespaces = 0;
    let mut all_attributes = 0;
    for piece in pieces(text).filter(|piece| piece.kind == MarkupKind::Tag) {
        let tag = text.get(piece.range.clone()).unwrap_or_default();
        if tag.starts_with("</") {
            depth = depth.saturating_sub(1);
            continue;
        }
        if !tag.ends_with("/>") {
            depth += 1;
        }
        let own = attributes(tag);
        if declares {
            namespaces += tag.matches(DECLARED).count();
        }
        all_attributes += own;
        let found = [
            (depth > DEPTH, Excess::Depth),
            (own > ATTRIBUTES, Excess::Attributes),
            (all_attributes > ALL_ATTRIBUTES, Excess::AllAttributes),
            (namespaces > NAMESPACES, Excess::Namespaces),
        ];
        if let Some((_, excess)) = found.into_iter().find(|(exceeded, _)| *exceeded) {
            return Some((excess, piece.range.start));
        }
    }
    None
}

/// Equals signs outside quotes.
fn attributes(tag: &str) -> usize {
    outside_quotes(tag).filter(|(_, byte)| *byte == b'=').count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<(MarkupKind, &str)> {
        pieces(text).map(|piece| (piece.kind, &text[piece.range])).collect()
    }

    #[test]
    fn brackets_inside_quotes_comments_and_document_types_do_not_end_a_piece() {
        let text = "<!DOCTYPE svg [<!-- ]> --><!ENTITY a ']>'>]><svg a='>'>x<![CDATA[<g>]]><!--<b>--></svg>";
        assert_eq!(
            cut(text),
            [
                (MarkupKind::Doctype, "<!DOCTYPE svg [<!-- ]> --><!ENTITY a ']>'>]>"),
                (MarkupKind::Tag, "<svg a='>'>"),
                (MarkupKind::Text, "x"),
                (MarkupKind::Verbatim, "<![CDATA[<g>]]>"),
                (MarkupKind::Verbatim, "<!--<b>-->"),
                (MarkupKind::Tag, "</svg>"),
            ]
        );
    }

    #[test]
    fn what_is_not_closed_runs_to_the_end() {
        for text in ["<svg a='", "<!--", "<!DOCTYPE svg [", "<!DOCTYPE é", "<?xml", "<![CDATA["] {
            assert_eq!(cut(text).len(), 1, "{text}");
        }
    }

    #[test]
    fn depth_attributes_and_namespaces_are_counted() {
        let deep = "<g>".repeat(DEPTH + 1);
        assert_eq!(excess(&deep), Some((Excess::Depth, 3 * DEPTH)));
        assert_eq!(excess(&"<g></g><g/>".repeat(2 * DEPTH)), None);
        let wide: String = (0..=ATTRIBUTES).map(|count| format!(" a{count}='='")).collect();
        assert_eq!(excess(&format!("<g{wide}/>")), Some((Excess::Attributes, 0)));
        assert_eq!(excess(&format!("<g a='{}'/>", "=".repeat(3 * ATTRIBUTES))), None);
        let many = "<g xmlns:a='b'/>".repeat(NAMESPACES + 1);
        assert!(matches!(excess(&many), Some((Excess::Namespaces, _))));
    }
}
