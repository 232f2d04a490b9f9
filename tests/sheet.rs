//! Reading and writing pattern sheets.

use retrue::curve::Point;
use retrue::pattern::{DartShape, Pattern};
use retrue::sheet;

const FIXTURES: &[&str] = &["coat", "dress", "skirt-shaped-back", "awkward"];

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn read(bytes: &[u8]) -> Pattern {
    let sheet = sheet::read(bytes, &Default::default()).unwrap_or_else(|error| panic!("{error}"));
    sheet.pattern.assert_sound();
    sheet.pattern
}

/// Every point that stands on a pattern, in a fixed order.
fn points(pattern: &Pattern) -> Vec<Point> {
    let mut points = Vec::new();
    for piece in pattern.pieces() {
        for edge in piece.edges() {
            let at = |share: f64| edge.curve.point_at(edge.curve.length() * share / 20.0);
            points.extend((0..=20).map(|share| at(f64::from(share))));
        }
        for dart in &piece.darts {
            let (a, b) = dart.legs();
            points.extend([a.start(), a.end(), b.start(), b.end()]);
            if let DartShape::Open { mouth, .. } = &dart.shape {
                let edge = piece.edge_named(&mouth.edge).unwrap();
                points.extend([piece.point_on(edge, mouth.from), piece.point_on(edge, mouth.to)]);
            }
        }
        for notch in &piece.notches {
            points.push(piece.point_on(piece.edge_named(&notch.edge).unwrap(), notch.at));
        }
        points
            .extend(piece.levels.iter().flat_map(|level| level.stretches.iter().flat_map(|(a, b)| [*a, *b])));
        points.extend(piece.points.iter().map(|point| point.at));
        points.extend(piece.grainline.iter().flat_map(|grain| [grain.start, grain.end]));
        points.extend(piece.marks.iter().filter_map(|mark| mark.anchor));
    }
    points
}

#[test]
fn every_fixture_is_read_without_a_word() {
    for name in FIXTURES {
        let sheet = sheet::read(&fixture(name), &Default::default()).unwrap();
        assert_eq!(sheet.notes, [], "{name}");
    }
}

#[test]
fn a_hundred_round_trips_move_no_point_by_a_thousandth_of_a_millimetre() {
    for name in FIXTURES {
        let first = read(&fixture(name));
        let mut pattern = first.clone();
        let mut text = String::new();
        for trip in 0..100 {
            let written = sheet::write(&pattern).unwrap();
            if trip > 1 {
                assert!(written == text, "{name}: trip {trip} wrote another text");
            }
            text = written;
            pattern = read(text.as_bytes());
        }
        if let Ok(folder) = std::env::var("RETRUE_KEEP") {
            std::fs::write(format!("{folder}/{name}.svg"), &text).unwrap();
        }
        let (before, after) = (points(&first), points(&pattern));
        assert_eq!(before.len(), after.len(), "{name}");
        for (a, b) in before.iter().zip(&after) {
            assert!(a.distance(*b) < 1e-3, "{name}: {a:?} went to {b:?}");
        }
        for seam in first.seams() {
            assert!(pattern.seams().contains(seam), "{name}: {}", seam.name());
        }
        assert_eq!(first.seams().len(), pattern.seams().len(), "{name}");
    }
}
