//! The law over random chains of operations on random pieces: every step that is done is laid back within the limits,
//! and an outside library measures the same areas.

use clipper2_rust::{FillRule, PathsD, Point as ClipperPoint, difference_d, union_subjects_d};
use proptest::prelude::*;
use retrue::curve::{BezPath, Curve, Motion};
use retrue::pattern::{Copy, Pattern, Piece};
use retrue::resew::{ResewLimits, Resewn, resew};
use retrue::units::Unit;
use serde_json::Value;

use crate::counted::{counted, kept_in};
use crate::random_chain::{first_pattern, read_step, wish};

/// How far polygons may stray from the curves, mm.
const FLATTENED: f64 = 1e-4;

/// How far the areas of polygons may lie from those of curves, mm².
const AREA: f64 = 1.0;

fn config() -> ProptestConfig {
    let cases = std::env::var("RETRUE_CHAINS").ok().and_then(|text| text.parse().ok()).unwrap_or(128);
    ProptestConfig { max_shrink_iters: 200, ..kept_in("tests/proptest-regressions/resew.txt", cases) }
}

fn assert_within_law(resewn: &Resewn, done: &[Value]) {
    let findings = resewn.findings(&ResewLimits::default());
    let told: Vec<String> = findings.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
    let groups: Vec<_> = resewn.steps.iter().flat_map(|step| &step.groups).collect();
    assert!(findings.is_empty(), "{told:#?} after {done:?}\n{groups:?}");
    let all_redrawn = groups.iter().find(|group| group.held.is_none());
    assert!(all_redrawn.is_none(), "nothing is held of {all_redrawn:?} after {done:?}");
}

fn polygon(path: &[Curve]) -> Vec<ClipperPoint<f64>> {
    let points = path.iter().flat_map(|curve| curve.flattened(FLATTENED));
    let polygon: Vec<_> = points.map(|point| ClipperPoint { x: point.x, y: point.y }).collect();
    if clipper2_rust::area(&polygon) < 0.0 { polygon.into_iter().rev().collect() } else { polygon }
}

fn area(paths: &PathsD) -> f64 {
    paths.iter().map(clipper2_rust::area).sum::<f64>()
}

fn size(polygon: &[ClipperPoint<f64>]) -> f64 {
    area(&vec![polygon.to_vec()]).abs()
}

fn moved(polygon: &[ClipperPoint<f64>], motion: &Motion) -> Vec<ClipperPoint<f64>> {
    let apply = |p: &ClipperPoint<f64>| motion.apply(retrue::curve::Point::new(p.x, p.y));
    let moved = polygon.iter().map(apply).map(|p| ClipperPoint { x: p.x, y: p.y });
    if motion.is_mirrored() { moved.rev().collect() } else { moved.collect() }
}

/// The boundary of a dart, up to the edge on which it opens.
fn dart_boundary(piece: &Piece, dart: &retrue::pattern::Dart) -> Vec<Curve> {
    let (first, second) = dart.legs();
    let mut boundary = vec![first.clone(), second.reversed()];
    if let Some(mouth) = dart.mouth() {
        let edge = &piece.edge(piece.find_edge(&mouth.edge).unwrap()).curve;
        boundary.push(edge.stretch(mouth.from, mouth.to).unwrap().reversed());
    }
    boundary
}

/// The area that polygons cover together, and by how much they are more than that.
fn united(polygons: &[Vec<ClipperPoint<f64>>]) -> (f64, f64) {
    let united = area(&union_subjects_d(&polygons.to_vec(), FillRule::NonZero, 6)).abs();
    (united, polygons.iter().map(|polygon| size(polygon)).sum::<f64>() - united)
}

/// The area that lies twice and the area that is missing in a step, by the outside library; none where a piece is folded
/// to half of it, and where the strip of a moved seam lies on both sides of the old seam, so that its outline crosses
/// itself.
fn by_outside_library(before: &Pattern, after: &Pattern) -> Option<(f64, f64)> {
    let step = after.record.steps.last()?;
    let part = |moved: &retrue::pattern::Moved, piece: &Piece| match &moved.part {
        None => polygon(piece.outline().curves()),
        Some(path) => polygon(&[Curve::from_path(&BezPath::from_svg(path).unwrap()).unwrap()]),
    };
    let is_cloth = |path: &String| kurbo::Shape::area(&BezPath::from_svg(path).unwrap()) > 0.0;
    if !step.moved.iter().flat_map(|moved| &moved.part).all(is_cloth) {
        return None;
    }
    let (mut doubled, mut missing) = (0.0, 0.0);
    for piece in before.pieces() {
        for copy in [Copy::Drawn, Copy::Mirrored] {
            let parts: Vec<_> = step
                .moved
                .iter()
                .filter(|moved| moved.from == *piece.name() && moved.copy == copy)
                .map(|moved| part(moved, piece))
                .collect();
            if parts.is_empty() {
                continue;
            }
            if parts.iter().any(|part| united(std::slice::from_ref(part)).1.abs() > AREA) {
                return None;
            }
            let darts = piece.darts.iter().map(|dart| polygon(&dart_boundary(piece, dart)));
            let taken: PathsD = parts.iter().cloned().chain(darts).collect();
            let outline = vec![polygon(piece.outline().curves())];
            missing += area(&difference_d(&outline, &taken, FillRule::NonZero, 6)).abs();
            doubled += united(&parts).1;
        }
    }
    for piece in after.pieces() {
        let of_piece: Vec<_> = step.moved.iter().filter(|moved| moved.to == *piece.name()).collect();
        let laid: Vec<_> = of_piece
            .iter()
            .map(|one| {
                moved(&part(one, before.find(&one.from).unwrap()), &Motion::from_array(one.motion).unwrap())
            })
            .collect();
        if of_piece.iter().any(|one| before.find(&one.from).is_some_and(|old| old.fold().is_none()))
            && piece.fold().is_some()
        {
            return None;
        }
        if laid.len() > 1 {
            doubled += united(&laid).1;
        }
    }
    Some((doubled, missing))
}

#[test]
fn every_step_of_a_chain_is_laid_back_within_the_law() {
    let cases = (first_pattern(), proptest::collection::vec(wish(), 3..=8));
    counted(config(), cases, |(first, wishes)| {
        let mut pattern = first.clone();
        let mut done = Vec::new();
        for wish in &wishes {
            let Some(fields) = wish.fields(&pattern) else { continue };
            let Some(recut) = read_step(fields.clone()).and_then(|step| step.apply(&pattern).ok()) else {
                continue;
            };
            done.push(fields);
            let resewn = resew(&pattern, &recut.pattern).unwrap();
            assert_within_law(&resewn, &done);
            if let Some((doubled, missing)) = by_outside_library(&pattern, &recut.pattern) {
                let groups = || resewn.steps.iter().flat_map(|step| &step.groups);
                let own: (f64, f64) = (groups().map(|g| g.doubled).sum(), groups().map(|g| g.missing).sum());
                prop_assert!(
                    (own.0 - doubled).abs() <= AREA,
                    "doubled {} and {doubled} after {done:#?}",
                    own.0
                );
                prop_assert!(
                    (own.1 - missing).abs() <= AREA,
                    "missing {} and {missing} after {done:#?}",
                    own.1
                );
            }
            pattern = recut.pattern;
        }
        if done.is_empty() {
            return Ok(false);
        }
        let resewn = resew(&first, &pattern).unwrap();
        prop_assert_eq!(resewn.steps.len(), done.len());
        assert_within_law(&resewn, &done);
        Ok(true)
    });
}
