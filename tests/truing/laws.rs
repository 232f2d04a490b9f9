//! Laws over random pieces: what is measured does not depend on where pieces lie nor which side is up.

use std::collections::BTreeSet;

use clipper2_rust::{FillRule, PathD, PathsD, Point as ClipperPoint, difference_d, intersect_d};
use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Radians};
use retrue::pattern::{Cut, NotchCount, Pattern, Piece};
use retrue::truing::{Finding, GirthPart, Limits, SeamWalk, check, girths, walk_seam};
use retrue::units::Length;

use crate::counted::kept_in;
use crate::draw::{cut, dart, double_dart, level, moved, notch, pattern, piece};

/// Half a skirt with a waist dart, a double dart, a shaped side and a hem that is not square.
fn half() -> impl Strategy<Value = Piece> {
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
                100.0 + at / 30.0,
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

/// The lengths and angles of a walk; ends in the order of the edges beyond them, since a mirrored piece is walked the
/// other way round.
fn numbers(walk: &SeamWalk) -> Vec<f64> {
    let mut ends: Vec<_> = walk.ends.iter().collect();
    ends.sort_by_key(|end| end.beyond.0.edge.clone());
    let mut numbers = vec![walk.lengths.0.mm(), walk.lengths.1.mm(), walk.difference.mm()];
    numbers.extend(ends.iter().flat_map(|end| [end.angles.0, end.angles.1, end.kink()]));
    numbers
}

/// What is found on a pattern, whichever way its seams are walked: kind, place and size to a thousandth.
fn found(pattern: &Pattern) -> Vec<String> {
    let any_drift = Limits { notch: Length::from_mm(1e3).into(), ..Limits::default() };
    let show = |finding: Finding| {
        let places: BTreeSet<&str> = finding.at.split([' ', ',']).collect();
        format!("{:?} at {places:?}: {:.3} {:?}", finding.kind, finding.number.abs(), finding.weight)
    };
    let mut found: Vec<String> = check(pattern, &any_drift).into_iter().map(show).collect();
    found.sort();
    found
}

fn alike(before: &[f64], after: &[f64]) -> bool {
    before.len() == after.len() && before.iter().zip(after).all(|(a, b)| (a - b).abs() < 1e-6)
}

/// The library rounds to six decimals: what it is given is so many times larger, so that they say more.
const FINER: f64 = 100.0;

fn polygon(curves: &[Curve]) -> PathD {
    let points = curves.iter().flat_map(|curve| {
        const PLACES: u32 = 2000;
        let at = |place| curve.point_at(curve.length() * f64::from(place) / f64::from(PLACES));
        (0..PLACES).map(at).collect::<Vec<_>>()
    });
    points.map(|at| ClipperPoint { x: at.x * FINER, y: at.y * FINER }).collect()
}

fn area(paths: &PathsD) -> f64 {
    let cross = |path: &PathD| {
        let next = path.iter().cycle().skip(1);
        path.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
    };
    paths.iter().map(cross).sum::<f64>().abs()
}

/// The mean width of a piece, its darts cut out, in a thin band about a level.
fn width_by_clipping(piece: &Piece, y: f64) -> f64 {
    const HALF: f64 = 0.01;
    let cloth: PathsD = vec![polygon(piece.outline().curves())];
    let darts: PathsD = piece.darts.iter().map(|dart| polygon(&dart.boundary())).collect();
    let net = difference_d(&cloth, &darts, FillRule::NonZero, 6);
    let corner = |x: f64, y: f64| ClipperPoint { x: x * FINER, y: y * FINER };
    let band = vec![vec![
        corner(-1e3, y - HALF),
        corner(1e3, y - HALF),
        corner(1e3, y + HALF),
        corner(-1e3, y + HALF),
    ]];
    area(&intersect_d(&net, &band, FillRule::NonZero, 6)) / (FINER * FINER * 2.0 * HALF)
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/truing_laws.txt", 256))]

    /// Moving, turning and mirroring each piece by itself changes no girth, no walk and no finding.
    #[test]
    fn where_pieces_lie_changes_nothing(pieces in garment(), motions in [motion(), motion()]) {
        let before = sewn(pieces.clone());
        let [front, back] = &pieces;
        let after = sewn([moved(front, &motions[0]), moved(back, &motions[1])]);
        let around = |pattern: &Pattern| girths(pattern).iter().map(|g| g.around.mm()).collect::<Vec<_>>();
        prop_assert!(alike(&around(&before), &around(&after)));
        for id in before.seam_ids() {
            let [a, b] = [&before, &after].map(|pattern| numbers(&walk_seam(pattern, id).unwrap()));
            prop_assert!(alike(&a, &b), "{a:?} {b:?}");
        }
        prop_assert_eq!(found(&before), found(&after));
    }

    /// Oracle: `clipper2-rust`, which cuts a band of 0.02 mm out of the piece as a polygon of 2,000 places on each
    /// edge.
    #[test]
    fn a_level_is_as_wide_as_another_library_finds(piece in half(), share in 0.02..0.95_f64) {
        let y = 400.0 * share;
        let piece = level(piece, "here", (-50.0, y), (350.0, y));
        let inside = piece.outline().crossings_with(&Curve::line((-50.0, y).into(), (350.0, y).into()).unwrap());
        prop_assume!(inside.len() == 2);
        let mut piece = piece;
        piece.levels[0].stretches = vec![(inside[0].point, inside[1].point)];
        let clipped = width_by_clipping(&piece, y);
        let mine = girths(&pattern(vec![piece.clone()], &[]))[0].parts[0].width.mm();
        prop_assert!((mine - clipped).abs() < 5e-3, "{mine} against {clipped}");
    }

    /// A notch moved along its edge by `d` drifts by `d`.
    #[test]
    fn a_notch_moved_drifts_by_as_much(front in half(), at in 60.0..300.0_f64, by in -19.0..19.0_f64) {
        let mirror = Motion::mirror_in(Point::new(-30.0, 0.0), Point::new(-30.0, 1.0)).unwrap();
        let mut front = front;
        front.notches[0].at = at;
        let back = moved(&front, &mirror).renamed("back".parse().unwrap());
        front.notches[0].at = at + by;
        let pattern = sewn([front, back]);
        let walk = walk_seam(&pattern, pattern.seam_named(&"front.side".parse().unwrap(), None).unwrap()).unwrap();
        prop_assert_eq!(walk.pairs.len(), 1);
        prop_assert!((walk.pairs[0].drift.mm().abs() - by.abs()).abs() < 1e-6);
    }

    /// Whole girth is the sum over the copies, whatever is cut of which piece.
    #[test]
    fn girth_adds_up_over_copies(pieces in garment(), copies in 1..5_u32) {
        let [front, mut back] = pieces;
        back.cut.copies = 2 * copies;
        let girths = girths(&sewn([front, back]));
        let [GirthPart { width: front, .. }, GirthPart { width: back, .. }] = &girths[0].parts[..] else { panic!("both carry the level") };
        let expected = 2.0 * front.mm() + f64::from(2 * copies) * back.mm();
        prop_assert!((girths[0].around.mm() - expected).abs() < 1e-9);
    }
}
