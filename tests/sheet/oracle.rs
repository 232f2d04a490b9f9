//! What we write is what another reader finds: usvg shares none of our path writing, placing and walking.

use std::collections::HashMap;

use crate::usvg_path::in_mm;
use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Point, Rect, Shape};
use retrue::sheet;

const FIXTURES: [&str; 4] = ["coat", "dress", "skirt-shaped-back", "awkward"];

/// What two readers may differ by, mm: usvg keeps f32, of a step of 0.0001 mm at 2 m.
const AGREEMENT: f64 = 0.01;

/// Accuracy of lengths walked here, mm.
const WALKED: f64 = 1e-6;

const MM_PER_PX: f64 = 25.4 / 96.0;

/// Every edge, by its id: as long and in the same box as in the model.
#[test]
fn another_reader_finds_the_edges_of_the_model() {
    for name in FIXTURES {
        let (pattern, paths) = written(name);
        let mut edges = 0;
        for piece in pattern.pieces() {
            for edge in piece.edges() {
                let id = format!("{}.{}", piece.name(), edge.name);
                let path = path_of(&paths, &id, name);
                let length: f64 = path.perimeter(WALKED);
                let ours = edge.curve.length();
                assert!((length - ours).abs() < AGREEMENT, "{name}: {id} is {length} mm, not {ours}");
                same_box(path.bounding_box(), edge.curve.bounds(), &format!("{name}: {id}"));
                edges += 1;
            }
        }
        assert!(edges >= 3, "{name} has edges");
    }
}

/// The edges of a piece still close: ends that another reader finds meet in the order of the outline.
#[test]
fn another_reader_finds_closed_outlines() {
    for name in FIXTURES {
        let (pattern, paths) = written(name);
        for piece in pattern.pieces() {
            let ends: Vec<(Point, Point)> = piece
                .edges()
                .iter()
                .map(|edge| ends(path_of(&paths, &format!("{}.{}", piece.name(), edge.name), name)))
                .collect();
            for (i, (_, end)) in ends.iter().enumerate() {
                let start = ends[(i + 1) % ends.len()].0;
                assert!(
                    end.distance(start) < AGREEMENT,
                    "{name}: {} is open by {end} to {start}",
                    piece.name()
                );
            }
        }
    }
}

fn fixture(name: &str) -> String {
    let file = format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(file).expect("the fixture is there")
}

fn written(name: &str) -> (retrue::pattern::Pattern, HashMap<String, Vec<BezPath>>) {
    let drawn = fixture(name);
    let pattern =
        sheet::read(drawn.as_bytes(), &sheet::ReadOptions::default()).expect("a pattern sheet").pattern;
    let text = sheet::write(&pattern).expect("a sheet");
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).expect("usvg reads it");
    let to_mm = Affine::translate(view_origin(&text).to_vec2()) * Affine::scale(MM_PER_PX);
    let mut paths = HashMap::new();
    collect(tree.root(), to_mm, &mut paths);
    (pattern, paths)
}

/// Where the view of a sheet begins: usvg counts from there.
fn view_origin(text: &str) -> Point {
    let view = text.split("viewBox=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a view");
    let numbers: Vec<f64> = view.split_whitespace().map(|number| number.parse().expect("a number")).collect();
    Point::new(numbers[0], numbers[1])
}

fn collect(group: &usvg::Group, to_mm: Affine, paths: &mut HashMap<String, Vec<BezPath>>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => collect(group, to_mm, paths),
            usvg::Node::Path(path) => paths.entry(path.id().to_owned()).or_default().push(in_mm(path, to_mm)),
            _ => {}
        }
    }
}

/// The one path that bears the id of an edge.
fn path_of<'a>(paths: &'a HashMap<String, Vec<BezPath>>, id: &str, sheet: &str) -> &'a BezPath {
    match paths.get(id).map(Vec::as_slice) {
        Some([path]) => path,
        found => panic!("{sheet}: {} paths bear the id {id}", found.map_or(0, <[BezPath]>::len)),
    }
}

fn ends(path: &BezPath) -> (Point, Point) {
    let segments: Vec<PathSeg> = path.segments().collect();
    let (first, last) = (segments.first().expect("a segment"), segments.last().expect("a segment"));
    (first.start(), last.end())
}

fn same_box(theirs: Rect, ours: Rect, of: &str) {
    let off = [theirs.x0 - ours.x0, theirs.y0 - ours.y0, theirs.x1 - ours.x1, theirs.y1 - ours.y1];
    assert!(off.iter().all(|off| off.abs() < AGREEMENT), "{of}: {theirs} is not {ours}");
}

/// XML 1.0, 3.3.1: an id stands once in a document. On the fixtures and on what is written of them.
#[test]
fn every_id_stands_once() {
    for name in FIXTURES {
        let drawn = fixture(name);
        let pattern = sheet::read(drawn.as_bytes(), &Default::default()).unwrap().pattern;
        for text in [drawn, sheet::write(&pattern).unwrap()] {
            let document = roxmltree::Document::parse(&text).unwrap();
            let mut ids: Vec<&str> =
                document.descendants().filter_map(|element| element.attribute("id")).collect();
            let all = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), all, "{name}");
        }
    }
}
