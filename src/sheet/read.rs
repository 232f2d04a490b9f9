//! From a drawing to a pattern.

use crate::drawing::{self, ReadOptions, SourceText, SvgDrawing};
use crate::pattern::{Background, Foreign, Pattern, RECORD_VERSION, Record, Snapped};
use crate::sheet::drawn_cut::DrawnCut;
use crate::sheet::drawn_labels::DrawnLabels;
use crate::sheet::kinds::DERIVED;
use crate::sheet::layers::ToldApart;
use crate::sheet::{ReadError, SheetNote, about, drawn_cut, drawn_labels, oversights, pieces, seams};

/// A pattern as it was read, and what the reader tolerated.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The pattern.
    pub pattern: Pattern,
    /// What the reader tolerated.
    pub notes: Vec<SheetNote>,
    /// What of the pattern lies elsewhere than it is drawn; nothing that only rounding moved.
    pub snapped: Vec<Snapped>,
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
    drawing::on_deep_stack(|| read_here(bytes, options))?
}

fn read_here(bytes: &[u8], options: &ReadOptions) -> Result<Sheet, ReadError> {
    let drawing = drawing::read_without(bytes, options, ("data-kind", DERIVED))?.in_own_coordinates();
    let mut notes: Vec<SheetNote> = drawing.notes.iter().cloned().map(SheetNote::Drawing).collect();
    notes.extend(SheetNote::of_unit(&drawing.unit));
    let mut found = ToldApart::default();
    let title = about::title_of(&drawing).map(|node| node.raw.range());
    for node in drawing.nodes.iter().filter(|node| title.as_ref() != Some(&node.raw.range())) {
        found.sort(node, &[], &mut notes);
    }
    for node in &found.mistyped {
        oversights::refuse_mistyped_kind(node)?;
    }
    if found.pieces.is_empty() {
        return Err(ReadError::NoPieces);
    }
    oversights::tell_repeated_ids(&found.pieces, &mut notes);
    let mut pattern = Pattern::default();
    let mut declared = Vec::new();
    let mut carried = found.carried;
    let mut snapped = Vec::new();
    let (mut drawn_cuts, mut labels) = (Vec::new(), Vec::new());
    for node in &found.pieces {
        let read = pieces::read(node, &mut notes)?;
        drawn_cuts.extend(DrawnCut::of(read.piece.name(), node));
        labels.push(DrawnLabels::of(read.piece.name(), node));
        pattern.add_piece(read.piece).map_err(|refusal| ReadError::at(node, refusal))?;
        declared.extend(read.declared);
        carried.extend(read.carried);
        notes.extend(read.snapped.iter().filter_map(SheetNote::of_snapped));
        snapped.extend(read.snapped);
    }
    seams::join(&mut pattern, &declared)?;
    oversights::tell_negative_eases(&pattern, &declared, &mut notes);
    oversights::tell_without_allowance(&pattern, &declared, &mut notes)?;
    pattern.about = about::read(&drawing)?;
    pattern.record = record(&drawing)?;
    pattern.background = background(&drawing, found.foreign, &CarriedText::of(&carried));
    drawn_cut::tell(&pattern, &drawn_cuts, &mut notes);
    drawn_labels::tell(&pattern, &labels, &mut notes);
    Ok(Sheet { pattern, notes, snapped })
}

fn record(drawing: &SvgDrawing) -> Result<Record, ReadError> {
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

fn background(drawing: &SvgDrawing, foreign: Vec<Foreign>, carried: &CarriedText) -> Background {
    let kept = drawing.root_attributes.iter().filter(|(name, _)| !about::is_about(name));
    let mut root_attributes: Vec<(String, String)> = kept.cloned().collect();
    for (prefix, address) in &drawing.inner_namespaces {
        root_attributes.push((format!("xmlns:{prefix}"), address.clone()));
    }
    let text = |text: &SourceText| text.as_str().to_owned();
    let stands_alone = |definition: &&SourceText| !carried.holds(definition) && !is_derived(definition);
    Background {
        prolog: drawing.prolog.iter().chain(&drawing.epilog).map(text).collect(),
        root_attributes,
        definitions: drawing.definitions.iter().filter(stands_alone).map(text).collect(),
        foreign,
    }
}

/// Whether a definition is one that we write ourselves.
fn is_derived(definition: &SourceText) -> bool {
    let tag = definition.split('>').next().unwrap_or_default();
    tag.contains("data-kind=\"derived\"") || tag.contains("data-kind='derived'")
}

/// The stretches of source text that are written back as they stand. A definition inside one of them is written with
/// it, and must not be written a second time.
struct CarriedText {
    /// Where each begins, in order, and the furthest end of it and those before it.
    reach: Vec<(usize, usize)>,
}

impl CarriedText {
    fn of(texts: &[SourceText]) -> CarriedText {
        let mut reach: Vec<(usize, usize)> =
            texts.iter().map(|text| (text.range().start, text.range().end)).collect();
        reach.sort_unstable();
        let mut furthest = 0;
        for (_, end) in &mut reach {
            furthest = furthest.max(*end);
            *end = furthest;
        }
        CarriedText { reach }
    }

    fn holds(&self, definition: &SourceText) -> bool {
        let range = definition.range();
        let before = self.reach.partition_point(|(start, _)| *start <= range.start);
        before > 0 && self.reach[before - 1].1 >= range.end
    }
}
