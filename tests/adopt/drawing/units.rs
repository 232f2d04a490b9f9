//! Drawings that do not state their own size.

use retrue::drawing::{DrawingError, Known, ReadOptions, UnitSource, UserUnit, read};

use super::curve;

fn unitless(body: &str) -> String {
    format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="900px" viewBox="0 0 900 600">{body}</svg>"#)
}

const BODY: &str = r##"
    <line id="bar" x1="100" y1="100" x2="300" y2="100"/>
    <g transform="rotate(45) scale(2)"><rect id="square" width="50" height="50"/></g>
    <defs><path id="u" d="M0 0h25"/></defs><use id="used" href="#u"/>
    <g id="group"><path d="M0 0V40"/></g>
    <circle id="dot" r="3"/><text id="word">100 mm</text><line id="nothing"/>"##;

fn known(element: &str, length_mm: f64) -> ReadOptions {
    ReadOptions { unit: None, known: Some(Known { element: element.to_owned(), length_mm }) }
}

fn scale(options: &ReadOptions) -> Result<f64, DrawingError> {
    read(unitless(BODY).as_bytes(), options).map(|drawing| drawing.unit.mm_per_unit())
}

#[test]
fn no_physical_size_is_refused_with_both_ways_out() {
    let error = scale(&ReadOptions::default()).expect_err("refused");
    assert!(matches!(error, DrawingError::NoUnit { line: 1, .. }));
    let sentence = format!("{error}; {}", error.way_out().expect("a way out"));
    for part in ["width=\"900px\"", "unit = \"mm\"", "known = \"ELEMENT-ID=100mm\""] {
        assert!(sentence.contains(part), "{sentence}");
    }
}

#[test]
fn a_unit_given_scales_every_coordinate() {
    let options = ReadOptions { unit: Some(UserUnit::In), known: None };
    let drawing = read(unitless(BODY).as_bytes(), &options).expect("reads");
    assert_eq!(curve(&drawing.nodes[0]), "M2540,2540 L7620,2540");
}

#[test]
fn a_known_line_square_use_or_group_gives_the_scale() {
    for (element, length, expected) in
        [("bar", 100.0, 0.5), ("square", 100.0, 1.0), ("used", 100.0, 4.0), ("group", 100.0, 2.5)]
    {
        let found = scale(&known(element, length)).expect(element);
        approx::assert_relative_eq!(found, expected, max_relative = 1e-12);
    }
}

#[test]
fn what_is_known_overrides_a_stated_size_and_both_are_told() {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="210mm" viewBox="0 0 210 297"><path id="bar" d="M5 5h99.88"/></svg>"#;
    let drawing = read(text.as_bytes(), &known("bar", 100.0)).expect("reads");
    match &drawing.unit {
        UnitSource::Measured { measured, mm_per_unit, stated, .. } => {
            approx::assert_relative_eq!(*measured, 99.88, max_relative = 1e-12);
            approx::assert_relative_eq!(*mm_per_unit, 100.0 / 99.88, max_relative = 1e-12);
            assert_eq!(*stated, Some(1.0));
        }
        other => panic!("{other:?}"),
    }
    let length = kurbo::Shape::perimeter(drawing.nodes[0].geometry.as_ref().expect("a line"), 1e-9);
    approx::assert_relative_eq!(length, 100.0, max_relative = 1e-12);
}

#[test]
fn what_cannot_be_measured_is_refused() {
    for element in ["dot", "word", "nothing"] {
        assert!(
            matches!(scale(&known(element, 100.0)), Err(DrawingError::KnownUnusable { .. })),
            "{element}"
        );
    }
    match scale(&known("squares", 100.0)) {
        Err(error @ DrawingError::KnownMissing { .. }) => {
            assert!(error.to_string().contains("\"square\""), "{error}")
        }
        other => panic!("{other:?}"),
    }
    for length in [0.0, -5.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(scale(&known("bar", length)), Err(DrawingError::KnownLength { .. })), "{length}");
    }
}

/// A drawing in thousandths of an inch goes past 1e5 units within 2.6 m.
#[test]
fn the_bound_on_coordinates_is_in_millimetres() {
    let text = unitless(r#"<path id="bar" d="M0 0H150000"/>"#);
    assert!(read(text.as_bytes(), &known("bar", 3810.0)).is_ok());
    let as_mm = ReadOptions { unit: Some(UserUnit::Mm), known: None };
    assert!(matches!(read(text.as_bytes(), &as_mm), Err(DrawingError::TooFar { .. })));
}
