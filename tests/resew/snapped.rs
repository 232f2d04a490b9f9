//! What reading lays on its edge or takes as straight is noticed, though the pattern that comes of it is the same.

use kurbo::{BezPath, PathEl, Point, Vec2};
use retrue::pattern::{Pattern, Piece, Snap};
use retrue::resew::{DrawnPattern, ResewLimits, resew};
use retrue::sheet;
use retrue::tolerance::GAP_TOLD;
use retrue::units::Unit;

use crate::recipes::{read, recipes};
use crate::run::Bench;

/// How far things are drawn off what they belong to, mm: all of it is within what reading joins.
const NOTICED: [f64; 2] = [0.025, 0.45];

/// What a drawing program moves by rounding to two decimals, mm.
const ROUNDED: f64 = 0.005;

/// A sheet with the path of an element drawn otherwise.
fn redrawn(text: &str, id: &str, change: impl Fn(&mut Vec<PathEl>)) -> String {
    let from = text.find(&format!(" id=\"{id}\"")).unwrap_or_else(|| panic!("{id} on the sheet"));
    let d = from + text[from..].find(" d=\"").expect("a path") + 4;
    let end = d + text[d..].find('"').expect("its end");
    let mut path = BezPath::from_svg(&text[d..end]).expect("path data").elements().to_vec();
    change(&mut path);
    format!("{}{}{}", &text[..d], BezPath::from_vec(path).to_svg(), &text[end..])
}

fn moved(at: &mut PathEl, by: Vec2) {
    match at {
        PathEl::MoveTo(at) | PathEl::LineTo(at) | PathEl::CurveTo(_, _, at) | PathEl::QuadTo(_, at) => {
            *at += by
        }
        PathEl::ClosePath => {}
    }
}

/// The direction out of a piece where a point lies on its outline.
fn outward(piece: &Piece, at: Point) -> Vec2 {
    let near = piece.nearest_on_outline(at);
    piece.edge(near.edge).curve.normal_outward(near.at)
}

/// Every sheet on which one thing is drawn so far off what it belongs to, with the place that must be told.
fn drawn_off(pattern: &Pattern, text: &str, by: f64) -> Vec<(String, String)> {
    let mut sheets = Vec::new();
    for piece in pattern.pieces() {
        for dart in piece.darts.iter().filter(|dart| dart.mouth().is_some()) {
            let id = format!("{}.{}", piece.name(), dart.name);
            let out = outward(piece, dart.legs().0.start());
            sheets.push((id.clone(), redrawn(text, &id, |path| moved(&mut path[0], out * by))));
        }
        for notch in &piece.notches {
            let id = format!("{}.{}", piece.name(), notch.name);
            let edge = piece.edge(piece.find_edge(&notch.edge).expect("its edge"));
            let out = edge.curve.normal_outward(notch.at);
            let both = |path: &mut Vec<PathEl>| path.iter_mut().for_each(|at| moved(at, out * by));
            sheets.push((id.clone(), redrawn(text, &id, both)));
            let beside = |path: &mut Vec<PathEl>| {
                let Some(PathEl::LineTo(tip)) = path.last().copied() else { panic!("a stroke") };
                path.push(PathEl::LineTo(tip + out * by));
            };
            sheets.push((id.clone(), redrawn(text, &id, beside)));
        }
        if let Some(grain) = &piece.grainline {
            let id = format!("{}.grain", piece.name());
            let way = (grain.end - grain.start).normalize();
            let middle = grain.start.midpoint(grain.end) + Vec2::new(way.y, -way.x) * by;
            let bent = |path: &mut Vec<PathEl>| path.insert(1, PathEl::LineTo(middle));
            sheets.push((id.clone(), redrawn(text, &id, bent)));
        }
        for point in &piece.points {
            let id = format!("{}.{}", piece.name(), point.name);
            let circle = format!("<circle id=\"{id}\"");
            let (before, rest) = text.split_once(&circle).expect("a circle");
            let (inside, after) = rest.split_once('>').expect("its end");
            let radius = format!(" rx=\"{}\" ry=\"{}\"", point.radius, point.radius + by);
            let inside = format!("{}{radius}/", inside.split(" r=\"").next().expect("its radius"));
            sheets.push((id.clone(), format!("{before}<ellipse id=\"{id}\"{inside}>{after}")));
        }
    }
    sheets
}

fn told(old: &Pattern, text: &str) -> Vec<String> {
    let new = sheet::read(text.as_bytes(), &Default::default()).expect("a sheet");
    let drawn = DrawnPattern { pattern: &new.pattern, snapped: &new.snapped };
    let findings =
        resew(DrawnPattern::from(old), drawn).expect("of one history").findings(&ResewLimits::default());
    findings.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect()
}

#[test]
fn what_is_drawn_off_what_it_belongs_to_is_noticed_with_its_place() {
    let (recipe, pattern) = &recipes()[0];
    let old = read(&std::fs::read(pattern).unwrap());
    let text = Bench::new().retrue(&format!("-q apply \"{}\"", recipe.display())).stdout();
    let new = read(text.as_bytes());
    for by in NOTICED {
        let sheets = drawn_off(&new, &text, by);
        assert!(sheets.len() > 20, "only {} things could be drawn off", sheets.len());
        for (id, text) in sheets {
            let told = told(&old, &text);
            assert!(
                told.iter().any(|one| one.starts_with(&format!("{id}: changed since"))),
                "{id}, {by}: {told:?}"
            );
        }
    }
    for (id, text) in drawn_off(&new, &text, ROUNDED) {
        let told = told(&old, &text);
        assert!(told.iter().all(|one| !one.contains("drawn")), "{id}: {told:?}");
    }
}

/// Of a sheet that was drawn so before its first step, nothing has changed since.
#[test]
fn what_was_drawn_off_before_is_no_change_and_is_told_on_reading() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg")).unwrap();
    let pattern = read(text.as_bytes());
    let (id, off) = drawn_off(&pattern, &text, 2.0 * GAP_TOLD).swap_remove(0);
    let sheet = sheet::read(off.as_bytes(), &Default::default()).unwrap();
    let [snapped] = sheet.snapped.as_slice() else { panic!("{:?}", sheet.snapped) };
    assert_eq!(snapped.at, id);
    assert!(!matches!(snapped.how, Snap::Joined { .. }));
    assert!(sheet.notes.iter().any(|note| note.to_string() == snapped.to_string()), "{:?}", sheet.notes);
    let drawn = DrawnPattern { pattern: &sheet.pattern, snapped: &sheet.snapped };
    assert!(resew(drawn, drawn).unwrap().findings(&ResewLimits::default()).is_empty());
}
