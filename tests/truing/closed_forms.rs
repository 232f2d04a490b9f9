//! Girths and walks of shapes whose measures are published or follow from published rules.

use std::f64::consts::TAU;

use kurbo::{Arc, Shape, Vec2};
use retrue::curve::{Curve, Point};
use retrue::pattern::{Cut, Edge, EdgeRef, Finish, Pattern};
use retrue::truing;
use retrue::units::MM_PER_INCH;

use crate::build::{dart, level, of_edges, pattern, piece, rectangle, seam};

/// Far under the 0.1 mm that any tape shows.
const CLOSE: f64 = 1e-6;

fn around(pattern: &Pattern, level: &str) -> f64 {
    let girths = truing::girths(pattern);
    girths.iter().find(|girth| girth.level.as_str() == level).unwrap().around.mm()
}

fn sewn(pattern: &Pattern, edge: &str) -> f64 {
    let edge: EdgeRef = edge.parse().unwrap();
    truing::ledger(pattern).edges.into_iter().find(|(name, _)| *name == edge).unwrap().1
}

/// A dart of 30 mm at a leg of 150 mm is 16, 20, 24, 36, 44 and 50 mm wide at 80, 100, 120, 180, 220 and 250 mm [D].
#[test]
fn a_level_loses_the_dart_at_its_own_width() {
    let half = (30.0_f64 / 300.0).asin();
    let tip = (200.0, 250.0 * half.cos());
    let mut front = rectangle("front", 400.0, 600.0);
    dart(&mut front, "waist-dart", "top", (200.0 - 25.0, 200.0 + 25.0), tip);
    let widths =
        [(80.0, 16.0), (100.0, 20.0), (120.0, 24.0), (180.0, 36.0), (220.0, 44.0), (250.0_f64, 50.0)];
    for (leg, _) in widths {
        let y = tip.1 - leg * half.cos();
        level(&mut front, &format!("at-{leg}"), (0.0, y), (400.0, y));
    }
    level(&mut front, "below", (0.0, tip.1 + 1.0), (400.0, tip.1 + 1.0));
    let pattern = pattern(vec![front], vec![]);
    for (leg, width) in widths {
        let girth = around(&pattern, &format!("at-{leg}"));
        assert!((girth - (400.0 - width)).abs() < CLOSE, "{leg}: {girth}");
    }
    assert!((around(&pattern, "below") - 400.0).abs() < CLOSE);
}

/// Levels that are drawn across the tips of a hip curve, above the chord of the mouth, lose the mouth too.
#[test]
fn a_level_above_the_mouth_loses_the_dart() {
    let mut front = rectangle("front", 400.0, 600.0);
    dart(&mut front, "waist-dart", "top", (180.0, 220.0), (200.0, 100.0));
    level(&mut front, "waist", (0.0, -5.0), (400.0, -5.0));
    assert!((around(&pattern(vec![front], vec![]), "waist") - (400.0 - 42.0)).abs() < CLOSE);
}

/// A double dart takes out its width where it is crossed, and two darts that lie over one another take out their
/// union.
#[test]
fn darts_inside_a_piece_are_taken_out_once() {
    let mut back = rectangle("back", 300.0, 600.0);
    for (name, middle) in [("inner-dart", 100.0), ("outer-dart", 112.0)] {
        let side = |out: f64| {
            Curve::polyline(&[(middle, 200.0), (middle + out, 300.0), (middle, 400.0)].map(Point::from))
                .unwrap()
        };
        let shape = retrue::pattern::DartShape::Double { sides: (side(12.0), side(-12.0)) };
        let (kind, press, kept) = Default::default();
        back.darts.push(retrue::pattern::Dart { name: name.parse().unwrap(), shape, kind, press, kept });
    }
    level(&mut back, "waist", (0.0, 300.0), (300.0, 300.0));
    level(&mut back, "mid-dart", (300.0, 250.0), (0.0, 250.0));
    let pattern = pattern(vec![back], vec![]);
    assert!((around(&pattern, "waist") - (300.0 - 36.0)).abs() < CLOSE);
    assert!((around(&pattern, "mid-dart") - (300.0 - 24.0)).abs() < CLOSE);
}

/// A sector piece of a ring: `waist` inside, `hem` outside, straight `left` and `right`.
fn sector(name: &str, inner: f64, outer: f64, angle: f64) -> retrue::pattern::Piece {
    let arc = |radius: f64, start: f64, sweep: f64| {
        let arc = Arc::new(Point::ORIGIN, Vec2::new(radius, radius), start, sweep, 0.0);
        Curve::from_path(&arc.to_path(1e-9)).unwrap()
    };
    let (hem, waist) = (arc(outer, 0.0, angle), arc(inner, angle, -angle));
    let side = |from: &Curve, to: &Curve| Curve::line(from.end(), to.start()).unwrap();
    let (left, right) = (side(&hem, &waist), side(&waist, &hem));
    let edges = [("hem", hem), ("left", left), ("waist", waist), ("right", right)];
    of_edges(name, edges.map(|(name, curve)| Edge::new(name.parse().unwrap(), curve)).into())
}

