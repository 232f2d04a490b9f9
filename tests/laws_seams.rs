//! The laws of moved and merged seams, over random pieces with shaped sides and over the fixtures.

#[path = "common/random_block.rs"]
#[allow(dead_code, reason = "shared with the laws of single pieces")]
mod random_block;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use clipper2_rust::{FillRule, Point as ClipperPoint, union_subjects_d};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use random_block::{Centre, Draft, draft};
use retrue::allowance::cutting_line;
use retrue::curve::{Curve, Motion, Point, Vec2};
use retrue::pattern::{
    DeclaredKind, Edge, EdgeRef, Finish, Pattern, Piece, Refusal, RefusalKind, Run, RunEdge, Seam, Travel,
    Walk,
};
use retrue::recut::{Recut, Step, Told};
use retrue::truing::girths;
use retrue::units::Length;

/// Girth kept at every station along a moved seam, mm.
const GIRTH: f64 = 0.1;

/// Stations along a seam lie this far apart, mm.
const STATION: f64 = 10.0;

/// How far a shaped side of the random pieces leans at the most, mm per mm.
const STEEPEST_SIDE: f64 = 0.35;

/// A difference that stays at the far end fades over how many times its own length.
const FAR_END: f64 = 20.0;

/// What splitting and merging may leave, mm.
const BACK_AGAIN: f64 = 0.01;

/// Sewn lengths after cutting and joining, mm.
const SEWN: f64 = 5e-3;

/// What edges that meet at a small angle may change in length when they are brought together, mm.
const BROUGHT_TOGETHER: f64 = 0.05;

fn config() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/proptest-regressions/laws_seams.txt",
        ))),
        ..ProptestConfig::with_cases(256)
    }
}

fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    retrue::sheet::read(&bytes, &Default::default()).unwrap().pattern
}

fn apply(pattern: &Pattern, mut fields: serde_json::Value) -> Result<Recut, Refusal> {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    let recut = Step::read(name.as_str().unwrap(), fields).unwrap().apply(pattern)?;
    recut.pattern.assert_sound();
    Ok(recut)
}

/// The fields of a seam moved from back to front.
fn moved(choices: serde_json::Value) -> serde_json::Value {
    let mut fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back"});
    let asked = choices.as_object().unwrap().clone();
    fields.as_object_mut().unwrap().extend(asked);
    fields
}

fn merged(seam: &str) -> serde_json::Value {
    serde_json::json!({"do": "merge-at-seamline", "seam": seam})
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn curve<'a>(piece: &'a Piece, edge: &str) -> &'a Curve {
    &piece.edge(piece.find_edge(&edge.parse().unwrap()).unwrap()).curve
}

fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.net_area() * f64::from(piece.times())).sum()
}

/// The area that the last step declares, every copy counted.
fn declared(pattern: &Pattern) -> f64 {
    let declared = pattern.record.steps.last().unwrap().declared.iter();
    declared.map(|declared| declared.area * f64::from(pattern.piece(&declared.piece).unwrap().times())).sum()
}

/// The first edge of a name that meets the hem, walked from the underarm down.
fn side(piece: &Piece) -> Curve {
    let id = piece.find_edge(&"side".parse().unwrap()).unwrap();
    let hem_is_next = piece.edge(piece.next(id)).finish == Finish::Hem;
    let curve = &piece.edge(id).curve;
    if hem_is_next { curve.clone() } else { curve.reversed() }
}

/// Square to the grain, from the centre to the side.
fn outward(piece: &Piece) -> Vec2 {
    let grain = piece.grain().unwrap().direction();
    let across = Vec2::new(-grain.y, grain.x);
    let seam = curve(piece, "side");
    let way = seam.point_at(seam.length() / 2.0) - curve(piece, "centre").start();
    if across.dot(way) > 0.0 { across } else { -across }
}

/// How far a piece was shifted on the sheet: its centre edge stays as it was.
fn shift(before: &Piece, after: &Piece) -> Vec2 {
    let low = |piece: &Piece| {
        let centre = curve(piece, "centre");
        let hem_first =
            piece.edge(piece.previous(piece.find_edge(&"centre".parse().unwrap()).unwrap())).finish;
        if hem_first == Finish::Hem { centre.end() } else { centre.start() }
    };
    low(after) - low(before)
}

