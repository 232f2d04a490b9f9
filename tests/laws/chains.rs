//! Random chains of operations: each step is done and leaves a sound pattern, or is refused; what is done can be written
//! and read again, and changes area and girth only by what its record declares.
//!
//! `RETRUE_CHAINS` sets how many chains are tried; otherwise 256.

use crate::counted::{counted, kept_in};
use proptest::prelude::*;
use retrue::curve::Point;
use retrue::pattern::{Pattern, Seam};
use retrue::sheet;
use retrue::truing::{FindingKind, Limits, Weight, check, girths};
use retrue::units::Length;
use serde_json::Value;

use crate::random_chain::{PRINCESS_SEAM, SPLIT, first_pattern, read_step, wish};

/// Area that a step may change without declaring it: rounding of the record on every piece, mm².
const AREA: f64 = 1.0;

/// Girth that a step may change without declaring it, mm.
const GIRTH: f64 = 0.11;

/// How far a point may move when a pattern is written and read, mm.
const WRITTEN: f64 = 1e-3;

fn config() -> ProptestConfig {
    let cases = std::env::var("RETRUE_CHAINS").ok().and_then(|text| text.parse().ok()).unwrap_or(256);
    ProptestConfig { max_shrink_iters: 200, ..kept_in("tests/proptest-regressions/laws_chains.txt", cases) }
}

fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.net_area() * f64::from(piece.times())).sum()
}

/// The pieces, with every copy counted, and what the step says of area.
fn assert_area_declared(before: &Pattern, after: &Pattern, fields: &Value) {
    let step = after.record.steps.last().unwrap();
    let times = |name| after.find(name).map_or(1.0, |piece| f64::from(piece.times()));
    let declared: f64 = step.declared.iter().map(|declared| declared.area * times(&declared.piece)).sum();
    let unsaid = net_area(after) - net_area(before) - declared;
    assert!(unsaid.abs() <= AREA + 1e-6 * net_area(before), "{unsaid} mm² unsaid by {fields}");
}

/// No step changes a girth by more than a tenth of a millimetre without declaring it with a reason.
fn assert_girth_declared(before: &Pattern, after: &Pattern, fields: &Value) {
    let now = girths(after);
    let step = after.record.steps.last().unwrap();
    for old in girths(before) {
        let new = now.iter().find(|girth| girth.level == old.level).map_or(0.0, |girth| girth.around.mm());
        let said: f64 =
            step.girths.iter().filter(|girth| girth.level == old.level).map(|girth| girth.by).sum();
        let unsaid = new - old.around.mm() - said;
        assert!(unsaid.abs() <= GIRTH, "{} changes by {unsaid} mm unsaid by {fields}", old.level);
    }
}

/// How many findings of a kind a pattern has. An edge that is sewn to nothing counts though it only waits for its other side.
fn count(pattern: &Pattern, kind: FindingKind) -> usize {
    check(pattern, &Limits::default())
        .iter()
        .filter(|finding| finding.kind == kind)
        .filter(|finding| finding.weight == Weight::Untrue || kind == FindingKind::SewnToNothing)
        .count()
}

/// A step leaves no edge unsewn, no seam with the wrong ends together, and no level that ends at a seam away from where it
/// goes on, where all was well before. Only what sets the finish of an edge may leave one that is sewn to nothing, or
/// neighbours that no longer go on as one another: a waist is hemmed on one side of a seam and not on the other. Only what is
/// extended on one side of a seam may wait for the other.
fn assert_still_sewn(before: &Pattern, after: &Pattern, fields: &Value) {
    for kind in [FindingKind::SewnToNothing, FindingKind::WrongEnds, FindingKind::LevelsApart] {
        if kind != FindingKind::LevelsApart && fields["do"] == "set-edge" {
            continue;
        }
        if kind == FindingKind::SewnToNothing && fields["do"] == "extend-edge" {
            let untrue =
                check(after, &Limits::default()).into_iter().filter(|found| found.weight == Weight::Untrue);
            assert!(
                count(before, kind) > 0 || untrue.filter(|found| found.kind == kind).count() == 0,
                "{fields}"
            );
            continue;
        }
        let (old, new) = (count(before, kind), count(after, kind));
        if old == 0 && new > 0 {
            let found = check(after, &Limits::default());
            let told: Vec<String> = found
                .iter()
                .filter(|finding| finding.kind == kind)
                .map(|finding| finding.sentence(Default::default()))
                .collect();
            panic!("{kind:?}: {old} to {new} by {fields}: {told:#?}");
        }
    }
}

/// Every place of a pattern that a sheet must bring back.
fn places(pattern: &Pattern) -> Vec<Point> {
    let mut places = Vec::new();
    for piece in pattern.pieces() {
        for edge in piece.edges() {
            places.extend((0..=8).map(|i| edge.curve.point_at(edge.curve.length() * f64::from(i) / 8.0)));
        }
        for dart in &piece.darts {
            let (a, b) = dart.legs();
            places.extend([a.start(), a.end(), b.start(), b.end()]);
        }
        for notch in &piece.notches {
            places.push(piece.point_on(piece.find_edge(&notch.edge).unwrap(), notch.at));
        }
        places
            .extend(piece.levels.iter().flat_map(|level| level.stretches.iter().flat_map(|(a, b)| [*a, *b])));
        places.extend(piece.points.iter().map(|point| point.at));
    }
    places
}

