//! From a pattern to a sheet.
//!
//! One user unit is a millimetre. Nothing that is drawn is moved: where pieces lie beside the origin, the sheet's view
//! begins there.

use std::collections::BTreeSet;

use kurbo::{Rect, Shape};

use crate::allowance::cutting_lines;
use crate::canvas::character_data;
use crate::drawing::number::WriteFault;
use crate::pattern::{Background, Pattern, RECORD_VERSION, Record, Run, Seam};
use crate::sheet::element::Element;
use crate::sheet::look::style;
use crate::sheet::write_piece::{PieceWriter, placed};
use crate::sheet::written_seams::WrittenSeams;
use crate::sheet::{ReadOptions, WriteError, about, read};

/// Paper around what is drawn, mm.
const MARGIN: f64 = 15.0;

/// Attributes of the root that are made anew. The elements that are written have no prefix, so that the namespace
/// without one must be that of SVG.
const MADE_ANEW: &[&str] = &["xmlns", "width", "height", "viewBox", "preserveAspectRatio", "transform"];

/// Writes a pattern as a sheet, with cutting lines and labels.
///
/// # Errors
///
/// Refuses a cutting line that cannot be worked out, texts or numbers that SVG cannot hold, and what could not be read
/// again as it is.
pub fn write(pattern: &Pattern) -> Result<String, WriteError> {
    let seams = WrittenSeams::of(pattern)?;
    let lines = cutting_lines(pattern)?;
    let mut groups = Vec::new();
    let mut seen: Vec<Rect> =
        pattern.background.foreign.iter().filter_map(|foreign| foreign.extent).collect();
    for (piece, line) in pattern.pieces().filter_map(|piece| Some((piece, lines.of(piece.name())?))) {
        seen.push(line.path.bounding_box().union(piece.bounds()));
        groups.push(PieceWriter { piece, seams: &seams, line }.group()?);
    }
    let seen = seen.into_iter().reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
    let view = seen.inflate(MARGIN, MARGIN).expand();
    if !view.is_finite() {
        return Err(WriteFault::NotFinite(view.area()).into());
    }
    let mut root = root(&pattern.background, view);
    about::write(&pattern.about, &mut root);
    for definition in &pattern.background.definitions {
        root.add_source(definition.as_str());
    }
    root.add_source(format!("<style data-kind=\"derived\">{}</style>", style()));
    if let Some(record) = record(&pattern.record)? {
        root.add_source(record);
    }
    for foreign in &pattern.background.foreign {
        root.add_source(placed(&foreign.source, foreign.place)?);
    }
    groups.into_iter().for_each(|group| root.add(group));
    let prolog: String = pattern.background.prolog.iter().map(|text| format!("{text}\n")).collect();
    let text = format!("{prolog}{root}\n");
    refuse_unreadable(pattern, &text)?;
    Ok(text)
}

fn root(background: &Background, view: Rect) -> Element {
    let mut root = Element::new("svg");
    root.set("xmlns", "http://www.w3.org/2000/svg");
    root.set("width", format!("{}mm", view.width()));
    root.set("height", format!("{}mm", view.height()));
    root.set("viewBox", format!("{} {} {} {}", view.x0, view.y0, view.width(), view.height()));
    for (name, value) in &background.root_attributes {
        if !MADE_ANEW.contains(&name.as_str()) {
            root.set(name, value);
        }
    }
    root
}

fn record(record: &Record) -> Result<Option<String>, WriteError> {
    if *record == Record::default() {
        return Ok(None);
    }
    let failed = |error: serde_json::Error| WriteError::Record(error.to_string());
    let mut value = serde_json::to_value(record).map_err(failed)?;
    if let Some(fields) = value.as_object_mut() {
        fields.insert("version".to_owned(), RECORD_VERSION.into());
    }
    let text = serde_json::to_string(&value).map_err(failed)?;
    Ok(Some(format!("<metadata data-kind=\"record\">{}</metadata>", character_data(&text))))
}

/// Refuses a sheet that cannot be read, as where an outline crosses itself once its numbers are rounded, or whose seams
/// would be read otherwise, as on mirrored copies of opened pieces, which are told apart by their names alone.
fn refuse_unreadable(pattern: &Pattern, text: &str) -> Result<(), WriteError> {
    let read = read(text.as_bytes(), &ReadOptions::default())
        .map_err(|error| WriteError::Unreadable(error.to_string()))?
        .pattern;
    let kept: BTreeSet<(Run, Run)> = read.seams().iter().map(either_half).collect();
    let lost = |seam: &&Seam| !kept.contains(&either_half(seam));
    match pattern.seams().iter().find(lost) {
        Some(seam) => {
            Err(WriteError::Unreadable(format!("the direction of the seam {} is lost", seam.name())))
        }
        None if read.seams().len() != pattern.seams().len() => {
            let what = format!("{} seams would be read as {}", pattern.seams().len(), read.seams().len());
            Err(WriteError::Unreadable(what))
        }
        None => Ok(()),
    }
}

/// A seam's runs in a form that all seams have in common that join the same ends of the same edges, or their mirror
/// images, whichever side and end is named first; their ease aside.
fn either_half(seam: &Seam) -> (Run, Run) {
    let drawn = (seam.first.clone(), seam.second.clone());
    let mirrored = (seam.first.mirrored(), seam.second.mirrored());
    let from_either_end =
        |(first, second): (Run, Run)| [(first.reversed(), second.reversed()), (first, second)];
    let ends = [drawn, mirrored].into_iter().flat_map(from_either_end);
    let forms = ends.map(|(first, second)| if second < first { (second, first) } else { (first, second) });
    forms.fold((seam.first.clone(), seam.second.clone()), Ord::min)
}
