//! From a drawn line to the shape of a dart.

use crate::curve::{Curve, CurveError, Point, left_of};
use crate::pattern::{Dart, DartKind, DartShape, EdgeId, Mouth, Piece, Refusal, RefusalKind};
use crate::sheet::edge_place::EdgePlace;
use crate::tolerance::{SAME_CUT, SHARP_AS_A_TIP, WELD};

/// The shape of a dart drawn by a line: a closed one is a double dart, an open one opens on the edge its ends lie on.
///
/// # Errors
///
/// Refuses a line without tips, and a mouth that is not on one edge.
pub(crate) fn shape(piece: &Piece, name: &str, kind: DartKind, line: &Curve) -> Result<DartShape, Refusal> {
    let closed = line.start().distance(line.end()) <= SAME_CUT;
    if closed { double(name, line) } else { open(piece, name, kind, line) }
}

fn refuse(name: &str, what: impl std::fmt::Display, way_out: &str) -> Refusal {
    Refusal::new(RefusalKind::BadDart, name, what, way_out)
}

/// How many corners of a dart's line turn as only a tip or the end of a mouth does.
fn sharp_corners(line: &Curve) -> usize {
    line.joints().iter().filter(|joint| joint.turn.abs() > SHARP_AS_A_TIP).count()
}

/// A dart with two tips, or one whose mouth is drawn as well, could be taken for another than was meant.
///
/// # Errors
///
/// Refuses a closed dart with more than two sharp corners.
fn refuse_more_tips(name: &str, line: &Curve) -> Result<(), Refusal> {
    let at_start =
        line.end_tangent().cross(line.start_tangent()).atan2(line.end_tangent().dot(line.start_tangent()));
    match sharp_corners(line) + usize::from(at_start.abs() > SHARP_AS_A_TIP) {
        0..=2 => Ok(()),
        3 => Err(refuse(
            name,
            "the dart is drawn as a closed triangle",
            "leave its mouth open: M mouth L tip L mouth, without Z",
        )),
        corners => Err(refuse(
            name,
            format!("the dart has {corners} sharp corners, where a double dart has two tips"),
            "draw a closed path of two tips and two widest points, or M mouth L tip L mouth",
        )),
    }
}

/// The two extreme corners of a closed dart are its tips; between them run its sides.
fn double(name: &str, line: &Curve) -> Result<DartShape, Refusal> {
    refuse_more_tips(name, line)?;
    let corners: Vec<f64> = std::iter::once(0.0).chain(line.joints().iter().map(|joint| joint.at)).collect();
    let apart = |a: f64, b: f64| line.point_at(a).distance(line.point_at(b));
    let pairs = corners.iter().enumerate().flat_map(|(i, a)| corners[i + 1..].iter().map(move |b| (*a, *b)));
    let (a, b) = pairs.max_by(|x, y| apart(x.0, x.1).total_cmp(&apart(y.0, y.1))).ok_or_else(|| {
        refuse(name, "the dart has no two tips", "draw a closed path of two tips and two sides")
    })?;
    let wrong = |error: CurveError| refuse(name, error, "redraw the dart");
    let first = line.stretch(a, b).map_err(wrong)?;
    let second = line.onward(b, line.length() + a).map_err(wrong)?.reversed();
    let way = first.end() - first.start();
    let middle = first.point_at(first.length() / 2.0).midpoint(second.point_at(second.length() / 2.0));
    let left = left_of(way);
    let first_is_left = (first.point_at(first.length() / 2.0) - middle).dot(left) > 0.0;
    Ok(DartShape::Double { sides: if first_is_left { (first, second) } else { (second, first) } })
}

/// The legs of a dart drawn as one line from mouth to tip to mouth, each from its mouth end to the tip.
pub(crate) fn legs(name: &str, line: &Curve) -> Result<(Curve, Curve), Refusal> {
    let chord = Curve::line(line.start(), line.end());
    let off = |at: f64| {
        chord.as_ref().map_or(0.0, |chord| {
            let way = chord.start_tangent();
            (line.point_at(at) - chord.start()).cross(way).abs()
        })
    };
    let joints = line.joints();
    let tip = joints
        .iter()
        .map(|joint| joint.at)
        .max_by(|a, b| off(*a).total_cmp(&off(*b)))
        .ok_or_else(|| refuse(name, "the dart has no tip", "draw M mouth L tip L mouth"))?;
    let (first, second) = line.split_at(tip).map_err(|error| refuse(name, error, "redraw the dart"))?;
    Ok((first, second.reversed()))
}

