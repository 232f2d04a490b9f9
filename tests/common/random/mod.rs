//! Random fronts and backs: blocks down to a hem, and bodices with true darts, sewn to one another and to a binding.
//! `random_bodice` beside it is what chains of operations begin with: levels there end on the sides.

#![allow(dead_code, reason = "each test binary uses a part of it")]

use retrue::curve::{Curve, Motion, PathSeg, Point};
use retrue::pattern::{
    Cut, Dart, DartShape, Edge, EdgeRef, Finish, GirthUse, Grainline, Kept, Level, Mouth, NamedPoint, Notch,
    NotchCount, Pattern, Piece, Press, Run, RunEdge, Seam, Travel, Walk,
};
use retrue::units::Length;

pub mod block;
pub mod bodice;

fn cubic(a: Point, b: Point, c: Point, d: Point) -> Curve {
    Curve::new([PathSeg::Cubic(kurbo::CubicBez::new(a, b, c, d))]).unwrap()
}

fn edge(name: &str, curve: Curve, finish: Finish, allowance: f64) -> Edge {
    let allowance = Length::from_mm(allowance);
    Edge { finish, allowance, ..Edge::new(name.parse().unwrap(), curve) }
}

/// Which way round edges that were drawn one after the other are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    AsDrawn,
    Backward,
}

/// The piece of a name with these edges, carried by a motion.
fn laid(name: &str, edges: Vec<Edge>, motion: &Motion, order: Order) -> Piece {
    let carried = edges.into_iter().map(|edge| {
        let curve = edge.curve.moved(motion);
        Edge { curve: if order == Order::Backward { curve.reversed() } else { curve }, ..edge }
    });
    let mut edges: Vec<Edge> = carried.collect();
    if order == Order::Backward {
        edges.reverse();
    }
    Piece::new(name.parse().unwrap(), edges).unwrap()
}

fn dart(name: &str, shape: DartShape) -> Dart {
    let name = name.parse().unwrap();
    Dart { name, shape, kind: Default::default(), press: Press::Usual, kept: Kept::default() }
}

/// A dart that opens on an edge, with straight legs.
fn open_dart(name: &str, edge: &str, (from, to): (f64, f64), (a, b): (Point, Point), tip: Point) -> Dart {
    let mouth = Mouth { edge: edge.parse().unwrap(), from, to };
    let legs = (Curve::line(a, tip).unwrap(), Curve::line(b, tip).unwrap());
    dart(name, DartShape::Open { mouth, legs })
}

fn grainline(start: Point, end: Point) -> Option<Grainline> {
    Some(Grainline { start, end, arrows: Default::default(), kept: Kept::default() })
}

fn level(name: &str, from: Point, to: Point) -> Level {
    let (name, stretches) = (name.parse().unwrap(), vec![(from, to)]);
    Level { name, stretches, girth: GirthUse::Counts, kept: Kept::default() }
}

fn named_point(name: &str, at: Point) -> NamedPoint {
    NamedPoint { name: name.parse().unwrap(), at, radius: 3.0, kept: Kept::default() }
}

/// A notch at a share of what is sewn of an edge.
fn notch(piece: &Piece, name: &str, edge: &str, share: f64) -> Notch {
    let id = piece.find_edge(&edge.parse().unwrap()).unwrap();
    let at = piece.from_sewn(id, piece.sewn_length(id) * share);
    Notch::new(name.parse().unwrap(), edge.parse().unwrap(), at, NotchCount::Single)
}

/// An edge of a run, by the edge at whose corner the walk along it starts.
fn run_edge(piece: &Piece, edge: &str, from: &str) -> RunEdge {
    let id = piece.find_edge(&edge.parse().unwrap()).unwrap();
    let previous = &piece.edge(piece.previous(id)).name;
    let travel = if previous.as_str() == from { Travel::Clockwise } else { Travel::Anticlockwise };
    RunEdge { edge: EdgeRef::new(piece.name().clone(), edge.parse().unwrap()), travel }
}

fn seam(first: Vec<RunEdge>, second: Vec<RunEdge>) -> Seam {
    Seam { first: Run::new(first).unwrap(), second: Run::new(second).unwrap(), ease: Length::ZERO }
}

/// Side seams from the underarm down, shoulder seams, and a binding around both armholes.
fn sewn_with_binding(front: Piece, back: Piece) -> Pattern {
    let binding = binding([&front, &back].map(|piece| sewn_length(piece, "armhole")).iter().sum());
    let mut seams = vec![
        seam(vec![run_edge(&front, "side", "armhole")], vec![run_edge(&back, "side", "armhole")]),
        seam(vec![run_edge(&front, "shoulder", "neck")], vec![run_edge(&back, "shoulder", "neck")]),
        seam(
            vec![run_edge(&binding, "long", "end")],
            vec![run_edge(&front, "armhole", "side"), run_edge(&back, "armhole", "shoulder")],
        ),
    ];
    for piece in [&front, &back] {
        let centre = piece.edge(piece.find_edge(&"centre".parse().unwrap()).unwrap());
        if centre.finish == Finish::Seam {
            let own = run_edge(piece, "centre", "neck");
            let other = RunEdge { edge: own.edge.mirrored(), ..own.clone() };
            seams.push(seam(vec![own], vec![other]));
        }
    }
    let pattern = Pattern::new(vec![front, back, binding], seams).unwrap();
    pattern.assert_sound();
    pattern
}

/// The pattern with every difference of two seamlines declared as ease.
fn with_ease(mut pattern: Pattern) -> Pattern {
    for id in pattern.seam_ids() {
        let mut seam = pattern.seam(id).clone();
        let length = |run: &Run| Walk::of(&pattern, run).unwrap().length();
        seam.ease = Length::from_mm(length(&seam.first) - length(&seam.second));
        pattern.replace_seam(id, seam).unwrap();
    }
    pattern.assert_sound();
    pattern
}

/// A straight binding of a length, 30 mm deep.
pub fn binding(length: f64) -> Piece {
    let p = |x: f64, y: f64| Point::new(x, y + 6000.0);
    let line = |a, b| Curve::line(a, b).unwrap();
    let edges = vec![
        edge("long", line(p(0.0, 0.0), p(length, 0.0)), Finish::Seam, 6.0),
        edge("start", line(p(length, 0.0), p(length, 30.0)), Finish::Free, 6.0),
        edge("outer", line(p(length, 30.0), p(0.0, 30.0)), Finish::Free, 6.0),
        edge("end", line(p(0.0, 30.0), p(0.0, 0.0)), Finish::Free, 6.0),
    ];
    let mut piece = Piece::new("binding".parse().unwrap(), edges).unwrap();
    piece.cut = Cut::PAIR;
    piece
}

/// The sewn length of an edge by its name.
pub fn sewn_length(piece: &Piece, edge: &str) -> f64 {
    piece.sewn_length(piece.find_edge(&edge.parse().unwrap()).unwrap())
}