/// How far along a direction a polyline lies from a point, signed; the crossing nearest to the point.
fn reach(from: Point, way: Vec2, line: &[Point]) -> Option<f64> {
    let crossings = line.windows(2).filter_map(|pair| {
        let (a, b) = (way.cross(pair[0] - from), way.cross(pair[1] - from));
        if a * b > 0.0 || a == b {
            return None;
        }
        Some((pair[0].lerp(pair[1], a / (a - b)) - from).dot(way))
    });
    crossings.min_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// The direction of the strip's levels once it lies on the piece that takes: the direction `way` on the giver keeps its
/// angle to the chord of the seam, and points out of the taker.
fn level_on_taker(giver: &Curve, taker: &Curve, way: Vec2, out: Vec2) -> Vec2 {
    let unit = |seam: &Curve| (seam.end() - seam.start()).normalize();
    let (old, new) = (unit(giver), unit(taker));
    let square = Vec2::new(-new.y, new.x);
    let square = if square.dot(out) > 0.0 { square } else { -square };
    new * way.dot(old) + square * way.cross(old).abs()
}

/// What becomes of the widths at stations along a seam moved from one piece to another.
struct Stations {
    /// By how much the sum of both widths changed, at every station at which both have a level.
    changes: Vec<(usize, f64)>,
    /// How many stations there are.
    count: usize,
    /// By how much the new edge would miss its corner at the hem, which keeps its length: the two old seamlines differ in
    /// length, walked or straight, or the new edge ends at another level than the old, where there is still shaping.
    differ: f64,
}

/// Measures with polylines alone: at equal walk distances from the underarm, how far the giver's new edge lies inside
/// its old one, and how far the taker's lies beyond.
fn stations(before: &Pattern, after: &Pattern, giver: &str, taker: &str) -> Stations {
    let (old_giver, old_taker) = (piece(before, giver), piece(before, taker));
    let (new_giver, new_taker) = (piece(after, giver), piece(after, taker));
    let (giving, taking) = (side(old_giver), side(old_taker));
    let out = outward(old_giver);
    let level = level_on_taker(&giving, &taking, -out, outward(old_taker));
    let (shift_giver, shift_taker) = (shift(old_giver, new_giver), shift(old_taker, new_taker));
    let (edge_giver, edge_taker) = (side(new_giver).flattened(1e-3), side(new_taker).flattened(1e-3));
    let count = (giving.length().min(taking.length()) / STATION) as usize;
    let changes = (0..=count).filter_map(|i| {
        let at = i as f64 * STATION;
        let lost = reach(giving.point_at(at) + shift_giver, out, &edge_giver)?;
        let gained = reach(taking.point_at(at) + shift_taker, level, &edge_taker)?;
        Some((i, lost + gained))
    });
    let chord = |seam: &Curve| seam.start().distance(seam.end());
    let differ = (giving.length() - taking.length()).abs().max((chord(&giving) - chord(&taking)).abs());
    let slant = (side(new_giver).end() - giving.end() - shift_giver).cross(out).abs();
    let differ = differ.max(STEEPEST_SIDE * slant);
    Stations { changes: changes.collect(), count: count + 1, differ }
}

fn assert_girth_kept(before: &Pattern, after: &Pattern, giver: &str, taker: &str) {
    let stations = stations(before, after, giver, taker);
    assert!(stations.changes.len() * 10 >= stations.count * 8, "only {} stations", stations.changes.len());
    for (i, change) in &stations.changes {
        let from_end = (stations.count - i) as f64 * STATION;
        let at_far_end = from_end <= FAR_END * stations.differ + STATION;
        let allowed = if at_far_end { GIRTH + 0.5 * stations.differ } else { GIRTH };
        assert!(change.abs() <= allowed, "the girth changes by {change} mm at station {i}");
    }
}

fn hems(pattern: &Pattern) -> f64 {
    let hem = |piece: &Piece| -> f64 {
        let hems = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Hem);
        hems.map(|id| piece.sewn_length(id)).sum()
    };
    ["front", "back"].iter().map(|name| hem(piece(pattern, name))).sum()
}

/// The most by which a side is off square to its hem: the cosine between them.
fn slant(pattern: &Pattern) -> f64 {
    let off = |name: &str| {
        let piece = piece(pattern, name);
        let side = piece.edge_named(&"side".parse().unwrap()).unwrap();
        let (after, before) = (piece.next(side), piece.previous(side));
        let (side, after, before) = (piece.edge(side), piece.edge(after), piece.edge(before));
        let at_last =
            (after.finish == Finish::Hem).then(|| side.curve.end_tangent().dot(after.curve.start_tangent()));
        at_last.unwrap_or_else(|| side.curve.start_tangent().dot(before.curve.end_tangent())).abs()
    };
    off("front").max(off("back"))
}

fn seam_of<'a>(pattern: &'a Pattern, edge: &str) -> &'a Seam {
    pattern.seam(pattern.seam_named(&edge.parse().unwrap(), None).unwrap())
}