fn open(piece: &Piece, name: &str, kind: DartKind, line: &Curve) -> Result<DartShape, Refusal> {
    let (edge, a, b) = mouth_edge(piece, name, line.start(), line.end())?;
    let sharp = sharp_corners(line);
    if kind == DartKind::Pleat && sharp == 2 {
        return even_pleat(piece, name, line);
    }
    if sharp > 1 {
        return Err(refuse(
            name,
            format!(
                "the dart has {sharp} sharp corners between the ends of its mouth, where one tip is wanted"
            ),
            "draw M mouth L tip L mouth; one that ends flat is drawn to the point where its legs would meet",
        ));
    }
    let (first, second) = legs(name, line)?;
    let (from, to, legs) = if a <= b { (a, b, (first, second)) } else { (b, a, (second, first)) };
    opens(piece, edge, (from, to), legs).map_err(|error| refuse(name, error, "redraw the dart"))
}

/// A dart with legs from the ends of its mouth to its tip.
fn opens(
    piece: &Piece,
    edge: EdgeId,
    (from, to): (f64, f64),
    (first, second): (Curve, Curve),
) -> Result<DartShape, CurveError> {
    let tip = first.end();
    let first = first.with_ends(piece.point_on(edge, from), tip)?;
    let second = second.with_ends(piece.point_on(edge, to), tip)?;
    let mouth = Mouth { edge: piece.edge(edge).name.clone(), from, to };
    Ok(DartShape::Open { mouth, legs: (first, second) })
}

/// A pleat as deep all along: down its one side, across, and up the other. It is kept as a wedge whose tip is the corner at
/// the lower end of the side that belongs to the mouth's first end.
fn even_pleat(piece: &Piece, name: &str, line: &Curve) -> Result<DartShape, Refusal> {
    let (edge, a, b) = mouth_edge(piece, name, line.start(), line.end())?;
    let (from, to, line) = if a <= b { (a, b, line.clone()) } else { (b, a, line.reversed()) };
    let wrong = |error: CurveError| refuse(name, error, "redraw the pleat");
    let joints = line.joints();
    let corner = joints.iter().find(|joint| joint.turn.abs() > SHARP_AS_A_TIP).map_or(0.0, |joint| joint.at);
    let (first, second) = line.split_at(corner).map_err(wrong)?;
    opens(piece, edge, (from, to), (first, second.reversed())).map_err(wrong)
}

/// The one edge on which both ends of a dart's mouth lie, and where on it.
fn mouth_edge(piece: &Piece, name: &str, a: Point, b: Point) -> Result<(EdgeId, f64, f64), Refusal> {
    let mut best: Option<(f64, EdgeId, f64, f64)> = None;
    for id in piece.edge_ids() {
        let curve = &piece.edge(id).curve;
        let (x, y) = (curve.nearest(a), curve.nearest(b));
        let off = x.distance.max(y.distance);
        if off <= WELD && (x.at - y.at).abs() > SAME_CUT && best.is_none_or(|(least, ..)| off < least) {
            best = Some((off, id, x.at, y.at));
        }
    }
    let settled = |(_, id, x, y): (f64, EdgeId, f64, f64)| {
        let curve = &piece.edge(id).curve;
        (id, EdgePlace::settled(curve, x), EdgePlace::settled(curve, y))
    };
    best.map(settled).ok_or_else(|| {
        let near = [a, b].map(|point| piece.nearest_on_outline(point));
        let [x, y] =
            near.map(|near| format!("{:.2} mm from `{}`", near.distance, piece.edge(near.edge).name));
        refuse(
            name,
            format!("the dart's mouth is not on one edge: its ends lie {x} and {y}"),
            "draw M mouth L tip L mouth with both ends on the same edge",
        )
    })
}

/// A stretch of an edge is folded away once.
///
/// # Errors
///
/// Refuses a dart whose mouth lies over that of another.
pub(crate) fn refuse_mouths_in_one(piece: &Piece, dart: &Dart) -> Result<(), Refusal> {
    let Some(mouth) = dart.mouth() else { return Ok(()) };
    let laps = |other: &Mouth| other.from < mouth.to - SAME_CUT && mouth.from < other.to - SAME_CUT;
    match piece.mouths_on(&mouth.edge).into_iter().find(|(_, other)| laps(other)) {
        Some((other, _)) => Err(refuse(
            dart.name.as_str(),
            format!("its mouth lies over that of `{}` on edge `{}`", other.name, mouth.edge),
            "draw the two darts side by side",
        )),
        None => Ok(()),
    }
}
