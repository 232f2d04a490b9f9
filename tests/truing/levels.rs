//! Levels beside the easy case: along a mouth, into a dart, beyond the piece, left out.

use std::cmp::Reverse;

use retrue::pattern::Pattern;
use retrue::truing::{Finding, FindingKind, Limits, Weight, check, girths};
use retrue::units::Unit;

use crate::draw::{dart, level, pattern, piece, skirt_with};
use crate::{read, text_of};

fn found(pattern: &Pattern) -> Vec<Finding> {
    check(pattern, &Limits::default())
}

fn around(pattern: &Pattern, name: &str) -> f64 {
    girths(pattern).iter().find(|girth| girth.level.as_str() == name).unwrap().around.mm()
}

/// A level drawn along the edge at which a dart opens loses the mouth; at the tip and beyond it loses nothing.
#[test]
fn a_level_along_the_mouth_skips_it() {
    let front = piece(
        "front",
        &[
            ("top!free", "M0 0 L400 0"),
            ("side", "M400 0 L400 400"),
            ("hem!hem", "M400 400 L0 400"),
            ("centre", "M0 400 L0 0"),
        ],
    );
    let front = dart(front, "dart", "top", (175.0, 225.0), (200.0, 150.0).into());
    for (y, width) in [(0.0, 350.0), (0.3, 350.1), (150.0, 400.0), (160.0, 400.0)] {
        let level = level(front.clone(), "here", (0.0, y), (400.0, y));
        let girth = around(&pattern(vec![level], &[]), "here");
        assert!((girth - width).abs() < 1e-6, "{y}: {girth}");
    }
}

/// A level drawn down a dart would lose the whole of it, where the cloth loses nothing in that direction.
#[test]
fn a_level_along_a_dart_is_warned_of() {
    let into =
        |from: (f64, f64), to: (f64, f64)| found(&skirt_with("front", |front| level(front, "odd", from, to)));
    let [finding] = &into((100.0, 0.0), (100.0, 300.0))[..] else { panic!() };
    assert_eq!((finding.kind, finding.weight), (FindingKind::LevelInDart, Weight::Warning));
    assert!((finding.number - 100.0).abs() < 1e-6, "{finding:?}");
    assert_eq!(finding.at, "front.odd in waist-dart");
    assert!(finding.sentence(Unit::Millimetre).contains("runs 100 mm into the dart"));
    let [ends_inside] = &into((0.0, 50.0), (100.0, 50.0))[..] else { panic!() };
    assert_eq!(ends_inside.kind, FindingKind::LevelInDart);
    assert_eq!(into((0.0, 50.0), (190.0, 50.0)), []);
    assert_eq!(into((0.0, -1.0), (190.0, -1.0)), []);
}

#[test]
fn a_level_that_leaves_its_piece_is_warned_of() {
    let to = |x: f64| found(&skirt_with("front", |front| level(front, "low", (0.0, 300.0), (x, 300.0))));
    let [finding] = &to(260.0)[..] else { panic!() };
    assert_eq!((finding.kind, finding.weight), (FindingKind::LevelOutside, Weight::Warning));
    assert_eq!(finding.at, "front.low");
    assert!(finding.sentence(Unit::Millimetre).contains("the level ends"));
    assert!((39.0..=40.0).contains(&finding.number), "{finding:?}");
    assert_eq!(to(210.0), []);
}

/// A level that lies further from where it should is never told more mildly: on slanted sides too its line is held against
/// that of its neighbour.
#[test]
fn a_level_further_off_is_no_better() {
    let (mut seen, mut told_of) = (0, [0; 2]);
    for (file, piece, named) in [
        ("coat.svg", "back", "waist"),
        ("coat.svg", "back", "hip"),
        ("coat.svg", "back", "bust"),
        ("dress.svg", "skirt-back", "hip"),
        ("dress.svg", "bodice-front", "bust"),
        ("skirt-shaped-back.svg", "front", "hip"),
    ] {
        for sign in [-1.0, 1.0] {
            let mut before = None;
            for by in [1.0, 4.0, 10.0, 15.0, 20.0, 30.0] {
                let mut pattern = read(&text_of(file));
                let moved = pattern.piece_mut(&piece.parse().unwrap()).unwrap();
                let level = moved.levels.iter_mut().find(|level| level.name.as_str() == named).unwrap();
                for (from, to) in &mut level.stretches {
                    from.y += sign * by;
                    to.y += sign * by;
                }
                let found = found(&pattern);
                let about = found.iter().filter(|finding| finding.at.contains(named));
                // Each names the limit that it is over.
                for finding in about.clone().filter(|finding| finding.kind == FindingKind::LevelsApart) {
                    let (limit, told) = match finding.weight {
                        Weight::Warning => (3.0, "(told over 3 mm, not true over 10 mm)"),
                        Weight::Untrue => (10.0, "(limit 10 mm)"),
                    };
                    assert!(finding.limit == limit && finding.number > limit, "{finding:?}");
                    let sentence = finding.sentence(Unit::Millimetre);
                    assert!(sentence.ends_with(told), "{sentence}");
                    told_of[usize::from(finding.weight == Weight::Untrue)] += 1;
                }
                // Nothing, then a warning, then not true.
                let worst = about.map(|finding| Reverse(finding.weight)).max();
                assert!(
                    worst >= before,
                    "{file} {piece}.{named} by {}: {worst:?} after {before:?}",
                    sign * by
                );
                assert!(
                    by < 15.0 || worst == Some(Reverse(Weight::Untrue)),
                    "{file} {piece}.{named} by {}",
                    sign * by
                );
                before = worst;
                seen += 1;
            }
        }
    }
    assert_eq!(seen, 72);
    assert!(told_of.iter().all(|told| *told > 5), "{told_of:?}");
}

/// The lining of the dress says `data-girth="no"` on its pieces: the dress is as wide as its outer cloth.
#[test]
fn a_piece_may_be_left_out_of_the_girth() {
    let dress = read(&text_of("dress.svg"));
    let bust = girths(&dress).into_iter().find(|girth| girth.level.as_str() == "bust").unwrap();
    let parts: Vec<&str> = bust.parts.iter().map(|part| part.piece.as_str()).collect();
    assert_eq!(parts, ["bodice-back", "bodice-front"]);
    assert!((bust.around.mm() - 991.518).abs() < 1e-3, "{bust:?}");
    let text = retrue::sheet::write(&dress).unwrap();
    assert_eq!(girths(&read(&text)).len(), girths(&dress).len());
    assert!((around(&read(&text), "bust") - bust.around.mm()).abs() < 1e-3);
}