fn walked(pattern: &Pattern, run: &Run) -> f64 {
    Walk::of(pattern, run).unwrap().length()
}

/// Every seam differs by its ease and no more.
fn assert_seams_true(pattern: &Pattern, within: f64) {
    for seam in pattern.seams() {
        let off = walked(pattern, &seam.first) - walked(pattern, &seam.second) - seam.ease.mm();
        assert!(off.abs() <= within, "{} is out by {off} mm", seam.name());
    }
}

/// Two blocks without darts whose sides are shaped each in its own way: up to 12 mm in at the waist, and flared.
fn shaped_sides() -> impl Strategy<Value = Draft> {
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

fn is_narrow(refusal: &Refusal) -> bool {
    matches!(refusal.kind, RefusalKind::BadWidth | RefusalKind::BadLine)
}

proptest! {
    #![proptest_config(config())]

    /// Law 4: cut edges keep their total length, the hems among them. Old sides that differ in length end in a step at the
    /// hem, and each end is brought half of it. That fills or takes the share of the step that lies along the hem, where
    /// hem and side are not square; the rest bends the hem sideways, over half the strip's width at least, which costs less
    /// than its square over that width.
    #[test]
    fn a_moved_seam_keeps_the_hems_total(
        draft in shaped_sides(), by in 5.0..60.0_f64, line in prop_oneof!["grain", "seam"]
    ) {
        let before = draft.pattern();
        let fields = serde_json::json!({"by": format!("{by}mm"), "line": line});
        if let Ok(recut) = apply(&before, moved(fields)) {
            let step = difference(&before);
            let allowed = 2.0 * BROUGHT_TOGETHER + step * slant(&before) + step * step / by;
            assert_abs_diff_eq!(hems(&before), hems(&recut.pattern), epsilon = allowed);
        }
    }

    /// Law 4: girth is kept all along a moved seam, the line is where it was asked for, the armhole keeps its length and
    /// the binding names the right run, and declared areas balance.
    #[test]
    fn a_moved_seam_keeps_girth_at_every_station(
        draft in shaped_sides(), by in 5.0..60.0_f64, line in prop_oneof!["grain", "seam"]
    ) {
        let before = draft.pattern();
        let recut = match apply(&before, moved(serde_json::json!({"by": format!("{by}mm"), "line": line}))) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(is_narrow(&refusal) || refusal.kind == RefusalKind::LengthsDiffer, "{}", refusal);
                return Ok(());
            }
        };
        let after = &recut.pattern;
        assert_girth_kept(&before, after, "back", "front");
        assert_seams_true(after, 1e-2 + difference(&before));
        let ease = seam_of(after, "front.side").ease.mm();
        prop_assert!(ease.abs() <= 3.0);
        let around = |pattern: &Pattern| {
            let seam = seam_of(pattern, "binding.long");
            (walked(pattern, &seam.first), walked(pattern, &seam.second))
        };
        let (old, new) = (around(&before), around(after));
        assert_abs_diff_eq!(old.0, new.0, epsilon = SEWN);
        assert_abs_diff_eq!(old.1, new.1, epsilon = BROUGHT_TOGETHER);
        assert_abs_diff_eq!(net_area(after) - net_area(&before), declared(after), epsilon = 0.1);
        if line == "grain" {
            let back = piece(after, "back");
            let edge = curve(back, "side");
            prop_assert!(edge.is_straight(1e-6));
            let grain = back.grain().unwrap().direction();
            assert_abs_diff_eq!((edge.end() - edge.start()).normalize().cross(grain), 0.0, epsilon = 1e-4);
        }
    }

    /// The width asked for is the width kept, and the rest of the girth goes over.
    #[test]
    fn a_width_asked_for_is_the_width_kept(draft in shaped_sides(), share in 0.75..0.97_f64) {
        let before = draft.pattern();
        let back = piece(&before, "back");
        let out = outward(back);
        let along = |point: Point| point.to_vec2().dot(out);
        let inner = curve(back, "centre").flattened(0.01).into_iter().map(along).fold(f64::INFINITY, f64::min);
        let outer = curve(back, "side").flattened(0.01).into_iter().map(along).fold(f64::NEG_INFINITY, f64::max);
        let width = (outer - inner) * share;
        let recut = match apply(&before, moved(serde_json::json!({"to-width": format!("{width}mm")}))) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(is_narrow(&refusal) || refusal.kind == RefusalKind::LengthsDiffer, "{}", refusal);
                return Ok(());
            }
        };
        let after = &recut.pattern;
        let new = piece(after, "back");
        let edge = curve(new, "side");
        let inner = curve(new, "centre").flattened(0.01).into_iter().map(along).fold(f64::INFINITY, f64::min);
        for point in [edge.start(), edge.end()] {
            assert_abs_diff_eq!(along(point) - inner, width, epsilon = 2e-2);
        }
        assert_girth_kept(&before, after, "back", "front");
    }

    /// Shaping that is dropped is girth given up: the void that was filled is declared, and where it reaches a level the
    /// change of girth is told and recorded.
    #[test]
    fn dropped_shaping_is_told(draft in shaped_sides(), by in 5.0..40.0_f64) {
        let before = draft.pattern();
        let choices = serde_json::json!({"by": format!("{by}mm"), "shaping": "drop", "line": "grain"});
        let recut = match apply(&before, moved(choices)) {
            Ok(recut) => recut,
            Err(refusal) => { prop_assert!(is_narrow(&refusal), "{}", refusal); return Ok(()); }
        };
        let after = &recut.pattern;
        let kinds = &after.record.steps[0].declared;
        prop_assert!(kinds.iter().all(|declared| declared.kind == DeclaredKind::VoidFilled));
        assert_abs_diff_eq!(net_area(after) - net_area(&before), declared(after), epsilon = 0.1);
        assert_girths_accounted(&before, after);
    }

    /// The shaping as a double dart: the girth net of the dart is kept, or an overlap is refused with its width.
    #[test]
    fn shaping_kept_as_a_dart_keeps_girth(draft in shaped_sides(), by in 5.0..40.0_f64) {
        let before = draft.pattern();
        let choices = serde_json::json!({"by": format!("{by}mm"), "shaping": "dart", "line": "grain"});
        let after = match apply(&before, moved(choices)) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(is_narrow(&refusal) || refusal.kind == RefusalKind::Overlap, "{}", refusal);
                prop_assert!(refusal.kind != RefusalKind::Overlap || refusal.what.contains("mm"));
                return Ok(());
            }
        };
        let out = side(piece(&after, "back")).length() - side(piece(&after, "front")).length();
        prop_assert!(out.abs() <= 0.05, "the new edges are one line: {}", out);
        let wide = girths(&before);
        for (old, new) in wide.iter().zip(girths(&after)) {
            let times = f64::from(piece(&after, "front").times());
            assert_abs_diff_eq!(old.around.mm(), new.around.mm(), epsilon = 1.0 * times);
        }
        assert_girths_accounted(&before, &after);
    }

    /// Laws 5 and 6: what a split parted a merge joins again: the first piece, its edges and their names, and its seams.
    #[test]
    fn split_then_merge_gives_the_first_piece_back(draft in draft(), from in 0.1..0.9_f64, to in 0.1..0.9_f64) {
        let before = draft.pattern();
        let line = format!("shoulder@{:.3}% > hem@{:.3}%", from * 100.0, to * 100.0);
        let split = serde_json::json!({"do": "split", "piece": "front", "line": line, "names": "front, part"});
        let parted = match apply(&before, split) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(matches!(refusal.kind, RefusalKind::DartInTheWay | RefusalKind::BadLine), "{}", refusal);
                return Ok(());
            }
        };
        if piece(&parted, "front").times() != piece(&parted, "part").times() {
            return Ok(());
        }
        let recut = apply(&parted, merged("front.seam")).unwrap();
        let after = &recut.pattern;
        assert_same_piece(piece(&before, "front"), piece(after, "front"));
        prop_assert_eq!(before.seams().len(), after.seams().len());
        for seam in before.seams() {
            prop_assert!(after.seams().iter().any(|other| other.is_same(seam)), "{} is gone", seam.name());
        }
        assert_abs_diff_eq!(net_area(after), net_area(&before), epsilon = 0.5);
    }

    /// An overlap is never silent: sides that are both hollow cannot be laid on one another.
    #[test]
    fn an_overlap_is_refused(draft in shaped_sides(), hollow in (4.0..12.0_f64, 4.0..12.0_f64)) {
        let mut draft = draft;
        (draft.front.waist_in, draft.back.waist_in) = hollow;
        (draft.front.hip_out, draft.back.hip_out, draft.front.centre, draft.back.centre) =
            (0.0, 0.0, Centre::Fold, Centre::Fold);
        for shaping in ["refuse", "dart"] {
            let mut fields = merged("front.side");
            fields["shaping"] = shaping.into();
            let refusal = apply(&draft.pattern(), fields).unwrap_err();
            prop_assert_eq!(refusal.kind, RefusalKind::Overlap);
            prop_assert!(refusal.what.contains("mm along the seam"), "{}", refusal);
        }
    }

    /// Sides that are both full leave voids: refused when not told what to do with them; as darts, the merged piece covers
    /// what its parts cover where they are laid, and nothing more. What overlaps by the way is refused.
    #[test]
    fn a_merged_piece_covers_its_parts(draft in shaped_sides(), full in (4.0..12.0_f64, 4.0..12.0_f64)) {
        let mut draft = draft;
        (draft.front.waist_in, draft.back.waist_in) = (-full.0, -full.1);
        (draft.front.centre, draft.back.centre) = (Centre::Fold, Centre::Fold);
        let before = draft.pattern();
        let refusal = apply(&before, merged("front.side")).unwrap_err();
        prop_assert!(matches!(refusal.kind, RefusalKind::Void | RefusalKind::Overlap), "{}", refusal);
        let mut fields = merged("front.side");
        fields["shaping"] = "dart".into();
        match apply(&before, fields) {
            Ok(recut) => {
                assert_laid_without_overlap(&before, &recut.pattern, "front", ["front", "back"]);
                prop_assert!(!piece(&recut.pattern, "front").darts.is_empty());
            }
            Err(refusal) => prop_assert_eq!(refusal.kind, RefusalKind::Overlap),
        }
    }
}

