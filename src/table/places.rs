//! The places that a step names, to be seen and dragged on its piece.

use serde::Serialize;
use serde_json::Value;

use crate::pattern::{Line, Pattern, Piece, Place};
use crate::recut::Step;
use crate::table::field_sort::FieldSort;
use crate::table::form::{form, piece_of};
use crate::table::lying::LyingPattern;
use crate::table::pointed;
use crate::table::snap::said;

/// A place that a step names.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceSeen {
    /// The field in which it stands.
    pub field: String,
    /// Which of the places there it is, counted from 0.
    pub number: usize,
    /// The piece that it is on.
    pub piece: String,
    /// What it is, in words.
    pub says: String,
    /// Where it is, mm on the table.
    pub at: [f64; 2],
}

/// All places that a step names, where its piece lies on the table; those that are not on its piece are passed over.
pub(super) fn places(step: &Step, lying: &LyingPattern) -> Vec<PlaceSeen> {
    let pattern = &lying.made;
    let value = step.to_value();
    let (Ok(form), Some(piece)) = (form(&value, pattern, &[]), piece_of(&value, pattern)) else {
        return Vec::new();
    };
    let fields = form.fields.iter().filter(|field| !field.value.is_empty());
    let seen = fields.flat_map(|field| in_field(field.sort, &field.name, &value, piece, pattern));
    let by = lying.shift_of(piece.name());
    seen.map(|place| PlaceSeen { at: [place.at[0] + by.x, place.at[1] + by.y], ..place }).collect()
}

fn in_field(sort: FieldSort, name: &str, value: &Value, piece: &Piece, pattern: &Pattern) -> Vec<PlaceSeen> {
    let written = value.get(name).and_then(Value::as_str).unwrap_or_default();
    let named: Vec<Place> = match sort {
        FieldSort::Place => written.parse().into_iter().collect(),
        FieldSort::Line | FieldSort::SeamLine | FieldSort::Grain | FieldSort::Over => {
            let line = written.parse::<Line>().ok();
            line.iter().flat_map(pointed::places).cloned().collect()
        }
        _ => Vec::new(),
    };
    let found = named.iter().enumerate().filter_map(|(number, place)| {
        let point = piece.place(place).ok()?.point;
        Some(PlaceSeen {
            field: name.to_owned(),
            number,
            piece: piece.name().to_string(),
            says: said(pattern, piece, point),
            at: [point.x, point.y],
        })
    });
    found.collect()
}
