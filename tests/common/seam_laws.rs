//! What the laws of moved and of merged seams share: random pieces with shaped sides, and what is measured of them.

use crate::counted::kept_in;
use crate::random::block::{Centre, Draft, draft};
use approx::assert_abs_diff_eq;
use clipper2_rust::{FillRule, Point as ClipperPoint, union_subjects_d};
use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Vec2};
use retrue::pattern::{Edge, EdgeRef, Finish, Pattern, Piece, Refusal, Run, RunEdge, Seam, Travel, Walk};
use retrue::recut::{Recut, Step};
use retrue::truing::girths;
use retrue::units::Length;

/// Girth kept at every station along a moved seam, mm.
pub const GIRTH: f64 = 0.1;

/// What splitting and merging may leave, mm.
pub const BACK_AGAIN: f64 = 0.01;

pub fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_seams.txt", 256)
}

pub fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    retrue::sheet::read(&bytes, &Default::default()).unwrap().pattern
}

pub fn apply(pattern: &Pattern, mut fields: serde_json::Value) -> Result<Recut, Refusal> {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    let recut = Step::read(name.as_str().unwrap(), fields).unwrap().apply(pattern)?;
    recut.pattern.assert_sound();
    Ok(recut)
}

/// The fields of a seam moved from back to front.
pub fn moved(choices: serde_json::Value) -> serde_json::Value {
    let mut fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back"});
    let asked = choices.as_object().unwrap().clone();
    fields.as_object_mut().unwrap().extend(asked);
    fields
}

pub fn merged(seam: &str) -> serde_json::Value {
    serde_json::json!({"do": "merge-at-seamline", "seam": seam})
}

pub fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

pub fn curve<'a>(piece: &'a Piece, edge: &str) -> &'a Curve {
    &piece.edge(piece.find_edge(&edge.parse().unwrap()).unwrap()).curve
}

pub fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.net_area() * f64::from(piece.times())).sum()
}

/// The area that the last step declares, every copy counted.
pub fn declared(pattern: &Pattern) -> f64 {
    let declared = pattern.record.steps.last().unwrap().declared.iter();
    declared.map(|declared| declared.area * f64::from(pattern.piece(&declared.piece).unwrap().times())).sum()
}

/// The first edge of a name that meets the hem, walked from the underarm down.
pub fn side(piece: &Piece) -> Curve {
    let id = piece.find_edge(&"side".parse().unwrap()).unwrap();
    let hem_is_next = piece.edge(piece.next(id)).finish == Finish::Hem;
    let curve = &piece.edge(id).curve;
    if hem_is_next { curve.clone() } else { curve.reversed() }
}

/// How far a piece was shifted on the sheet: its centre edge stays as it was.
pub fn shift(before: &Piece, after: &Piece) -> Vec2 {
    let low = |piece: &Piece| {
        let centre = curve(piece, "centre");
        let hem_first =
            piece.edge(piece.previous(piece.find_edge(&"centre".parse().unwrap()).unwrap())).finish;
        if hem_first == Finish::Hem { centre.end() } else { centre.start() }
    };
    low(after) - low(before)
}

pub fn seam_of<'a>(pattern: &'a Pattern, edge: &str) -> &'a Seam {
    pattern.seam(pattern.seam_named(&edge.parse().unwrap(), None).unwrap())
}

pub fn walked(pattern: &Pattern, run: &Run) -> f64 {
    Walk::of(pattern, run).unwrap().length()
}

/// Every seam differs by its ease and no more.
pub fn assert_seams_true(pattern: &Pattern, within: f64) {
    for seam in pattern.seams() {
        let off = walked(pattern, &seam.first) - walked(pattern, &seam.second) - seam.ease.mm();
        assert!(off.abs() <= within, "{} is out by {off} mm", seam.name());
    }
}

/// Two blocks without darts whose sides are shaped each in its own way: up to 12 mm in at the waist, and flared.
pub fn shaped_sides() -> impl Strategy<Value = Draft> {
    let own = || (0.0..12.0_f64, 0.0..25.0_f64);
    (draft(), own(), own()).prop_map(|(mut draft, front, back)| {
        for (block, (waist_in, hip_out)) in [(&mut draft.front, front), (&mut draft.back, back)] {
            (block.waist_in, block.hip_out) = (waist_in, hip_out);
            (block.dart, block.double_dart) = (None, false);
            if block.centre == Centre::Seam {
                block.centre = Centre::Free;
            }
        }
        draft
    })
}

/// Girth changes only by what the record declares.
pub fn assert_girths_accounted(before: &Pattern, after: &Pattern) {
    let now = girths(after);
    for old in girths(before) {
        let new = now.iter().find(|girth| girth.level == old.level).unwrap();
        let unsaid = new.around.mm() - old.around.mm() - after.record.declared_girth(&old.level);
        assert!(unsaid.abs() <= GIRTH, "{} changes by {unsaid} mm unsaid", old.level);
    }
}

