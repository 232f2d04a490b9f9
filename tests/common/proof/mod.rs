//! Reads a pattern sheet back and proves it true, with `kurbo` and the XML alone: independent of the
//! library under test and of how the sheet was drafted.

mod read;
mod seams;

use kurbo::{ParamCurve, PathSeg, Point, Vec2};

pub use read::{Piece, Sheet};

/// Lengths, notches and levels that must agree may differ by this much, in millimetres: the sheet is
/// written to 0.0001 mm, and an edge of several curves adds up its roundings.
pub const LENGTH: f64 = 0.001;
/// Ends of edges at one corner, in millimetres.
pub const JOINT: f64 = 1e-6;
/// Edges that run on across a seam or a closed dart may turn by this much, in degrees.
pub const KINK: f64 = 3.0;
/// Marks lie on the edge to this much, in millimetres.
const ON_EDGE: f64 = 0.001;

/// All that is not true on a sheet, in words. Empty when it is true.
pub fn findings(text: &str) -> Vec<String> {
    let sheet = Sheet::read(text);
    let mut found = Vec::new();
    for piece in &sheet.pieces {
        outline_is_clockwise_and_simple(piece, &mut found);
        folds_are_met_square(piece, &mut found);
        darts_are_true(piece, &mut found);
        notches_lie_on_edges(piece, &mut found);
        if piece.grainlines != 1 {
            found.push(format!("{}: {} grainlines", piece.name, piece.grainlines));
        }
    }
    seams::prove(&sheet, &mut found);
    found
}

/// The edges that are hollow with a radius under their allowance, and that radius in millimetres.
pub fn tight_hollows(text: &str) -> Vec<(String, f64)> {
    let sheet = Sheet::read(text);
    let mut tight = Vec::new();
    for piece in &sheet.pieces {
        for edge in &piece.edges {
            let radius = edge.tightest_hollow();
            let allowance = edge.allowance.trim_end_matches("mm").parse().unwrap_or(0.0);
            if radius <= allowance {
                tight.push((format!("{}.{}", piece.name, edge.name), radius));
            }
        }
    }
    tight
}

/// Interior angle, in degrees, at the corner where edge `index` begins.
pub fn corner_angle(piece: &Piece, index: usize) -> f64 {
    let count = piece.edges.len();
    let before = piece.edges[(index + count - 1) % count].arrival();
    let after = piece.edges[index].departure();
    180.0 - turn(before, after)
}

/// Signed turn from one direction to another, in degrees, clockwise positive.
fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to)).to_degrees()
}

fn outline_is_clockwise_and_simple(piece: &Piece, found: &mut Vec<String>) {
    let parts: Vec<PathSeg> =
        piece.edges.iter().flat_map(|edge| edge.path.segments().collect::<Vec<_>>()).collect();
    let points: Vec<Point> =
        parts.iter().flat_map(|part| (0..16).map(|i| part.eval(f64::from(i) / 16.0))).collect();
    let count = points.len();
    let sides: Vec<(Point, Point)> =
        points.iter().zip(points.iter().cycle().skip(1)).map(|(from, to)| (*from, *to)).collect();
    for (i, &one) in sides.iter().enumerate() {
        for (j, &other) in sides.iter().enumerate().skip(i + 2) {
            if (j + 1) % count != i && cross(one, other) {
                found.push(format!("{}: outline crosses itself at {}", piece.name, one.0));
            }
        }
    }
    let area: f64 = sides.iter().map(|(from, to)| from.to_vec2().cross(to.to_vec2())).sum();
    if area <= 0.0 {
        found.push(format!("{}: area {area}", piece.name));
    }
}

fn cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let apart = |line: (Point, Point), p: Point, q: Point| {
        let along = line.1 - line.0;
        along.cross(p - line.0) * along.cross(q - line.0) < 0.0
    };
    apart(a, b.0, b.1) && apart(b, a.0, a.1)
}

fn folds_are_met_square(piece: &Piece, found: &mut Vec<String>) {
    for (index, edge) in piece.edges.iter().enumerate() {
        if edge.finish != "fold" {
            continue;
        }
        for corner in [index, (index + 1) % piece.edges.len()] {
            let kink = 2.0 * (corner_angle(piece, corner) - 90.0).abs();
            if kink > KINK {
                found.push(format!("{}: kink of {kink} at the fold", piece.name));
            }
        }
    }
}

fn darts_are_true(piece: &Piece, found: &mut Vec<String>) {
    for dart in &piece.darts {
        let [mouth, tip, end] = [dart.points[0], dart.points[1], dart.points[2]];
        if dart.closed {
            continue;
        }
        let legs = ((mouth - tip).hypot() - (end - tip).hypot()).abs();
        if legs > LENGTH {
            found.push(format!("{}.{}: legs differ by {legs}", piece.name, dart.name));
        }
        let Some(edge) = piece.edges.iter().find(|edge| edge.holds_mouth(dart)) else {
            found.push(format!("{}.{}: mouth on no edge", piece.name, dart.name));
            continue;
        };
        let kink = edge.kink_over(dart).abs();
        if kink > KINK {
            found.push(format!("{}.{}: kink of {kink} when closed", piece.name, dart.name));
        }
    }
}

fn notches_lie_on_edges(piece: &Piece, found: &mut Vec<String>) {
    for notch in &piece.notches {
        let nearest = piece.edges.iter().map(|edge| edge.distance_to(notch.at)).fold(f64::INFINITY, f64::min);
        if nearest > ON_EDGE {
            found.push(format!("{}.{}: {nearest} off the edges", piece.name, notch.name));
        }
        if piece.contains(notch.at + notch.outward.normalize()) {
            found.push(format!("{}.{}: points inward", piece.name, notch.name));
        }
    }
}
