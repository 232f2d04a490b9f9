//! Laws over random pieces: what is measured does not depend on where pieces lie.

use std::collections::BTreeSet;

use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Radians};
use retrue::pattern::{Cut, NotchCount, Pattern, Piece};
use retrue::truing::{Finding, Limits, SeamWalk, check, girths, walk_seam};
use retrue::units::Length;

use crate::draw::{cut, dart, double_dart, level, moved, notch, pattern, piece};

/// Half a skirt with a waist dart, a double dart, a shaped side and a hem that is not square.
pub fn half() -> impl Strategy<Value = Piece> {
    half_named("front")
}

fn half_named(name: &'static str) -> impl Strategy<Value = Piece> {
    (
        (20.0..80.0_f64, 5.0..30.0_f64, 60.0..130.0_f64, -20.0..20.0_f64),
        (-30.0..30.0_f64, -30.0..30.0_f64, -20.0..40.0_f64),
        (-12.0..12.0_f64, 5.0..20.0_f64, 80.0..320.0_f64),
    )
        .prop_map(move |((mouth, width, depth, lean), (bow, dip, flare), (rise, thick, at))| {
            let low = 200.0 + flare;
            let drawn = piece(
                name,
                &[
                    ("waist", &format!("M0 0 C60 {rise} 140 {rise} 200 0")),
                    ("side", &format!("M200 0 C{} 130 {} 270 {low} 400", 200.0 + bow, low + dip)),
                    ("hem!hem", &format!("M{low} 400 C140 410 60 400 0 400")),
                    ("centre", "M0 400 L0 0"),
                ],
            );
            let tip = Point::new(mouth + width / 2.0 + lean, depth);
            let drawn = dart(drawn, "waist-dart", "waist", (mouth, mouth + width), tip);
            let (left, right) = (150.0 - thick / 2.0, 150.0 + thick / 2.0);
            let side = |x: f64| format!("M150 180 C{x} 220 {x} 260 150 320");
            let drawn = double_dart(drawn, "double", &side(right), &side(left));
            let end = Curve::line((100.0, at).into(), (400.0, at).into()).unwrap();
            let reach =
                drawn.outline().crossings_with(&end).first().map_or(100.0, |crossing| crossing.point.x);
            notch(
                level(drawn, "hip", (0.0, at), (reach, at)),
                "n1",
                "side",
                100.0 + at / 10.0,
                NotchCount::Single,
            )
        })
}

/// Two random halves sewn at the side and to their own mirrors at the centre.
fn garment() -> impl Strategy<Value = [Piece; 2]> {
    (half_named("front"), half_named("back"))
        .prop_map(|(front, back)| [front, back].map(|half| cut(half, Cut::PAIR)))
}

const SEAMS: &[&str] =
    &["front.side + back.side", "front.centre + front.centre/m", "back.centre + back.centre/m"];

fn sewn(pieces: [Piece; 2]) -> Pattern {
    pattern(pieces.to_vec(), SEAMS)
}

fn motion() -> impl Strategy<Value = Motion> {
    (-3.1..3.1_f64, -500.0..500.0_f64, -500.0..500.0_f64, any::<bool>()).prop_map(|(turn, x, y, mirrored)| {
        let turned = Motion::turn_about(Point::new(x, y), Radians(turn));
        let mirror = Motion::mirror_in(Point::ORIGIN, Point::new(x, y + 1e3)).unwrap();
        if mirrored { mirror.then(&turned) } else { turned }
    })
}

/// Every number of a walk, in a fixed order.
fn numbers(walk: &SeamWalk) -> Vec<f64> {
    let mut numbers = vec![walk.first.length.mm(), walk.second.length.mm(), walk.difference.mm()];
    numbers.extend(walk.pairs.iter().map(|pair| pair.apart().mm()));
    numbers.extend(walk.stretches.iter().map(|stretch| stretch.ease().mm()));
    for end in [&walk.start, &walk.end] {
        numbers.extend([end.first.angle, end.second.angle, end.kink].map(|n| n.unwrap_or(f64::NAN)));
    }
    numbers
}

/// What is found on a pattern, whichever way its seams are walked: kind, place and size to a thousandth.
fn found(pattern: &Pattern) -> Vec<String> {
    let any_drift = Limits { notch: Length::from_mm(1e3), ..Limits::default() };
    let show = |finding: Finding| {
        let places: BTreeSet<&str> = finding.at.split([' ', ',']).collect();
        format!("{:?} at {places:?}: {:.3} {:?}", finding.kind, finding.number.abs(), finding.weight)
    };
    let mut found: Vec<String> = check(pattern, &any_drift).into_iter().map(show).collect();
    found.sort();
    found
}

