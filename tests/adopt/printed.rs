//! What is printed is the pattern: brought in again from pages and sheets, it is the fixture.

use std::collections::HashMap;

use kurbo::{Affine, Point};
use retrue::adopt::{Asked, Found, FoundLine, Map, find, make};
use retrue::allowance::{CuttingLine, cutting_lines};
use retrue::curve::Curve;
use retrue::drawing::Note;
use retrue::pattern::{Pattern, Piece, PieceName};
use retrue::truing::{FindingKind, Limits, Verdict, check};

use crate::compare::{Comparison, read};
use crate::mapping::map_of_print;
use crate::run::{Bench, fixture};

/// How far an edge may come back from where it was, mm.
const OFF: f64 = 0.02;

/// How far a notch may, mm: its snips on the line that is cut lead in to it.
const NOTCH_OFF: f64 = 0.02;

/// How near a printed cutting line lies to that of the pattern, mm.
const NEAR: f64 = 0.1;

/// At how many places two lines are compared.
const PLACES: u32 = 48;

const PATTERNS: [&str; 4] = ["coat", "dress", "skirt-shaped-back", "awkward"];

#[test]
fn pages_of_a4_are_the_patterns() {
    PATTERNS.iter().for_each(|pattern| comes_back(pattern, "--paper a4"));
}

#[test]
fn pages_of_letter_are_the_patterns() {
    PATTERNS.iter().for_each(|pattern| comes_back(pattern, "--paper letter"));
}

#[test]
fn sheets_of_a0_are_the_patterns() {
    PATTERNS.iter().for_each(|pattern| comes_back(pattern, "--paper a0"));
}

#[test]
fn rolls_are_the_patterns() {
    PATTERNS.iter().for_each(|pattern| comes_back(pattern, "--roll 914mm"));
}

/// Layers of a print without which a pattern is still known: a viewer keeps which of them are off.
const SPARE: [&str; 3] = ["Seamlines", "Names and notes", "Page marks and bars"];

#[test]
fn layers_that_are_switched_off_are_not_needed() {
    for pattern in PATTERNS {
        for options in ["--paper a4", "--paper letter", "--paper a0"] {
            SPARE.iter().for_each(|layer| comes_back_without(pattern, options, &[layer]));
            comes_back_without(pattern, options, &SPARE);
        }
    }
}

/// A PDF of ours with some of its layers switched off, as a viewer writes it.
fn switched_off(pdf: &[u8], layers: &[&str]) -> Vec<u8> {
    let text: String = pdf.iter().map(|byte| char::from(*byte)).collect();
    let object = |layer: &str| {
        let named = text.find(&format!("/Name ({layer})")).expect("the layer");
        let head = text[..named].rfind(" 0 obj").expect("its object");
        let number = text[..head].rsplit('\n').next().expect("its number");
        format!("{number} 0 R")
    };
    let on = text.rfind("/ON [").expect("the layers that are on");
    let end = on + text[on..].find(']').expect("an end") + 1;
    let off = format!("/OFF [{}]", layers.iter().map(|layer| object(layer)).collect::<Vec<_>>().join(" "));
    assert!(off.len() <= end - on, "{off}");
    // As long as it was, so that all else stays where it is.
    let off = format!("{off:width$}", width = end - on);
    let switched = [&text[..on], off.as_str(), &text[end..]].concat();
    switched.chars().map(|sign| u8::try_from(u32::from(sign)).expect("a byte")).collect()
}

#[track_caller]
fn comes_back(name: &str, options: &str) {
    comes_back_without(name, options, &[]);
}

#[track_caller]
fn comes_back_without(name: &str, options: &str, layers: &[&str]) {
    let sheet = format!("{name}.svg");
    let bench = Bench::new().with_file(&sheet, fixture(&sheet));
    bench.retrue(&format!("print {sheet} {options} -o printed.pdf")).ends_by_itself();
    let printed = std::fs::read(bench.path("printed.pdf")).expect("a PDF");
    let printed = if layers.is_empty() { printed } else { switched_off(&printed, layers) };
    let original = read(&fixture(&sheet));
    let found = find(&printed, &Asked::default()).unwrap_or_else(|error| panic!("{name} {options}: {error}"));
    let hidden = found
        .notes
        .iter()
        .any(|note| matches!(note, Note::HiddenLayers { names } if names.len() == layers.len()));
    assert_eq!(hidden, !layers.is_empty(), "{name} {options}: {layers:?} are told");
    let places = places(&original, &found);
    let place = |piece: &Piece| places[piece.name()];
    let text = map_of_print(&original, &found, place);
    let map = Map::read(&text).unwrap_or_else(|error| panic!("{name} {options}: {error}"));
    let adopted = make(&found, &map).unwrap_or_else(|error| panic!("{name} {options}: {error}\n{text}"));
    if Verdict::of(&original).is_true() {
        let found = check(&adopted.pattern, &Limits::default());
        let kinks: Vec<_> = found.iter().filter(|finding| finding.kind == FindingKind::Kink).collect();
        assert!(kinks.is_empty(), "{name} {options}: {kinks:?}");
    }
    let told: Vec<String> = adopted.notes.iter().map(|note| format!("not true: {note}")).collect();
    Comparison::placed(name, &original, &adopted.pattern, place, &told.join("\n"))
        .with_notches_within(NOTCH_OFF)
        .holds_within(OFF);
}

/// Where each piece was printed: turned by quarters, where its cutting line lies on an outline that was found and its
/// grainline, without which a strip could lie either way round, is a line that was found.
fn places(original: &Pattern, found: &Found) -> HashMap<PieceName, Affine> {
    let lines = cutting_lines(original).expect("cutting lines");
    let has_grainline = |piece: &Piece, place: Affine| {
        let Some(grain) = &piece.grainline else { return true };
        let ends = [grain.start, grain.end].map(|end| place * end);
        let ends_on = |line: &FoundLine, [a, b]: [Point; 2]| {
            line.curve.start().distance(a) <= NEAR && line.curve.end().distance(b) <= NEAR
        };
        let [from, to] = ends;
        found.lines.iter().any(|line| ends_on(line, [from, to]) || ends_on(line, [to, from]))
    };
    let place = |piece: &Piece| {
        let line = lines.of(piece.name()).expect("a cutting line");
        let mut places = found.outlines.iter().flat_map(|outline| lies_on(line, &outline.edges));
        let place = places.find(|place| has_grainline(piece, *place));
        (piece.name().clone(), place.unwrap_or_else(|| panic!("no outline for {}", piece.name())))
    };
    original.pieces().map(place).collect()
}

fn lies_on(line: &CuttingLine, edges: &[Curve]) -> Vec<Affine> {
    let cut = Curve::from_path(&line.path).expect("a line");
    let Ok(ring) = retrue::curve::Outline::new(edges.iter().cloned()) else { return Vec::new() };
    if (ring.area() / cut.swept_area().abs() - 1.0).abs() > 1e-3 {
        return Vec::new();
    }
    let turned = (0..4).filter_map(|quarters| {
        let turn = Affine::rotate(std::f64::consts::FRAC_PI_2 * f64::from(quarters));
        let turned = cut.transformed(turn).ok()?;
        let shift = ring.bounds().center() - turned.bounds().center();
        let off =
            |at: Point| edges.iter().map(|edge| edge.nearest(at).distance).fold(f64::INFINITY, f64::min);
        let on = |k: u32| turned.point_at(turned.length() * f64::from(k) / f64::from(PLACES)) + shift;
        (0..PLACES).all(|k| off(on(k)) <= NEAR).then(|| Affine::translate(shift) * turn)
    });
    turned.collect()
}