/// The greatest difference that a pattern's seams have to begin with.
fn difference(pattern: &Pattern) -> f64 {
    let off =
        |seam: &Seam| (walked(pattern, &seam.first) - walked(pattern, &seam.second) - seam.ease.mm()).abs();
    pattern.seams().iter().map(off).fold(0.0, f64::max)
}

/// Girth changes only by what the record declares.
fn assert_girths_accounted(before: &Pattern, after: &Pattern) {
    let now = girths(after);
    for old in girths(before) {
        let new = now.iter().find(|girth| girth.level == old.level).unwrap();
        let unsaid = new.around.mm() - old.around.mm() - after.record.declared_girth(&old.level);
        assert!(unsaid.abs() <= GIRTH, "{} changes by {unsaid} mm unsaid", old.level);
    }
}

fn assert_same_piece(a: &Piece, b: &Piece) {
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

fn polygon(piece: &Piece, motion: &Motion) -> Vec<ClipperPoint<f64>> {
    let points = piece.edges().iter().flat_map(|edge| edge.curve.moved(motion).flattened(1e-3));
    points.map(|point| ClipperPoint { x: point.x, y: point.y }).collect()
}

fn polygon_area(paths: &[Vec<ClipperPoint<f64>>]) -> f64 {
    let cross = |path: &Vec<ClipperPoint<f64>>| -> f64 {
        let next = path.iter().skip(1).chain(path.first());
        path.iter().zip(next).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>() / 2.0
    };
    paths.iter().map(cross).sum::<f64>().abs()
}

/// Lays both old pieces by the motions of the record and unites them with `clipper2-rust`: they lie apart, and the
/// merged piece less its darts and less the void that it declares to have filled has their area.
fn assert_laid_without_overlap(before: &Pattern, after: &Pattern, name: &str, parts: [&str; 2]) {
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

/// The main job's cut: the back of the coat limited to 18.5 cm, its sleeve and hem as they were.
#[test]
fn the_coat_keeps_girth_armhole_sleeve_and_hem() {
    let coat = fixture("coat");
    let recut = apply(&coat, moved(serde_json::json!({"to-width": "18.5cm", "line": "grain"}))).unwrap();
    let after = &recut.pattern;
    assert_girth_kept(&coat, after, "back", "front");
    assert_girths_accounted(&coat, after);
    assert_abs_diff_eq!(hems(&coat), hems(after), epsilon = BROUGHT_TOGETHER);
    assert_seams_true(after, BROUGHT_TOGETHER);
    let armhole = |pattern: &Pattern| {
        let seam = seam_of(pattern, "sleeve.cap");
        let (first, second) = (walked(pattern, &seam.first), walked(pattern, &seam.second));
        let run = if seam.first.holds(&"sleeve.cap".parse().unwrap()) { &seam.second } else { &seam.first };
        let notches = Walk::of(pattern, run).unwrap().notches();
        (first, second, run.names(), notches.iter().map(|notch| notch.at).collect::<Vec<_>>())
    };
    let (old, new) = (armhole(&coat), armhole(after));
    assert_abs_diff_eq!(old.0, new.0, epsilon = SEWN);
    assert_abs_diff_eq!(old.1, new.1, epsilon = SEWN);
    assert_eq!(new.2.matches("armhole").count(), 3, "{}", new.2);
    assert_eq!(old.3.len(), new.3.len());
    for (old, new) in old.3.iter().zip(&new.3) {
        assert_abs_diff_eq!(old, new, epsilon = SEWN);
    }
    assert_eq!(piece(&coat, "sleeve").notches, piece(after, "sleeve").notches);
    assert!(
        !recut.told.iter().any(|told| matches!(told, Told::PieceMade { .. })),
        "both pieces keep their names"
    );
    for told in &recut.told {
        assert!(!matches!(told, Told::OffGrain { .. }), "{}", told.sentence(Default::default()));
    }
}

/// Where two hems join at a slight angle the hem may bend; it does not step, nor does its cutting line.
#[test]
fn the_coats_hem_has_no_step_where_it_was_joined() {
    let after =
        apply(&fixture("coat"), moved(serde_json::json!({"to-width": "18.5cm", "line": "grain"}))).unwrap();
    let front = piece(&after.pattern, "front");
    for joint in curve(front, "hem").joints() {
        assert!(joint.turn.to_degrees().abs() < 3.0, "the hem turns by {}°", joint.turn.to_degrees());
    }
    let line = cutting_line(&after.pattern, front).unwrap();
    let cut = Curve::from_path(&line.path).unwrap();
    let hem = curve(front, "hem");
    for joint in cut.joints() {
        let near = hem.nearest(cut.point_at(joint.at));
        let below_the_hem = near.distance < 45.0 && near.at > 60.0 && near.at < hem.length() - 60.0;
        let turn = joint.turn.to_degrees();
        assert!(!below_the_hem || turn.abs() < 3.0, "the hem's cutting line turns by {turn}°");
    }
}

/// Moving the seam the other way, the front gives.
#[test]
fn either_piece_may_give() {
    let coat = fixture("coat");
    let fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "front", "by": "30mm"});
    let after = apply(&coat, fields).unwrap().pattern;
    assert_girth_kept(&coat, &after, "front", "back");
    assert_girths_accounted(&coat, &after);
}

