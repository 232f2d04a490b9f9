//! What is printed is the pattern: brought in again from pages and sheets, it is the fixture.

use std::collections::HashMap;

use kurbo::{Affine, Point};
use retrue::adopt::{Asked, Found, Map, find, make};
use retrue::allowance::{CuttingLine, cutting_lines};
use retrue::curve::Curve;
use retrue::pattern::{Pattern, Piece, PieceName};

use crate::compare::{Comparison, read};
use crate::mapping::map_of_print;
use crate::run::{Bench, fixture};

/// How far an edge may come back from where it was, mm.
const OFF: f64 = 0.02;

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

#[track_caller]
fn comes_back(name: &str, options: &str) {
    let sheet = format!("{name}.svg");
    let bench = Bench::new().with_file(&sheet, fixture(&sheet));
    bench.retrue(&format!("print {sheet} {options} -o printed.pdf")).ends_by_itself();
    let printed = std::fs::read(bench.path("printed.pdf")).expect("a PDF");
    let original = read(&fixture(&sheet));
    let found = find(&printed, &Asked::default()).unwrap_or_else(|error| panic!("{name} {options}: {error}"));
    let places = places(&original, &found);
    let place = |piece: &Piece| places[piece.name()];
    let text = map_of_print(&original, &found, place);
    let map = Map::read(&text).unwrap_or_else(|error| panic!("{name} {options}: {error}"));
    let adopted = make(&found, &map).unwrap_or_else(|error| panic!("{name} {options}: {error}\n{text}"));
    let told: Vec<String> = adopted.notes.iter().map(|note| format!("not true: {note}")).collect();
    Comparison::placed(name, &original, &adopted.pattern, place, &told.join("\n")).holds_within(OFF);
}

/// Where each piece was printed: turned by quarters, where its cutting line lies on an outline that was found.
fn places(original: &Pattern, found: &Found) -> HashMap<PieceName, Affine> {
    let lines = cutting_lines(original).expect("cutting lines");
    let place = |piece: &Piece| {
        let line = lines.of(piece.name()).expect("a cutting line");
        let place = found.outlines.iter().find_map(|outline| lies_on(line, &outline.edges));
        (piece.name().clone(), place.unwrap_or_else(|| panic!("no outline for {}", piece.name())))
    };
    original.pieces().map(place).collect()
}

fn lies_on(line: &CuttingLine, edges: &[Curve]) -> Option<Affine> {
    let cut = Curve::from_path(&line.path).expect("a line");
    let ring = retrue::curve::Outline::new(edges.iter().cloned()).ok()?;
    if (ring.area() / cut.swept_area().abs() - 1.0).abs() > 1e-3 {
        return None;
    }
    (0..4).find_map(|quarters| {
        let turn = Affine::rotate(std::f64::consts::FRAC_PI_2 * f64::from(quarters));
        let turned = cut.transformed(turn).ok()?;
        let shift = ring.bounds().center() - turned.bounds().center();
        let off =
            |at: Point| edges.iter().map(|edge| edge.nearest(at).distance).fold(f64::INFINITY, f64::min);
        let on = |k: u32| turned.point_at(turned.length() * f64::from(k) / f64::from(PLACES)) + shift;
        (0..PLACES).all(|k| off(on(k)) <= NEAR).then(|| Affine::translate(shift) * turn)
    })
}