/// Whether two seams join the same ends of the same edges, or the mirror images of them, which are the same seam on the
/// other half of the garment.
fn is_same_seam(a: &Seam, b: &Seam) -> bool {
    [b.clone(), Seam { first: b.first.mirrored(), second: b.second.mirrored(), ease: b.ease }].iter().any(
        |b| {
            let eased = |sign: f64| Seam { ease: Length::from_mm(sign * b.ease.mm()), ..a.clone() };
            b.is_same(&eased(1.0)) || b.is_same(&eased(-1.0))
        },
    )
}

/// What is not written is told where chains are told, so that it can be counted.
fn not_said(error: &sheet::WriteError) -> bool {
    if std::env::var("RETRUE_TELL").is_ok() {
        println!("not written: {error}");
    }
    false
}

/// Writes a pattern and reads it again. False where a sheet cannot say it: the command then refuses and writes nothing.
fn is_written_and_read(pattern: &Pattern, fields: &Value) -> bool {
    let text = match sheet::write(pattern) {
        Ok(text) => text,
        Err(error @ sheet::WriteError::Unreadable(_)) => return not_said(&error),
        Err(error) if error.to_string().contains("direction of the seam") => return not_said(&error),
        Err(error) => panic!("{error} after {fields}"),
    };
    let read = match sheet::read(text.as_bytes(), &Default::default()) {
        Ok(read) => read,
        Err(error) => panic!("{error} after {fields}"),
    };
    let other_cut = read.notes.iter().find(|note| matches!(note, sheet::SheetNote::OtherCuttingLine { .. }));
    assert!(other_cut.is_none(), "{other_cut:?} is read after {fields}");
    let read = read.pattern;
    read.assert_sound();
    let steps =
        |pattern: &Pattern| pattern.record.steps.iter().map(|step| step.step.clone()).collect::<Vec<_>>();
    assert_eq!(steps(pattern), steps(&read), "the record after {fields}");
    assert_eq!(pattern.seams().len(), read.seams().len(), "after {fields}");
    for seam in pattern.seams() {
        let back = read.seams().iter().any(|other| is_same_seam(seam, other));
        let read_as: Vec<String> = read.seams().iter().map(Seam::name).collect();
        assert!(back, "{:?} is not read after {fields} but {read_as:?} {:?}", seam, read.seams());
    }
    let (written, back) = (places(pattern), places(&read));
    assert_eq!(written.len(), back.len(), "after {fields}");
    for (a, b) in written.iter().zip(&back) {
        assert!(a.distance(*b) <= WRITTEN, "{a:?} is read as {b:?} after {fields}");
    }
    true
}

/// The pattern after a step, which is right; none where it is refused.
fn next(pattern: &Pattern, fields: Value) -> Option<Pattern> {
    let step = read_step(fields.clone())?;
    if std::env::var("RETRUE_TELL").is_ok() {
        println!("{fields}");
    }
    let recut = match step.apply(pattern) {
        Ok(recut) => recut,
        Err(refusal) => {
            assert!(!refusal.what.is_empty() && !refusal.way_out.is_empty(), "{refusal:?}");
            if std::env::var("RETRUE_TELL").is_ok() {
                println!("refused: {:?}", refusal.kind);
            }
            return None;
        }
    };
    recut.pattern.assert_sound();
    assert_area_declared(pattern, &recut.pattern, &fields);
    assert_girth_declared(pattern, &recut.pattern, &fields);
    assert_still_sewn(pattern, &recut.pattern, &fields);
    is_written_and_read(&recut.pattern, &fields).then_some(recut.pattern)
}

/// Whatever is asked for in whatever order is done right, or refused.
#[test]
fn every_step_of_a_chain_is_right_or_refused() {
    let cases = (first_pattern(), proptest::collection::vec(wish(), 3..=10));
    counted(config(), cases, |(first, wishes)| {
        let (mut pattern, mut done) = (first, 0);
        for wish in &wishes {
            let after = wish.fields(&pattern).and_then(|fields| next(&pattern, fields));
            done += usize::from(after.is_some());
            pattern = after.unwrap_or(pattern);
        }
        Ok(done > 0)
    });
}

/// Panels that are smoothed along a seam through a point are cut again without losing any of their levels: those that
/// run beside the seam, too.
#[test]
fn panels_of_princess_seams_are_cut_again() {
    let wishes = proptest::collection::vec((prop_oneof![Just(PRINCESS_SEAM), Just(SPLIT)], wish()), 3..=6);
    counted(config(), (first_pattern(), wishes), |(first, wishes)| {
        let (mut pattern, mut done) = (first, 0);
        for (operation, wish) in &wishes {
            let after = wish.fields_of(*operation, &pattern).and_then(|fields| next(&pattern, fields));
            done += usize::from(after.is_some());
            pattern = after.unwrap_or(pattern);
        }
        Ok(done > 1)
    });
}