/// A back too narrow to leave by the armhole is refused with the least width that does, and a way out.
#[test]
fn too_narrow_a_back_names_its_least_width_and_open_centre() {
    let coat = fixture("coat");
    let refusal = apply(&coat, moved(serde_json::json!({"to-width": "150mm"}))).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadWidth);
    assert!(refusal.what.contains("least width"), "{refusal}");
    assert!(
        refusal.way_out.contains("open-centre --piece back") && refusal.way_out.contains("yoke"),
        "{refusal}"
    );
    let least: f64 = refusal.what.split_whitespace().rev().nth(1).unwrap().parse().unwrap();
    assert!((150.0..185.0).contains(&least), "{least}");
    apply(&coat, moved(serde_json::json!({"longer": "hem", "to-width": format!("{}mm", least + 0.2)})))
        .unwrap();
}

/// A shoulder seam moved forward: the neck and armhole keep their length, and no collar is told to change for it.
#[test]
fn a_shoulder_seam_moves_forward() {
    let coat = fixture("coat");
    let fields =
        serde_json::json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": "15mm"});
    let recut = apply(&coat, fields).unwrap();
    let after = &recut.pattern;
    for edge in ["sleeve.cap", "under-collar.neck"] {
        let run = |pattern: &Pattern| {
            let seam = seam_of(pattern, edge);
            walked(pattern, &seam.first) + walked(pattern, &seam.second)
        };
        assert_abs_diff_eq!(run(&coat), run(after), epsilon = BROUGHT_TOGETHER);
    }
    let sewn_to: Vec<String> = recut
        .told
        .iter()
        .filter_map(|told| match told {
            Told::SameCutNeeded { sewn_to, .. } => Some(sewn_to.to_string()),
            _ => None,
        })
        .collect();
    assert!(sewn_to.contains(&"front-facing.neck".to_owned()), "{sewn_to:?}");
    assert!(sewn_to.iter().all(|edge| !edge.contains("collar")), "{sewn_to:?}");
    assert!(!recut.told.iter().any(|told| matches!(told, Told::OffGrain { .. })), "a shoulder always slants");
}

