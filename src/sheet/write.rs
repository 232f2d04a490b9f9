//! From a pattern to a sheet.
//!
//! One user unit is a millimetre. Nothing that is drawn is moved: where pieces lie beside the origin, the sheet's view
//! begins there.

use kurbo::{Affine, Rect, Shape};
use svg::Node;
use svg::node::Blob;
use svg::node::element::Element;

use crate::allowance::SewingOrder;
use crate::pattern::{Background, Pattern, RECORD_VERSION, Record};
use crate::sheet::WriteError;
use crate::sheet::drawing::number::{attribute_value, character_data};
use crate::sheet::look::STYLE;
use crate::sheet::write_piece::PieceWriter;
use crate::sheet::written_seams::WrittenSeams;

/// Paper around what is drawn, mm.
const MARGIN: f64 = 15.0;

/// Attributes of the root that are made anew.
const MADE_ANEW: &[&str] = &["width", "height", "viewBox", "preserveAspectRatio", "transform"];

/// Writes a pattern as a sheet, with cutting lines and labels.
///
/// # Errors
///
/// Refuses a cutting line that cannot be worked out, and texts or numbers that SVG cannot hold.
pub fn write(pattern: &Pattern) -> Result<String, WriteError> {
    let order = SewingOrder::of(pattern);
    let seams = WrittenSeams::of(pattern)?;
    let mut groups = Vec::new();
    let mut view: Option<Rect> = None;
    for piece in pattern.pieces() {
        let line = order.cutting_line(piece)?;
        let bounds = line.path.bounding_box().union(piece.bounds());
        view = Some(view.map_or(bounds, |view| view.union(bounds)));
        groups.push(PieceWriter { piece, seams: &seams, line: &line }.group()?);
    }
    let view = view.unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0)).inflate(MARGIN, MARGIN).expand();
    let mut root = root(&pattern.background, view);
    for definition in &pattern.background.definitions {
        root.append(Blob::new(definition.clone()));
    }
    root.append(Blob::new(format!("<style data-kind=\"derived\">{STYLE}</style>")));
    if let Some(record) = record(&pattern.record)? {
        root.append(Blob::new(record));
    }
    for foreign in &pattern.background.foreign {
        root.append(Blob::new(placed(&foreign.source, foreign.place)));
    }
    for group in groups {
        root.append(group);
    }
    let mut text: String = pattern.background.prolog.iter().map(|comment| format!("{comment}\n")).collect();
    text.push_str(&root.to_string());
    text.push('\n');
    Ok(text)
}

fn root(background: &Background, view: Rect) -> Element {
    let mut root = Element::new("svg");
    root.assign("xmlns", "http://www.w3.org/2000/svg");
    for (name, value) in &background.root_attributes {
        if !MADE_ANEW.contains(&name.as_str()) {
            root.assign(name.as_str(), value.as_str());
        }
    }
    root.assign("width", format!("{}mm", view.width()));
    root.assign("height", format!("{}mm", view.height()));
    root.assign("viewBox", format!("{} {} {} {}", view.x0, view.y0, view.width(), view.height()));
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

/// Source text, put where it belongs.
pub(super) fn placed(source: &str, place: Affine) -> String {
    if place == Affine::IDENTITY || source.starts_with("<!--") || source.starts_with("<?") {
        return source.to_owned();
    }
    let entries: Vec<String> = place.as_coeffs().iter().map(f64::to_string).collect();
    let matrix = attribute_value(&entries.join(" "));
    format!("<g data-kind=\"placed\" transform=\"matrix({matrix})\">{source}</g>")
}
