//! Random curves of the size of pattern pieces.

use kurbo::{CubicBez, Line, PathSeg, Point, Vec2};
use proptest::prelude::*;
use retrue::curve::{Curve, Outline};

pub fn point() -> impl Strategy<Value = Point> {
    (-300.0..300.0, -300.0..300.0).prop_map(Point::from)
}

/// Any cubic, loops and cusps included.
pub fn wild_cubic() -> impl Strategy<Value = Curve> {
    [point(), point(), point(), point()].prop_filter_map("has length", |[a, b, c, d]| {
        Curve::new([PathSeg::Cubic(CubicBez::new(a, b, c, d))]).ok()
    })
}

/// One to five lines and cubics in a row, corners and loops included.
pub fn wild_run() -> impl Strategy<Value = Curve> {
    let step = (any::<bool>(), [point(), point(), point()]);
    (point(), prop::collection::vec(step, 1..5)).prop_filter_map("has length", |(start, steps)| {
        let mut from = start;
        let segments: Vec<PathSeg> = steps
            .into_iter()
            .map(|(straight, [b, c, d])| {
                let begin = std::mem::replace(&mut from, d);
                if straight {
                    PathSeg::Line(Line::new(begin, d))
                } else {
                    PathSeg::Cubic(CubicBez::new(begin, b, c, d))
                }
            })
            .collect();
        Curve::new(segments).ok()
    })
}

/// A cubic that bends like an armhole or a hem at most: 50 to 600 mm, handles near its thirds and within 45° of the
/// chord.
pub fn gentle_cubic() -> impl Strategy<Value = Curve> {
    let handle = || (0.25..0.42, -0.75..0.75_f64);
    (point(), 50.0..600.0, -3.1..3.1_f64, handle(), handle()).prop_map(
        |(start, chord, heading, (reach0, angle0), (reach1, angle1))| {
            let end = start + chord * Vec2::from_angle(heading);
            let b = start + chord * reach0 * Vec2::from_angle(heading + angle0);
            let c = end - chord * reach1 * Vec2::from_angle(heading + angle1);
            Curve::new([PathSeg::Cubic(CubicBez::new(start, b, c, end))]).unwrap()
        },
    )
}

/// A smooth run through points that go forward, as a hem or a long side seam.
pub fn gentle_run() -> impl Strategy<Value = Curve> {
    prop::collection::vec((60.0..150.0, -12.0..12.0_f64), 3..7).prop_map(|steps| {
        let mut x = 0.0;
        let points: Vec<Point> = steps
            .into_iter()
            .map(|(step, y)| {
                x += step;
                Point::new(x, y)
            })
            .collect();
        Curve::smooth_through(&points).unwrap()
    })
}

/// A closed ring of four to nine curved edges round a centre, clockwise as seen and free of crossings.
pub fn outline() -> impl Strategy<Value = Outline> {
    (prop::collection::vec((150.0..320.0, -0.12..0.12_f64), 4..10), point()).prop_map(|(spokes, centre)| {
        let step = std::f64::consts::TAU / spokes.len() as f64;
        let corner = |i: usize| -> Point {
            let (radius, _) = spokes[i % spokes.len()];
            centre + radius * Vec2::from_angle(step * i as f64)
        };
        let edge = |i: usize| {
            let (from, to) = (corner(i), corner(i + 1));
            let chord: Vec2 = to - from;
            let bow = spokes[i].1 * Vec2::new(chord.y, -chord.x);
            let cubic = CubicBez::new(from, from + chord / 3.0 + bow, to - chord / 3.0 + bow, to);
            Curve::new([PathSeg::Cubic(cubic)]).unwrap()
        };
        Outline::new((0..spokes.len()).map(edge)).unwrap()
    })
}

/// An ellipse of four cubics, clockwise as seen: convex and smooth.
pub fn ellipse(width: f64, height: f64) -> Outline {
    let kappa = 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
    let at = |x: f64, y: f64| Point::new(width / 2.0 * x, height / 2.0 * y);
    let quarter = |x0: f64, y0: f64, x1: f64, y1: f64| {
        let from = at(x0 + kappa * x1, y0 + kappa * y1);
        let to = at(x1 + kappa * x0, y1 + kappa * y0);
        Curve::new([PathSeg::Cubic(CubicBez::new(at(x0, y0), from, to, at(x1, y1)))]).unwrap()
    };
    Outline::new([
        quarter(1.0, 0.0, 0.0, 1.0),
        quarter(0.0, 1.0, -1.0, 0.0),
        quarter(-1.0, 0.0, 0.0, -1.0),
        quarter(0.0, -1.0, 1.0, 0.0),
    ])
    .unwrap()
}

/// Points at even parameters of each segment, by de Casteljau's construction written out here.
pub fn sampled(curve: &Curve, steps: usize) -> Vec<Point> {
    let mut points = vec![curve.start()];
    for segment in curve.segments() {
        for k in 1..=steps {
            let t = k as f64 / steps as f64;
            points.push(match segment {
                PathSeg::Line(line) => line.p0.lerp(line.p1, t),
                PathSeg::Cubic(c) => {
                    let (ab, bc, cd) = (c.p0.lerp(c.p1, t), c.p1.lerp(c.p2, t), c.p2.lerp(c.p3, t));
                    ab.lerp(bc, t).lerp(bc.lerp(cd, t), t)
                }
                PathSeg::Quad(_) => panic!("a curve holds no quadratic segment"),
            });
        }
    }
    points
}

/// The distance of a point from a line between two.
pub fn off_line(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(along) / along.hypot2()).clamp(0.0, 1.0);
    (p - a.lerp(b, if t.is_nan() { 0.0 } else { t })).hypot()
}

/// The distance of a point from a polygon through points.
pub fn off_polygon(p: Point, polygon: &[Point]) -> f64 {
    polygon.windows(2).map(|pair| off_line(p, pair[0], pair[1])).fold(f64::INFINITY, f64::min)
}