/// Law 4's figures: 20 mm of shaping over 600 mm makes the bowed edge 1.8 mm longer, which is eased in; 40 mm makes
/// 7 mm, which is refused, trued at the hem when asked, or kept as a dart.
#[test]
fn a_bowed_edge_is_longer_than_a_straight_one() {
    let eased = shaped_pair(20.0);
    let by = |choice: (&str, &str)| {
        let mut choices = serde_json::json!({"by": "50mm", "line": "grain"});
        if !choice.0.is_empty() {
            choices[choice.0] = choice.1.into();
        }
        moved(choices)
    };
    let after = apply(&eased, by(("", ""))).unwrap().pattern;
    assert_abs_diff_eq!(seam_of(&after, "front.side").ease.mm().abs(), 1.8, epsilon = 0.15);
    let full = shaped_pair(40.0);
    let refusal = apply(&full, by(("", ""))).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::LengthsDiffer);
    let figure: f64 = refusal.what.split_whitespace().find_map(|word| word.parse().ok()).unwrap();
    assert_abs_diff_eq!(figure, 7.0, epsilon = 0.3);
    for way in ["--shaping dart", "--longer hem"] {
        assert!(refusal.way_out.contains(way), "{refusal}");
    }
    let trued = apply(&full, by(("longer", "hem"))).unwrap().pattern;
    assert_girth_kept(&full, &trued, "back", "front");
    assert_abs_diff_eq!(seam_of(&trued, "front.side").ease.mm(), 0.0, epsilon = 2e-3);
    assert_seams_true(&trued, 1e-2);
    let darted = apply(&full, by(("shaping", "dart"))).unwrap().pattern;
    let dart = &piece(&darted, "front").darts[0];
    assert!(dart.mouth().is_none());
    let (a, b) = dart.legs();
    let width = a.point_at(a.length() / 2.0).distance(b.point_at(b.length() / 2.0));
    assert_abs_diff_eq!(width, 40.0, epsilon = 1.0);
}

