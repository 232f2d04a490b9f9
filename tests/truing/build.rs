//! Pieces and patterns drawn in a few words.

use retrue::curve::{Curve, Motion, Point};
use retrue::pattern::{
    Dart, DartShape, Edge, EdgeName, EdgeRef, Finish, GirthUse, Grainline, Level, Mouth, Notch, NotchCount,
    Pattern, Piece, Run, RunEdge, Seam, Travel, Unsewn, settle,
};
use retrue::units::Length;

/// A straight edge that begins here and runs to where the next begins.
pub type Corner = (&'static str, Finish, f64, f64);

/// A piece with straight edges and a grainline down the sheet. Edges that no seam holds are meant so.
pub fn piece(name: &str, corners: &[Corner]) -> Piece {
    let end = |i: usize| corners[(i + 1) % corners.len()];
    let edges = corners.iter().enumerate().map(|(i, (name, finish, x, y))| {
        let (_, _, to_x, to_y) = end(i);
        let curve = Curve::line(Point::new(*x, *y), Point::new(to_x, to_y)).unwrap();
        let edge = Edge::new(name.parse().unwrap(), curve);
        Edge { finish: *finish, allowance: Length::from_mm(15.0), unsewn: Unsewn::Meant, ..edge }
    });
    of_edges(name, edges.collect())
}

/// A piece of edges, with a grainline down the sheet.
pub fn of_edges(name: &str, edges: Vec<Edge>) -> Piece {
    let mut piece = Piece::new(name.parse().unwrap(), edges).unwrap();
    let middle = piece.bounds().center();
    grain(&mut piece, middle, middle + kurbo::Vec2::new(0.0, 10.0));
    piece
}

/// Draws the grainline anew.
pub fn grain(piece: &mut Piece, start: Point, end: Point) {
    let (arrows, kept) = Default::default();
    piece.grainline = Some(Grainline { start, end, arrows, kept });
}

/// A rectangle with its corner at the origin: `top`, `side`, `hem`, `centre`, clockwise from the corner.
pub fn rectangle(name: &str, width: f64, height: f64) -> Piece {
    use Finish::{Free, Hem, Seam};
    let corners = [
        ("top", Free, 0.0, 0.0),
        ("side", Seam, width, 0.0),
        ("hem", Hem, width, height),
        ("centre", Seam, 0.0, height),
    ];
    piece(name, &corners)
}

/// Draws a level.
pub fn level(piece: &mut Piece, name: &str, from: (f64, f64), to: (f64, f64)) {
    let stretches = vec![(from.into(), to.into())];
    let (name, kept) = (name.parse().unwrap(), Default::default());
    piece.levels.push(Level { name, stretches, girth: GirthUse::Counts, kept });
}

/// Draws an open dart with straight legs on an edge.
pub fn dart(piece: &mut Piece, name: &str, edge: &str, (from, to): (f64, f64), tip: (f64, f64)) {
    let edge: EdgeName = edge.parse().unwrap();
    let id = piece.edge_named(&edge).unwrap();
    let leg = |at: f64| Curve::line(piece.point_on(id, at), tip.into()).unwrap();
    let shape = DartShape::Open { mouth: Mouth { edge, from, to }, legs: (leg(from), leg(to)) };
    let (kind, press, kept) = Default::default();
    piece.darts.push(Dart { name: name.parse().unwrap(), shape, kind, press, kept });
}

/// Sets a single notch on an edge at a walk distance.
pub fn notch(piece: &mut Piece, name: &str, edge: &str, at: f64) {
    piece.notches.push(Notch::new(name.parse().unwrap(), edge.parse().unwrap(), at, NotchCount::Single));
}

/// A seam of two runs, each written as `back.side` where it is walked clockwise and `-back.side` where against.
pub fn seam(first: &str, second: &str, ease: f64) -> Seam {
    let run = |names: &str| {
        let edge = |name: &str| {
            let (travel, name) = match name.strip_prefix('-') {
                Some(name) => (Travel::Anticlockwise, name),
                None => (Travel::Clockwise, name),
            };
            RunEdge { edge: name.parse::<EdgeRef>().unwrap(), travel }
        };
        Run::new(names.split(' ').map(edge).collect()).unwrap()
    };
    Seam { first: run(first), second: run(second), ease: Length::from_mm(ease) }
}

/// A seam whose edges on a mirrored half are those of the opened piece.
pub fn settled(pattern: &Pattern, seam: &Seam) -> Seam {
    let run = |run: &Run| {
        let settled = |run: &RunEdge| RunEdge { edge: settle(pattern, &run.edge), ..run.clone() };
        Run::new(run.edges().iter().map(settled).collect()).unwrap()
    };
    Seam { first: run(&seam.first), second: run(&seam.second), ease: seam.ease }
}

/// A pattern of pieces and seams.
pub fn pattern(pieces: Vec<Piece>, seams: Vec<Seam>) -> Pattern {
    let pattern = Pattern::new(pieces, seams).unwrap();
    pattern.assert_sound();
    pattern
}

/// A piece as it lies after a motion without a reflection.
pub fn moved(piece: &Piece, motion: &Motion) -> Piece {
    assert!(!motion.is_mirrored());
    let edges = piece.edges().iter().map(|edge| Edge { curve: edge.curve.moved(motion), ..edge.clone() });
    let mut new = Piece::new(piece.name().clone(), edges.collect()).unwrap();
    new.cut = piece.cut;
    new.notches.clone_from(&piece.notches);
    new.darts = piece.darts.iter().map(|dart| dart.moved(motion)).collect();
    new.levels.clone_from(&piece.levels);
    for (a, b) in new.levels.iter_mut().flat_map(|level| &mut level.stretches) {
        (*a, *b) = (motion.apply(*a), motion.apply(*b));
    }
    new.points.clone_from(&piece.points);
    for point in &mut new.points {
        point.at = motion.apply(point.at);
    }
    new.grainline.clone_from(&piece.grainline);
    if let Some(grain) = &mut new.grainline {
        (grain.start, grain.end) = (motion.apply(grain.start), motion.apply(grain.end));
    }
    new
}
