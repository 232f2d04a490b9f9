//! Takes the document type out of a file and writes out the entities it declares.
//!
//! Entities multiply: a file of 200 KB can ask for 32 GB. They are therefore expanded here, with a
//! limit on size and depth, before the XML parser sees the text. External entities are never fetched.

use std::collections::HashMap;
use std::ops::Range;

use super::markup::{self, DOCTYPE, MarkupKind, pieces};
use super::source::TextLines;
use crate::drawing::error::DrawingError;
use crate::drawing::limits::{ENTITY_DEPTH, ENTITY_MEGABYTES};

/// A text without document type, and where each part of it came from.
pub(super) struct Expanded {
    pub(super) text: String,
    pub(super) origins: Origins,
}

/// Where each stretch of an expanded text came from: where it begins, there and in the file, in order.
/// Copied stretches run on byte by byte, what an entity brought in stays at its reference.
#[derive(Default)]
pub(super) struct Origins(Vec<EntityOrigin>);

struct EntityOrigin {
    here: usize,
    there: usize,
    copied: bool,
}

impl Origins {
    /// The byte of the file that the byte `offset` of the expanded text came from.
    pub(super) fn origin(&self, offset: usize) -> usize {
        let after = self.0.partition_point(|origin| origin.here <= offset);
        match self.0.get(after.saturating_sub(1)) {
            None => offset,
            Some(origin) if origin.copied => origin.there + offset.saturating_sub(origin.here),
            Some(origin) => origin.there,
        }
    }

    /// Notes that what comes next, at `here`, is copied from `there`.
    fn copied(&mut self, here: usize, there: usize) {
        let runs_on = |last: &EntityOrigin| last.copied && there - last.there == here - last.here;
        if !self.0.last().is_some_and(runs_on) {
            self.0.push(EntityOrigin { here, there, copied: true });
        }
    }

    /// Notes that what comes next, at `here`, is brought in by the reference at `there`.
    fn brought_in(&mut self, here: usize, there: usize) {
        self.0.push(EntityOrigin { here, there, copied: false });
    }
}

/// What an entity stands for.
enum Entity {
    Internal(String),
    /// Stands in another file.
    External,
}

/// `text` without its document type, the entities it declares written out.
///
/// # Errors
///
/// A document type that cannot be read; an entity that is unknown, external, inside itself, too deep,
/// or makes the text too large.
pub(super) fn expand(text: &str, lines: &TextLines<'_>) -> Result<Expanded, DrawingError> {
    if !text.contains(DOCTYPE) && next_reference(text, 0).is_none() {
        return Ok(Expanded { text: text.to_owned(), origins: Origins::default() });
    }
    let mut expander = Expander {
        lines,
        entities: HashMap::new(),
        spent: 0,
        open: Vec::new(),
        expanded: Expanded { text: String::with_capacity(text.len()), origins: Origins::default() },
    };
    for piece in pieces(text) {
        let stretch = text.get(piece.range.clone()).unwrap_or_default();
        match piece.kind {
            MarkupKind::Verbatim => expander.copy(stretch, piece.range.start),
            MarkupKind::Doctype => expander.declare_all(stretch, piece.range.start)?,
            MarkupKind::Text | MarkupKind::Tag => expander.write_out(stretch, piece.range.start)?,
        }
    }
    Ok(expander.expanded)
}

struct Expander<'a> {
    lines: &'a TextLines<'a>,
    entities: HashMap<String, Entity>,
    /// Bytes of entities written out so far, and one for each reference: empty ones multiply too.
    spent: usize,
    /// Names of the entities being written out.
    open: Vec<String>,
    expanded: Expanded,
}

/// Where in the file, for text that stands there itself and for text that an entity brought in.
#[derive(Clone, Copy)]
enum EntityStands {
    Itself,
    BroughtIn { at: usize, quoting: Quoting },
}

/// Whether text goes between the quotes of an attribute, where its own quotes must not end the value.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Quoting {
    Inside,
    Outside,
}

