//! The figures of darts: their widths and angles where they are moved and shortened, worked out by hand.

use approx::assert_abs_diff_eq;
use retrue::curve::{Curve, Motion, Point, Radians, Vec2};
use retrue::pattern::{Dart, DartShape, Edge, Kept, Mouth, NamedPoint, Pattern, Piece, Press};
use retrue::recut::Step;

fn only_dart(pattern: &Pattern) -> &Dart {
    &pattern.pieces().next().unwrap().darts[0]
}

/// A piece 600 mm wide with one dart in its upper edge: legs of a length, and an angle. Its lower edge lies `below` the
/// tip, which is marked as the point.
fn darted_square(leg: f64, degrees: f64, below: f64) -> Pattern {
    let tip = Point::new(300.0, 300.0);
    let turned = |degrees: f64| Motion::turn_about(tip, Radians(degrees.to_radians()));
    let top = tip - Vec2::new(0.0, leg);
    let (from, to) = (turned(-degrees / 2.0).apply(top), turned(degrees / 2.0).apply(top));
    let p = Point::new;
    let edge =
        |name: &str, points: &[Point]| Edge::new(name.parse().unwrap(), Curve::polyline(points).unwrap());
    let low = tip.y + below;
    let edges = vec![
        edge("top", &[p(0.0, from.y), from, to, p(600.0, from.y)]),
        edge("right", &[p(600.0, from.y), p(600.0, low)]),
        edge("bottom", &[p(600.0, low), p(0.0, low)]),
        edge("left", &[p(0.0, low), p(0.0, from.y)]),
    ];
    let mut square = Piece::new("square".parse().unwrap(), edges).unwrap();
    square.darts.push(Dart {
        name: "dart".parse().unwrap(),
        shape: DartShape::Open {
            mouth: Mouth { edge: "top".parse().unwrap(), from: from.x, to: to.x },
            legs: (Curve::line(from, tip).unwrap(), Curve::line(to, tip).unwrap()),
        },
        kind: Default::default(),
        press: Press::Usual,
        kept: Kept::default(),
    });
    square.points.push(NamedPoint {
        name: "point".parse().unwrap(),
        at: tip,
        radius: 3.0,
        kept: Kept::default(),
    });
    Pattern::new(vec![square], Vec::new()).unwrap()
}

/// The dart of such a piece moved to the middle of its lower edge.
fn moved_down(pattern: &Pattern, stand_off: &str) -> Dart {
    let fields = serde_json::json!({
        "piece": "square", "dart": "dart", "to": "bottom@50%", "about": "point", "stand-off": stand_off
    });
    let recut = Step::read("pivot-dart", fields).unwrap().apply(pattern).unwrap();
    recut.pattern.assert_sound();
    only_dart(&recut.pattern).clone()
}

fn width_of(dart: &Dart) -> f64 {
    dart.legs().0.start().distance(dart.legs().1.start())
}

/// Mouth i at leg length L: angle = 2·asin(i / 2L). 30 mm at 150 mm is 11.478°; the same dart is 16, 20, 24, 36, 44 and
/// 50 mm wide at 80, 100, 120, 180, 220 and 250 mm [D].
#[test]
fn the_same_dart_is_wider_where_it_is_longer() {
    let angle = 2.0 * (30.0_f64 / 300.0).asin().to_degrees();
    for (length, width) in
        [(80.0, 16.0), (100.0, 20.0), (120.0, 24.0), (180.0, 36.0), (220.0, 44.0), (250.0, 50.0)]
    {
        let pattern = darted_square(150.0, angle, length);
        let old = only_dart(&pattern);
        assert_abs_diff_eq!(old.angle().unwrap(), 11.478, epsilon = 5e-4);
        assert_abs_diff_eq!(width_of(old), 30.0, epsilon = 1e-9);
        assert_abs_diff_eq!(width_of(&moved_down(&pattern, "0mm")), width, epsilon = 1e-6);
    }
}

/// A tip shortened with the mouth fixed changes the angle: a mouth of 40 mm, its axis shortened from 200 to 175 mm, goes
/// from 11.42° to 13.04° [D]. So it is turned about the point first and shortened after.
#[test]
fn a_shortened_dart_has_a_wider_angle() {
    let leg = 200.0_f64.hypot(20.0);
    let angle = 2.0 * (20.0 / leg).asin().to_degrees();
    assert_abs_diff_eq!(angle, 11.42, epsilon = 5e-3);
    let pattern = darted_square(leg, angle, leg);
    let (whole, short) = (moved_down(&pattern, "0mm"), moved_down(&pattern, "25mm"));
    assert_abs_diff_eq!(whole.angle().unwrap(), 11.42, epsilon = 5e-3);
    assert_abs_diff_eq!(short.angle().unwrap(), 13.04, epsilon = 5e-3);
    assert_abs_diff_eq!(width_of(&whole), 40.0, epsilon = 1e-6);
    assert_abs_diff_eq!(width_of(&short), 40.0, epsilon = 1e-6);
}
