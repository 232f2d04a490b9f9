//! Pieces to draw cutting lines around.

use kurbo::{CubicBez, PathSeg};
use retrue::allowance::{CuttingLine, cutting_line};
use retrue::curve::{Curve, Point, Vec2};
use retrue::pattern::{
    Dart, DartShape, Edge, EdgeId, Finish, Mouth, Pattern, Piece, Press, Run, RunEdge, Seam, Travel,
};
use retrue::units::Length;

pub fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

pub fn cubic(a: Point, b: Point, c: Point, d: Point) -> Curve {
    Curve::new([PathSeg::Cubic(CubicBez::new(a, b, c, d))]).unwrap()
}

/// The curve from one point to another whose middle stands off the chord by a share of its length, outward where
/// positive on a clockwise outline.
pub fn bowed(from: Point, to: Point, share: f64) -> Curve {
    let chord = to - from;
    let out = Vec2::new(chord.y, -chord.x) * (share * 4.0 / 3.0);
    cubic(from, from + chord / 3.0 + out, to - chord / 3.0 + out, to)
}

pub fn straight(from: Point, to: Point) -> Curve {
    Curve::line(from, to).unwrap()
}

pub fn edge(name: &str, curve: Curve, finish: Finish, allowance: f64) -> Edge {
    Edge { finish, allowance: Length::from_mm(allowance), ..Edge::new(name.parse().unwrap(), curve) }
}

pub fn seam_edge(name: &str, curve: Curve, allowance: f64) -> Edge {
    edge(name, curve, Finish::Seam, allowance)
}

pub fn piece(name: &str, edges: Vec<Edge>) -> Piece {
    Piece::new(name.parse().unwrap(), edges).unwrap()
}

/// A piece with straight edges `a`, `b`, `c` … between points, all of one allowance.
pub fn polygon(points: &[Point], allowance: f64) -> Piece {
    let count = points.len();
    let edges = (0..count).map(|i| {
        let name = char::from(b'a' + u8::try_from(i).unwrap()).to_string();
        seam_edge(&name, straight(points[i], points[(i + 1) % count]), allowance)
    });
    piece("shape", edges.collect())
}

pub fn id(piece: &Piece, name: &str) -> EdgeId {
    piece.edge_named(&name.parse().unwrap()).unwrap()
}

pub fn alone(piece: &Piece) -> CuttingLine {
    let pattern = Pattern::new(vec![piece.clone()], Vec::new()).unwrap();
    cutting_line(&pattern, piece).unwrap()
}

pub fn loop_of(line: &CuttingLine) -> Curve {
    Curve::from_path(&line.path).unwrap()
}

/// A seam of two edges walked from the corners at which `from` and the partner's `from` end.
pub fn seam(first: (&str, Travel), second: (&str, Travel)) -> Seam {
    let run = |(edge, travel): (&str, Travel)| {
        Run::new(vec![RunEdge { edge: edge.parse().unwrap(), travel }]).unwrap()
    };
    Seam { first: run(first), second: run(second), ease: Length::ZERO }
}

/// A dart with straight legs of equal length: its tip stands square over the middle of the mouth.
pub fn dart(piece: &Piece, edge: &str, (from, to): (f64, f64), depth: f64, press: Press) -> Dart {
    let curve = &piece.edge(id(piece, edge)).curve;
    let (a, b) = (curve.point_at(from), curve.point_at(to));
    let chord = (b - a).normalize();
    let tip = a.midpoint(b) + depth * Vec2::new(-chord.y, chord.x);
    let mouth = Mouth { edge: edge.parse().unwrap(), from, to };
    let shape = DartShape::Open { mouth, legs: (straight(a, tip), straight(b, tip)) };
    Dart { name: "dart".parse().unwrap(), shape, kind: Default::default(), press, kept: Default::default() }
}

/// Points along a curve, evenly spread, its ends left out.
pub fn places(curve: &Curve, count: usize) -> impl Iterator<Item = (f64, Point)> + '_ {
    (1..count).map(move |i| {
        let at = curve.length() * i as f64 / count as f64;
        (at, curve.point_at(at))
    })
}