impl Expander<'_> {
    fn copy(&mut self, stretch: &str, there: usize) {
        let here = self.expanded.text.len();
        self.expanded.origins.copied(here, there);
        self.expanded.text.push_str(stretch);
    }

    fn write_out(&mut self, stretch: &str, there: usize) -> Result<(), DrawingError> {
        self.write(stretch, there, EntityStands::Itself, in_tag(stretch))
    }

    /// Writes `stretch`, references expanded; `there` is where it stands in the file.
    fn write(
        &mut self,
        stretch: &str,
        there: usize,
        standing: EntityStands,
        quoting: Quoting,
    ) -> Result<(), DrawingError> {
        let mut from = 0;
        while let Some((before, name, after)) = next_reference(stretch, from) {
            let place = match standing {
                EntityStands::Itself => there + before,
                EntityStands::BroughtIn { at, .. } => at,
            };
            self.plain(stretch.get(from..before).unwrap_or_default(), there + from, standing);
            self.reference(name, place, quoting)?;
            from = after;
        }
        self.plain(stretch.get(from..).unwrap_or_default(), there + from, standing);
        Ok(())
    }

    fn plain(&mut self, text: &str, there: usize, standing: EntityStands) {
        match standing {
            EntityStands::Itself => self.copy(text, there),
            EntityStands::BroughtIn { quoting: Quoting::Outside, .. } => self.expanded.text.push_str(text),
            EntityStands::BroughtIn { quoting: Quoting::Inside, .. } => {
                self.expanded.text.push_str(&text.replace('"', "&quot;").replace('\'', "&apos;"));
            }
        }
    }

    fn reference(&mut self, name: &str, place: usize, quoting: Quoting) -> Result<(), DrawingError> {
        let (line, column) = self.lines.line_and_column(place);
        let name = name.to_owned();
        if self.open.contains(&name) || self.open.len() >= ENTITY_DEPTH {
            return Err(DrawingError::EntityDepth { name, limit: ENTITY_DEPTH, line, column });
        }
        let value = match self.entities.get(&name) {
            Some(Entity::Internal(value)) => value.clone(),
            Some(Entity::External) => {
                let reason = format!("&{name}; stands in another file, which is not fetched");
                return Err(DrawingError::Doctype { reason, line, column });
            }
            None => return Err(DrawingError::UnknownEntity { name, line, column }),
        };
        self.spent += value.len() + 1;
        if self.spent > ENTITY_MEGABYTES << 20 {
            return Err(DrawingError::EntitySize { name, limit: ENTITY_MEGABYTES, line, column });
        }
        if self.open.is_empty() {
            let here = self.expanded.text.len();
            self.expanded.origins.brought_in(here, place);
        }
        self.open.push(name);
        let standing = EntityStands::BroughtIn { at: place, quoting };
        self.write(&value, place, standing, quoting)?;
        self.open.pop();
        Ok(())
    }

    /// Takes in the declarations of a document type that begins at byte `there` of the file.
    fn declare_all(&mut self, doctype: &str, there: usize) -> Result<(), DrawingError> {
        let Some((start, inner)) = internal_subset(doctype) else {
            return Ok(());
        };
        let mut at = 0;
        while let Some(rest) = inner.get(at..).filter(|rest| !rest.is_empty()) {
            let place = there + start + at;
            at += if rest.starts_with('%') {
                return Err(self.doctype_error(place, "parameter entities (%name;) are not supported"));
            } else if rest.starts_with("<!ENTITY") {
                let length = markup::tag_length(rest);
                self.declare(rest.get(..length).unwrap_or_default(), place)?;
                length
            } else if rest.starts_with('<') {
                pieces(rest).next().map_or(rest.len(), |piece| piece.range.end)
            } else {
                rest.chars().next().map_or(1, char::len_utf8)
            };
        }
        Ok(())
    }

    /// `<!ENTITY name "value">` or `<!ENTITY name SYSTEM "…">`. The first declaration of a name holds.
    fn declare(&mut self, declaration: &str, place: usize) -> Result<(), DrawingError> {
        let body = declaration.trim_start_matches("<!ENTITY").trim_start();
        let (name, value) = body
            .split_once(|character: char| character.is_ascii_whitespace())
            .ok_or_else(|| self.doctype_error(place, "an entity without a value"))?;
        if name == "%" {
            return Ok(());
        }
        let value = value.trim_start();
        let entity = match value.as_bytes().first() {
            Some(&quote @ (b'"' | b'\'')) => {
                let length = markup::quoted_length(value, quote);
                let inner = value.get(1..length.saturating_sub(1)).unwrap_or_default();
                Entity::Internal(self.with_characters(inner, place)?)
            }
            _ if value.starts_with("SYSTEM") || value.starts_with("PUBLIC") => Entity::External,
            _ => return Err(self.doctype_error(place, "an entity whose value is not in quotes")),
        };
        self.entities.entry(name.to_owned()).or_insert(entity);
        Ok(())
    }

    /// An entity's value with its character references put in, which XML does on declaring it.
    fn with_characters(&self, value: &str, place: usize) -> Result<String, DrawingError> {
        let mut text = String::with_capacity(value.len());
        let mut rest = value;
        while let Some((before, after)) = rest.split_once("&#") {
            text.push_str(before);
            let (digits, tail) = after
                .split_once(';')
                .ok_or_else(|| self.doctype_error(place, "a character reference without its end"))?;
            let code = match digits.strip_prefix('x') {
                Some(hexadecimal) => u32::from_str_radix(hexadecimal, 16),
                None => digits.parse(),
            };
            let character = code.ok().and_then(char::from_u32);
            text.push(character.ok_or_else(|| {
                self.doctype_error(place, "a reference to a character that does not exist")
            })?);
            rest = tail;
        }
        text.push_str(rest);
        Ok(text)
    }

    fn doctype_error(&self, place: usize, reason: &str) -> DrawingError {
        let (line, column) = self.lines.line_and_column(place);
        DrawingError::Doctype { reason: reason.to_owned(), line, column }
    }
}