pub fn assert_same_piece(a: &Piece, b: &Piece) {
    assert_eq!(a.edges().len(), b.edges().len());
    let shift = Motion::shift(curve(b, "centre").start() - curve(a, "centre").start());
    for edge in a.edges() {
        let other = b.edge(b.find_edge(&edge.name).unwrap_or_else(|| panic!("edge {} is gone", edge.name)));
        let off = edge.curve.moved(&shift).distance_to(&other.curve);
        assert!(off <= BACK_AGAIN, "{} is off by {off} mm", edge.name);
        assert_eq!((edge.finish, edge.allowance), (other.finish, other.allowance));
    }
    assert_eq!((a.darts.len(), a.points.len(), a.cut), (b.darts.len(), b.points.len(), b.cut));
    for old in &a.notches {
        let new = b.notches.iter().find(|notch| notch.name == old.name).unwrap();
        assert_eq!(old.edge, new.edge);
        assert_abs_diff_eq!(old.at, new.at, epsilon = BACK_AGAIN);
    }
    for old in &a.levels {
        let new = b.levels.iter().find(|level| level.name == old.name).unwrap();
        let width =
            |stretches: &[(Point, Point)]| -> f64 { stretches.iter().map(|(a, b)| a.distance(*b)).sum() };
        assert_abs_diff_eq!(width(&old.stretches), width(&new.stretches), epsilon = BACK_AGAIN);
    }
}

pub fn polygon(piece: &Piece, motion: &Motion) -> Vec<ClipperPoint<f64>> {
    let points = piece.edges().iter().flat_map(|edge| edge.curve.moved(motion).flattened(1e-3));
    points.map(|point| ClipperPoint { x: point.x, y: point.y }).collect()
}

pub fn polygon_area(paths: &[Vec<ClipperPoint<f64>>]) -> f64 {
    let cross = |path: &Vec<ClipperPoint<f64>>| -> f64 {
        let next = path.iter().skip(1).chain(path.first());
        path.iter().zip(next).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>() / 2.0
    };
    paths.iter().map(cross).sum::<f64>().abs()
}

/// Lays both old pieces by the motions of the record and unites them with `clipper2-rust`: they lie apart, and the
/// merged piece less its darts and less the gap that it declares to have filled has their area.
pub fn assert_laid_without_overlap(before: &Pattern, after: &Pattern, name: &str, parts: [&str; 2]) {
    let step = after.record.steps.last().unwrap();
    let laid: Vec<Vec<ClipperPoint<f64>>> = parts
        .iter()
        .map(|part| {
            let moved = step.moved.iter().find(|moved| moved.from.as_str() == *part).unwrap();
            polygon(piece(before, part), &Motion::from_array(moved.motion).unwrap())
        })
        .collect();
    let apart: f64 = laid.iter().map(|path| polygon_area(std::slice::from_ref(path))).sum();
    let united = polygon_area(&union_subjects_d(&laid, FillRule::NonZero, 6));
    let seam = curve(piece(before, parts[0]), "side").length();
    assert!(apart - united <= 0.15 * seam, "the parts overlap by {} mm²", apart - united);
    let merged = piece(after, name);
    let filled: f64 = step.declared.iter().map(|declared| declared.area).sum();
    let darts: f64 = merged.darts.iter().map(|dart| merged.dart_area(dart)).sum();
    assert_abs_diff_eq!(merged.outline().area() - darts - filled, apart, epsilon = 0.5 + 1e-6 * apart);
}

/// A straight front and back, 600 mm long, whose sides together come in by `shaping` at the middle.
pub fn shaped_pair(shaping: f64) -> Pattern {
    let p = Point::new;
    let half = |name: &str, x: f64, way: f64| {
        let inward = x + way * (200.0 - shaping / 2.0 * 4.0 / 3.0);
        let parabola = kurbo::CubicBez::new(
            p(x + way * 200.0, 0.0),
            p(inward, 200.0),
            p(inward, 400.0),
            p(x + way * 200.0, 600.0),
        );
        let side = Curve::new([retrue::curve::PathSeg::Cubic(parabola)]).unwrap();
        let line = |a, b| Curve::line(a, b).unwrap();
        let mut edges = vec![
            ("top", line(p(x, 0.0), side.start()), Finish::Free),
            ("side", side.clone(), Finish::Seam),
            ("hem", line(side.end(), p(x, 600.0)), Finish::Hem),
            ("centre", line(p(x, 600.0), p(x, 0.0)), Finish::Free),
        ];
        if way < 0.0 {
            edges.reverse();
            for edge in &mut edges {
                edge.1 = edge.1.reversed();
            }
        }
        let edges = edges
            .into_iter()
            .map(|(name, curve, finish)| Edge {
                finish,
                allowance: Length::from_mm(15.0),
                ..Edge::new(name.parse().unwrap(), curve)
            })
            .collect();
        let mut piece = Piece::new(name.parse().unwrap(), edges).unwrap();
        piece.cut = retrue::pattern::Cut::PAIR;
        piece.grainline = Some(retrue::pattern::Grainline {
            start: p(x + way * 60.0, 100.0),
            end: p(x + way * 60.0, 500.0),
            arrows: Default::default(),
            kept: Default::default(),
        });
        piece
    };
    let (front, back) = (half("front", 1000.0, -1.0), half("back", 100.0, 1.0));
    let run = |piece: &str, travel| {
        let edge = EdgeRef::new(piece.parse().unwrap(), "side".parse().unwrap());
        Run::new(vec![RunEdge { edge, travel }]).unwrap()
    };
    let seam = Seam {
        first: run("front", Travel::Anticlockwise),
        second: run("back", Travel::Clockwise),
        ease: Length::ZERO,
    };
    let pattern = Pattern::new(vec![front, back], vec![seam]).unwrap();
    pattern.assert_sound();
    pattern
}
