//! Widths and lengths against other libraries.

use clipper2_rust::{FillRule, PathD, PathsD, Point as ClipperPoint, difference_d, intersect_d};
use lyon_geom::{CubicBezierSegment, LineSegment, point};
use proptest::prelude::*;
use retrue::curve::{Curve, PathSeg, Point};
use retrue::pattern::Piece;
use retrue::truing::{girths, ledger};

use crate::draw::{level, pattern};
use crate::laws::half;

fn polygon(curves: &[Curve]) -> PathD {
    let points = curves.iter().flat_map(|curve| {
        let mut points = curve.flattened(1e-3);
        points.pop();
        points
    });
    points.map(|at| ClipperPoint { x: at.x, y: at.y }).collect()
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
    const HALF: f64 = 0.05;
    let cloth: PathsD = vec![polygon(piece.outline().curves())];
    let darts: PathsD = piece.darts.iter().map(|dart| polygon(&dart.boundary())).collect();
    let net = difference_d(&cloth, &darts, FillRule::NonZero, 6);
    let corner = |x: f64, y: f64| ClipperPoint { x, y };
    let band = vec![vec![
        corner(-1e3, y - HALF),
        corner(1e3, y - HALF),
        corner(1e3, y + HALF),
        corner(-1e3, y + HALF),
    ]];
    area(&intersect_d(&net, &band, FillRule::NonZero, 6)) / (2.0 * HALF)
}

fn length_by_lyon(curve: &Curve) -> f64 {
    let at = |p: Point| point(p.x, p.y);
    let length = |segment: &PathSeg| match segment {
        PathSeg::Line(line) => LineSegment { from: at(line.p0), to: at(line.p1) }.length(),
        other => {
            let c = other.to_cubic();
            CubicBezierSegment { from: at(c.p0), ctrl1: at(c.p1), ctrl2: at(c.p2), to: at(c.p3) }
                .approximate_length(1e-7)
        }
    };
    curve.segments().iter().map(length).sum()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Oracle: `clipper2-rust`, which cuts a band of 0.1 mm out of the flattened piece.
    #[test]
    fn a_level_is_as_wide_as_another_library_finds(piece in half(), share in 0.02..0.95_f64) {
        let y = 400.0 * share;
        let piece = level(piece, "here", (-50.0, y), (350.0, y));
        let inside = piece.outline().crossings_with(&Curve::line((-50.0, y).into(), (350.0, y).into()).unwrap());
        prop_assume!(inside.len() == 2);
        let mut piece = piece;
        piece.levels[0].stretches = vec![(inside[0].point, inside[1].point)];
        let clipped = width_by_clipping(&piece, y);
        let mine = girths(&pattern(vec![piece.clone()], &[]))[0].parts[0].1.mm();
        prop_assert!((mine - clipped).abs() < 5e-3, "{mine} against {clipped}");
    }

    /// Oracle: `lyon_geom`; the mouth is what lies between two places of the waist, cut out by its own splitting.
    #[test]
    fn sewn_lengths_are_as_another_library_finds(piece in half()) {
        let ledger = ledger(&pattern(vec![piece.clone()], &[]));
        for (edge, sewn) in &ledger.edges {
            let id = piece.find_edge(&edge.edge).unwrap();
            let whole = length_by_lyon(&piece.edge(id).curve);
            let mouths: f64 = piece.mouths_on(&edge.edge).iter().map(|(_, m)| {
                length_by_lyon(&piece.edge(id).curve.stretch(m.from, m.to).unwrap())
            }).sum();
            prop_assert!((whole - mouths - sewn).abs() < 1e-3, "{edge}: {whole} - {mouths} against {sewn}");
        }
    }
}