fn in_tag(stretch: &str) -> Quoting {
    if stretch.starts_with('<') { Quoting::Inside } else { Quoting::Outside }
}

/// What stands between `[` and `]` of a document type, and where it begins.
fn internal_subset(doctype: &str) -> Option<(usize, &str)> {
    let mut at = 0;
    while let Some(&byte) = doctype.as_bytes().get(at) {
        match byte {
            b'[' => {
                let end = doctype.rfind(']').filter(|&end| end > at).unwrap_or(doctype.len());
                return Some((at + 1, doctype.get(at + 1..end)?));
            }
            b'"' | b'\'' => at += markup::quoted_length(doctype.get(at..)?, byte),
            _ => at += 1,
        }
    }
    None
}

/// The next reference to an entity that a document type may declare, from byte `from` on: where it
/// begins, its name, where it ends. Character references and the five that XML itself knows are left
/// to the XML parser, as is an `&` that begins no reference.
fn next_reference(text: &str, mut from: usize) -> Option<(usize, &str, usize)> {
    loop {
        let start = from + text.get(from..)?.find('&')?;
        let after = text.get(start + 1..)?;
        let Range { end, .. } = name_range(after);
        let name = after.get(..end)?;
        let closed = after.as_bytes().get(end) == Some(&b';');
        if closed && !name.is_empty() && !matches!(name, "lt" | "gt" | "amp" | "quot" | "apos") {
            return Some((start, name, start + 1 + end + 1));
        }
        from = start + 1;
    }
}