fn alike(before: &[f64], after: &[f64]) -> bool {
    before.len() == after.len()
        && before.iter().zip(after).all(|(a, b)| (a - b).abs() < 1e-6 || (a.is_nan() && b.is_nan()))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Moving, turning and mirroring each piece by itself changes no girth, no walk and no finding.
    #[test]
    fn where_pieces_lie_changes_nothing(pieces in garment(), motions in [motion(), motion()]) {
        let before = sewn(pieces.clone());
        let [front, back] = &pieces;
        let after = sewn([moved(front, &motions[0]), moved(back, &motions[1])]);
        let around = |pattern: &Pattern| girths(pattern).iter().map(|g| g.around.mm()).collect::<Vec<_>>();
        prop_assert!(alike(&around(&before), &around(&after)));
        for id in before.seam_ids() {
            let [a, b] = [&before, &after].map(|pattern| walk_seam(pattern, id).unwrap());
            let ends_as_before = a.start.first.neighbour.edge == b.start.first.neighbour.edge;
            let (mut a, mut b) = (a, b);
            if !ends_as_before {
                std::mem::swap(&mut b.start, &mut b.end);
                a.pairs.clear();
                b.pairs.clear();
                a.stretches.clear();
                b.stretches.clear();
            }
            prop_assert!(alike(&numbers(&a), &numbers(&b)), "{:?} {:?}", numbers(&a), numbers(&b));
        }
        prop_assert_eq!(found(&before), found(&after));
    }

    /// A notch moved along its edge by `d` drifts by `d`.
    #[test]
    fn a_notch_moved_drifts_by_as_much(front in half(), at in 60.0..300.0_f64, by in -20.0..20.0_f64) {
        let mirror = Motion::mirror_in(Point::new(-30.0, 0.0), Point::new(-30.0, 1.0)).unwrap();
        let mut front = front;
        front.notches[0].at = at;
        let back = moved(&front, &mirror).renamed("back".parse().unwrap());
        front.notches[0].at = at + by;
        let pattern = sewn([front, back]);
        let walk = walk_seam(&pattern, pattern.seam_named(&"front.side".parse().unwrap(), None).unwrap()).unwrap();
        prop_assert_eq!(walk.pairs.len(), 1);
        prop_assert!((walk.pairs[0].apart().mm().abs() - by.abs()).abs() < 1e-6);
    }

    /// Whole girth is the sum over the copies, whatever is cut of which piece.
    #[test]
    fn girth_adds_up_over_copies(pieces in garment(), copies in 1..5_u32) {
        let [front, mut back] = pieces;
        back.cut.copies = 2 * copies;
        let girths = girths(&sewn([front, back]));
        let [(_, front), (_, back)] = &girths[0].parts[..] else { panic!("both carry the level") };
        let expected = 2.0 * front.mm() + f64::from(2 * copies) * back.mm();
        prop_assert!((girths[0].around.mm() - expected).abs() < 1e-9);
    }
}

/// A pattern of a thousand pieces is checked in time in proportion to its size: eight times as many pieces may take
/// thirty times as long at most, where a square law takes sixty-four.
#[test]
fn a_thousand_pieces_are_checked_in_linear_time() {
    let garment = |count: usize| {
        let half = |name: String| {
            let drawn = piece(
                &name,
                &[
                    ("waist!free", "M0 0 L200 0"),
                    ("side", "M200 0 C210 130 210 270 220 400"),
                    ("hem!hem", "M220 400 L0 400"),
                    ("centre!fold", "M0 400 L0 0"),
                ],
            );
            level(drawn, "hip", (0.0, 200.0), (210.0, 200.0))
        };
        let pieces: Vec<Piece> = (0..count).map(|i| half(format!("gore-{i}"))).collect();
        let seams: Vec<String> =
            (0..count / 2).map(|i| format!("gore-{}.side + gore-{}.side", 2 * i, 2 * i + 1)).collect();
        let seams: Vec<&str> = seams.iter().map(String::as_str).collect();
        pattern(pieces, &seams)
    };
    let (small, large) = (garment(125), garment(1000));
    let time = |pattern: &Pattern| {
        let once = || {
            let start = std::time::Instant::now();
            assert!(!check(pattern, &Limits::default()).is_empty());
            start.elapsed().as_secs_f64()
        };
        (0..5).map(|_| once()).fold(f64::INFINITY, f64::min)
    };
    let (few, many) = (time(&small), time(&large));
    assert!(many < 30.0 * few, "{few} s for 125 pieces, {many} s for 1000");
}
