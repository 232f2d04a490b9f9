//! From a drawing to a pattern.

use crate::pattern::{Background, Foreign, Pattern, RECORD_VERSION, Record};
use crate::sheet::drawing::{Drawing, Node, ReadOptions, SourceText, Tag, Visibility};
use crate::sheet::pieces::{self, ReadPiece};
use crate::sheet::{ReadError, SheetNote, drawing, seams};

/// A pattern as it was read, and what the reader tolerated.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The pattern.
    pub pattern: Pattern,
    /// What the reader tolerated.
    pub notes: Vec<SheetNote>,
}

/// Reads a pattern sheet.
///
/// # Errors
///
/// Refuses what is no SVG, has no physical unit, holds no piece, or has a piece that is none: says what, where and the
/// way out.
///
/// # Examples
///
/// ```
/// let sheet = br#"<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">
///   <g id="pocket" data-kind="piece"><path id="pocket.edge" data-kind="edge" d="M20 20 H120 V140 H20 Z"/></g></svg>"#;
/// let sheet = retrue::sheet::read(sheet, &Default::default())?;
/// assert_eq!(sheet.pattern.pieces().len(), 1);
/// # Ok::<(), retrue::sheet::ReadError>(())
/// ```
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<Sheet, ReadError> {
    let drawing = drawing::read(bytes, options)?.in_own_coordinates();
    let mut notes: Vec<SheetNote> = drawing.notes.iter().cloned().map(SheetNote::Drawing).collect();
    notes.extend(SheetNote::of_unit(&drawing.unit));
    let mut found = Found::default();
    for node in &drawing.nodes {
        found.sort(node, &Layer::default());
    }
    if found.pieces.is_empty() {
        return Err(ReadError::NoPieces);
    }
    let mut read: Vec<ReadPiece> = Vec::new();
    for node in &found.pieces {
        read.push(pieces::read(node, &mut notes)?);
    }
    let mut pattern = Pattern::default();
    let mut declared = Vec::new();
    for piece in read {
        pattern.add_piece(piece.piece).map_err(|refusal| ReadError::at(piece.node, refusal))?;
        declared.extend(piece.declared);
    }
    seams::join(&mut pattern, &declared)?;
    pattern.record = record(&drawing)?;
    pattern.background = background(&drawing, found.foreign);
    Ok(Sheet { pattern, notes })
}

/// Attributes of the groups that something stands in, which go along when it is taken out of them.
#[derive(Clone, Default)]
struct Layer(Vec<(String, String)>);

/// Pieces and everything else, told apart.
#[derive(Default)]
struct Found<'a> {
    pieces: Vec<&'a Node>,
    foreign: Vec<(Foreign, SourceText)>,
}

impl<'a> Found<'a> {
    fn sort(&mut self, node: &'a Node, layer: &Layer) {
        if is_ours(node) || is_blank(node) {
            return;
        }
        if pieces::is_piece(node) {
            self.pieces.push(node);
        } else if is_placed(node) {
            for child in node.children.iter().filter(|child| !is_blank(child)) {
                self.keep(child, layer);
            }
        } else if holds_piece(node) {
            let mut layer = layer.clone();
            layer.0.extend(node.attributes.iter().filter(|(name, _)| !name.starts_with("data-")).cloned());
            if !node.classes.is_empty() {
                layer.0.push(("class".to_owned(), node.classes.join(" ")));
            }
            for child in &node.children {
                self.sort(child, &layer);
            }
        } else {
            self.keep(node, layer);
        }
    }

    fn keep(&mut self, node: &Node, layer: &Layer) {
        let source = wrapped(&node.raw, layer);
        self.foreign.push((Foreign { source, place: node.context_to_mm }, node.raw.clone()));
    }
}

/// Source text with the look of the layer it stood in.
fn wrapped(raw: &str, layer: &Layer) -> String {
    let comment = raw.starts_with("<!--");
    if layer.0.is_empty() || comment {
        return raw.to_owned();
    }
    let attributes: String = layer
        .0
        .iter()
        .map(|(name, value)| format!(" {name}=\"{}\"", drawing::number::attribute_value(value)))
        .collect();
    format!("<g{attributes}>{raw}</g>")
}

/// Whether the element is one that we derive and make anew.
pub(super) fn is_ours(node: &Node) -> bool {
    node.attribute("data-kind") == Some("derived")
}

/// Whether it is a wrapper that puts kept elements where they belong.
pub(super) fn is_placed(node: &Node) -> bool {
    node.attribute("data-kind") == Some("placed") && node.tag == Tag::Group
}

pub(super) fn is_blank(node: &Node) -> bool {
    node.tag == Tag::Characters && node.raw.trim().is_empty()
}

fn holds_piece(node: &Node) -> bool {
    node.visible != Visibility::Unused
        && node.children.iter().any(|child| pieces::is_piece(child) || holds_piece(child))
}

fn record(drawing: &Drawing) -> Result<Record, ReadError> {
    let Some(text) = &drawing.record else { return Ok(Record::default()) };
    let mut value: serde_json::Value =
        serde_json::from_str(text).map_err(|error| ReadError::Record(error.to_string()))?;
    let version = value.as_object_mut().and_then(|fields| fields.remove("version"));
    match version.as_ref().and_then(serde_json::Value::as_u64) {
        Some(version) if version == u64::from(RECORD_VERSION) => {}
        Some(version) => {
            return Err(ReadError::Record(format!("its version is {version}, known is {RECORD_VERSION}")));
        }
        None => return Err(ReadError::Record("it has no version".to_owned())),
    }
    serde_json::from_value(value).map_err(|error| ReadError::Record(error.to_string()))
}

fn background(drawing: &Drawing, foreign: Vec<(Foreign, SourceText)>) -> Background {
    let mut root_attributes = drawing.root_attributes.clone();
    for (prefix, address) in &drawing.inner_namespaces {
        root_attributes.push((format!("xmlns:{prefix}"), address.clone()));
    }
    let stands_elsewhere = |definition: &SourceText| {
        foreign.iter().any(|(_, raw)| raw.contains(definition)) || is_derived(definition)
    };
    Background {
        prolog: drawing.prolog.iter().map(|text| text.as_str().to_owned()).collect(),
        root_attributes,
        definitions: drawing
            .definitions
            .iter()
            .filter(|definition| !stands_elsewhere(definition))
            .map(|text| text.as_str().to_owned())
            .collect(),
        foreign: foreign.into_iter().map(|(foreign, _)| foreign).collect(),
    }
}

/// Whether a definition is one that we write ourselves.
fn is_derived(definition: &SourceText) -> bool {
    let tag = definition.split('>').next().unwrap_or_default();
    tag.contains("data-kind=\"derived\"")
}