fn name_range(text: &str) -> Range<usize> {
    let is_name = |character: char| character.is_alphanumeric() || matches!(character, '_' | ':' | '-' | '.');
    0..text.find(|character| !is_name(character)).unwrap_or(text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn expanded(text: &str) -> Result<Expanded, DrawingError> {
        expand(text, &TextLines::new(text))
    }

    fn text_of(text: &str) -> String {
        expanded(text).expect("expands").text
    }

    #[test]
    fn entities_are_written_out_and_the_document_type_taken_out() {
        let text = "<!DOCTYPE svg [<!ENTITY ns 'http://www.w3.org/2000/svg'> <!ENTITY g '<g/>'>]><svg xmlns='&ns;'>&g;&lt;&#65;</svg>";
        assert_eq!(text_of(text), "<svg xmlns='http://www.w3.org/2000/svg'><g/>&lt;&#65;</svg>");
    }

    /// XML 1.0, 4.4.5: quotes that an entity brings into an attribute do not end its value.
    #[test]
    fn quotes_of_an_entity_do_not_end_an_attribute() {
        let text = "<!DOCTYPE svg [<!ENTITY q '5/8\"'>]><svg a=\"&q;\">&q;</svg>";
        assert_eq!(text_of(text), "<svg a=\"5/8&quot;\">5/8\"</svg>");
    }

    #[test]
    fn comments_and_character_data_are_left_alone() {
        let text =
            "<!DOCTYPE svg [<!ENTITY a 'x'><!-- <!ENTITY b 'y'> -->]><svg><!--&a;--><![CDATA[&a;]]></svg>";
        assert_eq!(text_of(text), "<svg><!--&a;--><![CDATA[&a;]]></svg>");
    }

    #[test]
    fn places_lead_back_to_the_file() {
        let text = "<!DOCTYPE svg [<!ENTITY a 'long long value'>]><svg>&a;<g/></svg>";
        let expanded = expanded(text).expect("expands");
        let inside = expanded.text.find("value").expect("written out");
        assert_eq!(&text[expanded.origins.origin(inside)..][..3], "&a;");
        let group = expanded.text.find("<g/>").expect("copied");
        assert_eq!(expanded.origins.origin(group), text.find("<g/>").expect("there"));
    }

    #[test]
    fn loops_unknown_external_and_parameter_entities_are_refused() {
        let of = |subset: &str, body: &str| {
            expanded(&format!("<!DOCTYPE svg [{subset}]>\n<svg>{body}</svg>")).err()
        };
        assert!(matches!(
            of("<!ENTITY a '&b;'><!ENTITY b '&a;'>", "&a;"),
            Some(DrawingError::EntityDepth { line: 2, column: 6, .. })
        ));
        assert!(matches!(of("", "&nbsp;"), Some(DrawingError::UnknownEntity { line: 2, column: 6, .. })));
        assert!(matches!(
            of("<!ENTITY a SYSTEM 'file:///etc/passwd'>", "&a;"),
            Some(DrawingError::Doctype { .. })
        ));
        assert!(matches!(of("%p;", ""), Some(DrawingError::Doctype { .. })));
        assert!(matches!(of("<!ENTITY a '&#x110000;'>", ""), Some(DrawingError::Doctype { .. })));
    }

    /// Tenfold ten times over is refused at the limit, not after it.
    #[test]
    fn bombs_are_refused() {
        let mut subset = "<!ENTITY e0 'ha'>".to_owned();
        for level in 1..10 {
            subset += &format!("<!ENTITY e{level} '{}'>", format!("&e{};", level - 1).repeat(10));
        }
        let nested = format!("<!DOCTYPE svg [{subset}]><svg>&e9;</svg>");
        assert!(matches!(expanded(&nested), Err(DrawingError::EntitySize { .. })));
        let empty = nested.replace("'ha'", "''");
        assert!(matches!(expanded(&empty), Err(DrawingError::EntitySize { .. })));
        let quadratic = format!(
            "<!DOCTYPE svg [<!ENTITY e '{}'>]><svg>{}</svg>",
            "x".repeat(100_000),
            "&e;".repeat(30_000)
        );
        assert!(matches!(expanded(&quadratic), Err(DrawingError::EntitySize { .. })));
    }
}
