//! What does not change on the way from a pattern to a sheet and back.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::FileFailurePersistence;
use retrue::curve::{Curve, Point, Vec2};
use retrue::pattern::{
    Arrows, CornerShape, EdgeRef, Finish, GirthUse, Kept, Ledger, Notch, NotchCount, Origin, Pattern, Press,
    RecordedStep, Selvedge, ShapedCorner, StyleLine,
};
use retrue::sheet;
use retrue::units::Length;

use crate::compare::assert_same;
use crate::random::block::{Centre, draft};
use crate::{FIXTURES, fixture, read, whole};

#[test]
fn every_fixture_is_read_without_a_word() {
    for name in FIXTURES {
        assert_eq!(whole(fixture(name)).notes, [], "{name}");
    }
}

/// After the first trip, which rounds to six decimals, the text stays as it is.
#[test]
fn a_hundred_trips_of_every_fixture_move_no_point_by_a_thousandth_of_a_millimetre() {
    for name in FIXTURES {
        let first = read(fixture(name));
        let mut pattern = first.clone();
        let mut text = String::new();
        for trip in 0..100 {
            let written = sheet::write(&pattern).unwrap();
            assert!(trip < 2 || written == text, "{name}: trip {trip} wrote another text");
            text = written;
            pattern = read(&text);
        }
        assert_same(&first, &pattern);
        if let Ok(folder) = std::env::var("RETRUE_KEEP") {
            std::fs::write(format!("{folder}/{name}.svg"), &text).unwrap();
        }
    }
}

/// What a random pattern says besides its lines.
#[derive(Clone, Debug)]
struct Words {
    allowance: f64,
    ease: f64,
    count: NotchCount,
    arrows: Arrows,
    tick: (f64, f64),
    place: f64,
    girth: GirthUse,
    selvedge: Selvedge,
    corner: CornerShape,
    origin: (f64, f64),
    ledger: f64,
}

prop_compose! {
    fn words()(
        lengths in (0.0..60.0_f64, (-30_000..30_000).prop_map(|ease| f64::from(ease) / 1e3), 0.01..0.99_f64),
        count in prop_oneof![Just(NotchCount::Single), Just(NotchCount::Double)],
        arrows in prop_oneof![Just(Arrows::Both), Just(Arrows::Start), Just(Arrows::End)],
        tick in (-5.0..5.0_f64, 1.0..9.0_f64),
        girth in prop_oneof![Just(GirthUse::Counts), Just(GirthUse::LeftOut)],
        selvedge in prop_oneof![Just(Selvedge::No), Just(Selvedge::Yes)],
        corner in prop_oneof![
            Just(CornerShape::Mitre),
            Just(CornerShape::Jog),
            Just(CornerShape::Square("hem".parse().unwrap())),
            Just(CornerShape::Square("side".parse().unwrap())),
        ],
        origin in (0.0..500.0_f64, 0.0..500.0_f64),
        ledger in 0.0..1e7_f64,
    ) -> Words {
        let (allowance, ease, place) = lengths;
        Words { allowance, ease, count, arrows, tick, place, girth, selvedge, corner, origin, ledger }
    }
}