/// Circle skirts of a waist of 700 mm: radius 111.41, 148.54, 222.82 and 445.63 mm for a full, three-quarter, half and
/// quarter circle [D]. The waist walks along a straight band without a difference, also at a turn-up of depth h, where
/// the edge is angle times h longer [D].
#[test]
fn circle_skirts_walk_along_their_waistband() {
    for (circle, radius) in [(1.0, 111.41), (0.75, 148.54), (0.5, 222.82), (0.25, 445.63)] {
        let angle = circle * TAU / 2.0;
        let exact = 350.0 / angle;
        assert!((exact - radius).abs() < 0.005, "{circle}");
        let mut skirt = sector("skirt", exact, exact + 600.0, angle);
        skirt.cut = Cut { copies: 2, ..Cut::PAIR };
        let mut band = rectangle("band", 350.0, 30.0);
        band.cut = Cut::PAIR;
        let pattern = pattern(vec![skirt, band], vec![seam("skirt.waist", "-band.hem", 0.0)]);
        let walk = truing::walk_seam(&pattern, pattern.seam_ids().next().unwrap()).unwrap();
        assert!(walk.difference.mm().abs() < 1e-5, "{circle}: {walk:?}");
        assert!((sewn(&pattern, "skirt.hem") - 350.0 - angle * 600.0).abs() < 1e-5);
    }
}

/// A peplum of radius W/3 for a waist of 24 in, half arc 12 in, depth 4 in: 85.94°, outer half arc 18 in (Baldt,
/// *Clothing for Women*, 1916, fig. 41 [S, title M] and [D]).
#[test]
fn a_peplum_has_the_published_arcs() {
    let inch = MM_PER_INCH;
    let angle = 85.94_f64.to_radians();
    let pattern = pattern(vec![sector("peplum", 8.0 * inch, 12.0 * inch, angle)], vec![]);
    assert!((sewn(&pattern, "peplum.waist") / inch - 12.0).abs() < 0.001);
    assert!((sewn(&pattern, "peplum.hem") / inch - 18.0).abs() < 0.002);
}

/// A six-gore skirt at a hip of 40 in: front gore half H/12, back the same, the rest halved: 3⅓, 3⅓, 6⅔, 6⅔ in (Baldt
/// 1916, after fig. 56 [S]).
#[test]
fn six_gores_go_round_the_hip() {
    let hip = 40.0 * MM_PER_INCH;
    let gore = |name: &str, width: f64, centre: Finish| {
        use Finish::{Free, Hem, Seam};
        let mut gore = piece(
            name,
            &[
                ("top", Free, 0.0, 0.0),
                ("side", Seam, width, 0.0),
                ("hem", Hem, width, 700.0),
                ("centre", centre, 0.0, 700.0),
            ],
        );
        gore.cut = if centre == Finish::Fold { Cut::ONE } else { Cut::PAIR };
        level(&mut gore, "hip", (0.0, 200.0), (width, 200.0));
        gore
    };
    let (half, whole) = (hip / 12.0, hip / 6.0);
    let pieces = vec![
        gore("front", half, Finish::Fold),
        gore("back", half, Finish::Fold),
        gore("front-side", whole, Finish::Seam),
        gore("back-side", whole, Finish::Seam),
    ];
    let pattern = pattern(pieces, vec![]);
    assert!((around(&pattern, "hip") - hip).abs() < CLOSE);
    let girth = &truing::girths(&pattern)[0];
    let inches: Vec<f64> = girth.parts.iter().map(|part| part.width.mm() / MM_PER_INCH).collect();
    for (width, published) in inches.iter().zip([10.0 / 3.0, 10.0 / 3.0, 20.0 / 3.0, 20.0 / 3.0]) {
        assert!((width - published).abs() < CLOSE);
    }
}

/// Net area counts all copies, half pieces twice, darts folded out; sewn lengths skip the mouths.
#[test]
fn the_ledger_counts_what_is_sewn() {
    let mut front = piece(
        "front",
        &[
            ("top", Finish::Free, 0.0, 0.0),
            ("side", Finish::Seam, 200.0, 0.0),
            ("hem", Finish::Hem, 200.0, 500.0),
            ("centre", Finish::Fold, 0.0, 500.0),
        ],
    );
    dart(&mut front, "waist-dart", "top", (90.0, 110.0), (100.0, 80.0));
    front.cut = Cut { copies: 3, ..Cut::ONE };
    let pattern = pattern(vec![front], vec![]);
    assert!((sewn(&pattern, "front.top") - 180.0).abs() < CLOSE);
    let ledger = truing::ledger(&pattern);
    assert!((ledger.net_area - 6.0 * (200.0 * 500.0 - 800.0)).abs() < 1e-3);
    assert_eq!(ledger.edges.len(), 4);
}