/// A straight front and back, 600 mm long, whose sides together come in by `shaping` at the middle.
fn shaped_pair(shaping: f64) -> Pattern {
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

/// A fuller lower half tilts the seam: over 3° off the grain it is warned of with the angle.
#[test]
fn a_seam_off_the_grain_is_warned_of() {
    let coat = fixture("coat");
    let line = "armhole@90% > hem@40mm from side";
    let fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back", "line": line});
    let told = match apply(&coat, fields) {
        Ok(recut) => recut.told,
        Err(refusal) => panic!("{refusal}"),
    };
    let angles: Vec<f64> = told
        .iter()
        .filter_map(|told| match told {
            Told::OffGrain { degrees, .. } => Some(*degrees),
            _ => None,
        })
        .collect();
    assert!(angles.iter().all(|angle| *angle > 3.0));
    let flared = serde_json::json!({"line": "armhole@60% > hem@10mm from side", "shaping": "drop"});
    let flared = apply(&coat, moved(flared)).unwrap();
    assert!(flared.told.iter().any(|told| matches!(told, Told::OffGrain { .. }) && told.is_warning()));
}

/// A one-piece sleeve split on its fore and hind lines, its outer strips merged at the underarm: two pieces whose cap is
/// the cap it was.
#[test]
fn a_sleeve_becomes_two_pieces() {
    let coat = fixture("coat");
    let split = |pattern: &Pattern, piece: &str, line: &str, names: &str| {
        let fields = serde_json::json!({"do": "split", "piece": piece, "line": line, "names": names});
        apply(pattern, fields).unwrap().pattern
    };
    let fore = split(&coat, "sleeve", "fore-line", "sleeve-mid, sleeve-fore");
    let hind = split(&fore, "sleeve-mid", "hind-line", "sleeve-upper, sleeve-hind");
    let mut fields = merged("sleeve-fore.underarm-front");
    fields["name"] = "sleeve-under".into();
    let two = apply(&hind, fields).unwrap().pattern;
    assert!(two.find(&"sleeve-fore".parse().unwrap()).is_none());
    let cap = |pattern: &Pattern| {
        let seam = seam_of(pattern, "front.armhole");
        (walked(pattern, &seam.first) - walked(pattern, &seam.second)).abs()
    };
    assert_abs_diff_eq!(cap(&coat), cap(&two), epsilon = 1e-2);
    assert_seams_true(&two, 1e-2);
    assert_relative_eq!(net_area(&coat), net_area(&two), max_relative = 1e-6);
    assert_girths_accounted(&coat, &two);
}

/// A shaped centre-back seam becomes one flat panel with a dart that tapers to nothing [C]; without being told so, the
/// void is refused with its width. The halves come in by 20 mm each at the waist.
#[test]
fn a_shaped_back_becomes_flat_with_a_dart() {
    let skirt = fixture("skirt-shaped-back");
    let refusal = apply(&skirt, merged("back.centre")).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::Void);
    assert!(refusal.what.contains("39.") && refusal.way_out.contains("--shaping dart"), "{refusal}");
    let mut fields = merged("back.centre");
    fields["shaping"] = "dart".into();
    let flat = apply(&skirt, fields).unwrap().pattern;
    let back = piece(&flat, "back");
    assert_eq!(back.cut.copies, 1);
    let dart = back.dart_named(&"seam-dart".parse().unwrap()).unwrap();
    let (first, second) = dart.legs();
    assert_abs_diff_eq!(first.start().distance(second.start()), 40.0, epsilon = 0.6);
    assert_abs_diff_eq!(first.length(), second.length(), epsilon = 0.05);
    assert_relative_eq!(net_area(&skirt), net_area(&flat), max_relative = 1e-5);
    let waist = |pattern: &Pattern| -> f64 {
        let back = piece(pattern, "back");
        let waists = back.edge_ids().filter(|id| back.edge(*id).name.as_str().starts_with("waist"));
        waists.map(|id| back.sewn_length(id)).sum::<f64>() * f64::from(back.times())
    };
    assert_abs_diff_eq!(waist(&skirt), waist(&flat), epsilon = 0.2);
    assert_girths_accounted(&skirt, &flat);
}