/// Puts words on a pattern.
fn say(pattern: &mut Pattern, words: &Words) {
    let mut seams = pattern.seams().to_vec();
    seams[0].ease = Length::from_mm(words.ease);
    pattern.set_seams(seams).unwrap();
    let kept = Kept {
        attributes: vec![
            ("class".to_owned(), "own look".to_owned()),
            ("style".to_owned(), "x:\"y\"".to_owned()),
        ],
        content: "<title>a &amp; b</title>".to_owned(),
    };
    pattern
        .record
        .steps
        .push(RecordedStep { step: serde_json::json!({"do": "unfold"}), ..Default::default() });
    pattern.record.ledger = Some(Ledger { net_area: words.ledger, ..Default::default() });
    let front = pattern.piece_mut(&"front".parse().unwrap()).unwrap();
    let neck = front.find_edge(&"neck".parse().unwrap()).unwrap();
    let settings = front.edge_settings(neck);
    *settings.allowance = Length::from_mm(words.allowance);
    *settings.selvedge = words.selvedge;
    let edge = EdgeRef::new("front".parse().unwrap(), "neck".parse().unwrap());
    settings.origins.push(Origin { edge, from: words.origin.0, to: words.origin.1 });
    front.grainline.as_mut().unwrap().arrows = words.arrows;
    front.levels[0].girth = words.girth;
    front.points[0].kept = kept.clone();
    let at = front.edge(neck).curve.length() * words.place;
    front.notches.push(Notch {
        count: words.count,
        tick: Vec2::new(words.tick.0, words.tick.1),
        kept: kept.clone(),
        ..Notch::new("own".parse().unwrap(), "neck".parse().unwrap(), at, NotchCount::Single)
    });
    let (a, b) = (front.point_on(neck, 0.0), front.grainline.as_ref().unwrap().end);
    let line = Curve::smooth_through(&[a, a.midpoint(b) + Vec2::new(10.0, 3.0), b]).unwrap();
    front.style_lines.push(StyleLine { name: "yoke".parse().unwrap(), curve: line, kept });
    let edges = ("side".parse().unwrap(), "hem".parse().unwrap());
    front.corners.push(ShapedCorner { edges, shape: words.corner.clone() });
    if let Some(dart) = front.darts.first_mut() {
        dart.press = Press::Toward("side".parse().unwrap());
    }
}

fn differing_lines<'a>(a: &'a str, b: &'a str) -> Vec<(&'a str, &'a str)> {
    a.lines().zip(b.lines()).filter(|(a, b)| a != b).collect()
}

pub fn config() -> ProptestConfig {
    let file = FileFailurePersistence::Direct("tests/proptest-regressions/sheet.txt");
    ProptestConfig { cases: 256, failure_persistence: Some(Box::new(file)), ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(config())]

    /// A pattern that was built is written, read, and is the same; from the second text on nothing changes.
    #[test]
    fn patterns_come_back_from_a_sheet(draft in draft(), words in words()) {
        let mut pattern = draft.pattern();
        say(&mut pattern, &words);
        let first = sheet::write(&pattern).unwrap();
        let back = read(&first);
        assert_same(&pattern, &back);
        let second = sheet::write(&back).unwrap();
        let third = sheet::write(&read(&second)).unwrap();
        prop_assert_eq!(differing_lines(&second, &third), Vec::<(&str, &str)>::new());
    }
}

/// A seam of a piece with its own mirrored copy, and one of an opened piece, come back as they were.
#[test]
fn seams_of_mirrored_copies_come_back() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    for _ in 0..20 {
        let mut draft = draft().new_tree(&mut runner).unwrap().current();
        draft.back.centre = Centre::Seam;
        let pattern = draft.pattern();
        let own = pattern.seams().iter().filter(|seam| seam.is_to_own_mirror()).count();
        assert!(own >= 1);
        assert_same(&pattern, &read(sheet::write(&pattern).unwrap()));
    }
}

/// What a file could not hold is not written: a circle or a tick of no size gets one.
#[test]
fn marks_of_no_size_are_written_so_that_they_can_be_read() {
    let mut pattern = read(crate::pocket(
        r#"<circle id="pocket.dot" data-kind="point" cx="90" cy="90" r="2"/>
        <path id="pocket.n" data-kind="notch" d="M 100 50 V 44"/>"#,
    ));
    let piece = pattern.piece_mut(&"pocket".parse().unwrap()).unwrap();
    piece.points[0].radius = 0.0;
    piece.notches[0].tick = Vec2::ZERO;
    let back = read(sheet::write(&pattern).unwrap());
    let piece = back.pieces().next().unwrap();
    assert_eq!(piece.points[0].at, Point::new(90.0, 90.0));
    assert_eq!(piece.notches[0].at, 50.0);
}

/// The allowance of a fold is not cut, but is there again when the fold is opened to a seam.
#[test]
fn the_allowance_of_a_fold_comes_back() {
    let mut pattern = read(crate::pocket(""));
    let piece = pattern.piece_mut(&"pocket".parse().unwrap()).unwrap();
    let left = piece.find_edge(&"left".parse().unwrap()).unwrap();
    *piece.edge_settings(left).finish = Finish::Fold;
    *piece.edge_settings(left).allowance = Length::from_mm(12.0);
    assert_same(&pattern, &read(sheet::write(&pattern).unwrap()));
}