/// "Joining panels to the hip leaves a dart above; never an overlap in place of the void" (Pepin, Modern Pattern Design,
/// 1942 [S]): sides that lie together from the hip down leave a dart at the waist, as wide as both come in.
#[test]
fn joining_panels_to_the_hip_leaves_a_dart_above() {
    let skirt = fixture("skirt-shaped-back");
    let opened = apply(&skirt, serde_json::json!({"do": "open-centre", "piece": "front"})).unwrap().pattern;
    let mut fields = merged("front.side");
    fields["shaping"] = "dart".into();
    match apply(&opened, fields) {
        Ok(recut) => {
            assert_laid_without_overlap(&opened, &recut.pattern, "front", ["front", "back"]);
            assert!(piece(&recut.pattern, "front").darts.len() >= 3);
        }
        Err(refusal) => assert_eq!(refusal.kind, RefusalKind::Overlap, "{refusal}"),
    }
}

/// A void up to 1 mm wide is filled and declared, a wider one refused; in the middle of a seam it becomes a double dart.
#[test]
fn voids_by_their_width() {
    for (depth, filled) in [(0.9, true), (1.1, false), (6.0, false)] {
        let pattern = hollow_pair(depth);
        match apply(&pattern, merged("front.side")) {
            Ok(recut) => {
                assert!(filled, "a void of {depth} mm was filled");
                assert_laid_without_overlap(&pattern, &recut.pattern, "front", ["front", "back"]);
                let kinds = &recut.pattern.record.steps[0].declared;
                assert!(kinds.iter().any(|declared| declared.kind == DeclaredKind::VoidFilled));
            }
            Err(refusal) => {
                assert!(!filled, "{refusal}");
                assert_eq!(refusal.kind, RefusalKind::Void);
                let mut fields = merged("front.side");
                fields["shaping"] = "dart".into();
                let recut = apply(&pattern, fields).unwrap();
                let front = piece(&recut.pattern, "front");
                assert_eq!(front.darts.len(), 1);
                assert!(front.darts[0].mouth().is_none(), "a void in the middle is a double dart");
                assert_laid_without_overlap(&pattern, &recut.pattern, "front", ["front", "back"]);
            }
        }
    }
}

/// A straight pair of which the front is hollow by a depth in the middle of its side.
fn hollow_pair(depth: f64) -> Pattern {
    let straight = shaped_pair(0.0);
    let mut pieces: Vec<Piece> = straight.pieces().cloned().collect();
    let front = pieces[0].clone();
    let edges = front
        .edges()
        .iter()
        .map(|edge| {
            if edge.name.as_str() != "side" {
                return edge.clone();
            }
            let (a, b) = (edge.curve.start(), edge.curve.end());
            let at = |share: f64| a.lerp(b, share);
            let inside = Vec2::new(depth * 4.0 / 3.0, 0.0);
            let line = |a, b| Curve::line(a, b).unwrap();
            let hollow = kurbo::CubicBez::new(at(0.4), at(0.47) + inside, at(0.53) + inside, at(0.6));
            let hollow = Curve::new([retrue::curve::PathSeg::Cubic(hollow)]).unwrap();
            let curve = line(a, at(0.4)).joined(&hollow).unwrap().joined(&line(at(0.6), b)).unwrap();
            Edge { curve, ..edge.clone() }
        })
        .collect();
    let mut hollow = Piece::new(front.name().clone(), edges).unwrap();
    hollow.cut = front.cut;
    hollow.grainline = front.grainline.clone();
    pieces[0] = hollow;
    Pattern::new(pieces, straight.seams().to_vec()).unwrap()
}
