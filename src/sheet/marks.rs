//! Reading what stands on a piece besides its edges: darts, notches, levels, points, grainline, style lines.

use kurbo::PathSeg;

use crate::curve::{Curve, Point, Vec2};
use crate::pattern::{
    Dart, DartShape, EdgeId, Grainline, Level, Mouth, NamedPoint, Notch, Piece, Press, Refusal, RefusalKind,
    StyleLine,
};
use crate::sheet::drawing::Node;
use crate::sheet::pieces::{Kind, curve, mark, name, own_name};
use crate::sheet::{ReadError, attributes};
use crate::tolerance::{SAME_CUT, WELD};

/// Adds an element of a piece to it; edges are there already.
pub(super) fn add(piece: &mut Piece, kind: Kind, node: &Node) -> Result<(), ReadError> {
    match kind {
        Kind::Edge => {}
        Kind::Dart => {
            let dart = dart(piece, node)?;
            refuse_twice(node, "dart", piece.darts.iter().any(|other| other.name == dart.name))?;
            piece.darts.push(dart);
        }
        Kind::Notch => {
            let notch = notch(piece, node)?;
            refuse_twice(node, "notch", piece.notches.iter().any(|other| other.name == notch.name))?;
            piece.notches.push(notch);
        }
        Kind::Level => {
            let level = level(node)?;
            refuse_twice(node, "level", piece.levels.iter().any(|other| other.name == level.name))?;
            piece.levels.push(level);
        }
        Kind::Point => {
            let point = point(node)?;
            refuse_twice(node, "point", piece.points.iter().any(|other| other.name == point.name))?;
            piece.points.push(point);
        }
        Kind::StyleLine => {
            let style = StyleLine { name: name(node)?, curve: curve(node)?, kept: attributes::kept(node) };
            refuse_twice(node, "style line", piece.style_lines.iter().any(|other| other.name == style.name))?;
            piece.style_lines.push(style);
        }
        Kind::Grainline => {
            refuse_twice(node, "grainline", piece.grainline.is_some())?;
            let line = curve(node)?;
            piece.grainline = Some(Grainline {
                start: line.start(),
                end: line.end(),
                arrows: attributes::arrows(node)?,
                kept: attributes::kept(node),
            });
        }
        Kind::Mark => piece.marks.push(mark(node)),
    }
    Ok(())
}

fn refuse(node: &Node, kind: RefusalKind, what: impl std::fmt::Display, way_out: &str) -> ReadError {
    ReadError::at(node, Refusal::new(kind, own_name(node).unwrap_or("it"), what, way_out))
}

fn refuse_twice(node: &Node, sort: &str, twice: bool) -> Result<(), ReadError> {
    match twice {
        true => Err(refuse(
            node,
            RefusalKind::NameTaken,
            format!("the piece has another {sort} of this name"),
            "give one of them another id, or take it out",
        )),
        false => Ok(()),
    }
}

fn notch(piece: &Piece, node: &Node) -> Result<Notch, ReadError> {
    let drawn = node.geometry.as_ref().and_then(|path| path.segments().next());
    let Some(tick) = drawn else {
        return Err(refuse(
            node,
            RefusalKind::BadOutline,
            "the notch draws nothing",
            "draw M on-the-edge L outward",
        ));
    };
    let (mut on, mut out) = (kurbo::ParamCurve::start(&tick), kurbo::ParamCurve::end(&tick));
    let (near_start, near_end) = (piece.nearest_on_outline(on), piece.nearest_on_outline(out));
    let near = if near_start.distance <= WELD || near_start.distance <= near_end.distance {
        near_start
    } else {
        std::mem::swap(&mut on, &mut out);
        near_end
    };
    if near.distance > WELD {
        return Err(refuse(
            node,
            RefusalKind::PlaceOutside,
            format!(
                "the notch starts {:.2} mm from the nearest edge, `{}`",
                near.distance,
                piece.edge(near.edge).name
            ),
            "draw it from a point on the edge outward",
        ));
    }
    let edge = piece.edge(near.edge);
    let (along, outward) = (edge.curve.tangent_at(near.at), edge.curve.normal_outward(near.at));
    let drawn = out - on;
    Ok(Notch {
        name: name(node)?,
        edge: edge.name.clone(),
        at: near.at,
        count: attributes::count(node)?,
        tick: Vec2::new(drawn.dot(along), drawn.dot(outward)),
        kept: attributes::kept(node),
    })
}

fn level(node: &Node) -> Result<Level, ReadError> {
    let mut stretches = Vec::new();
    for segment in node.geometry.iter().flat_map(|path| path.segments()) {
        match segment {
            PathSeg::Line(line) if line.p0 != line.p1 => stretches.push((line.p0, line.p1)),
            PathSeg::Line(_) => {}
            _ => {
                return Err(refuse(
                    node,
                    RefusalKind::BadOutline,
                    "the level is curved",
                    "draw it straight across the piece, as the tape lies",
                ));
            }
        }
    }
    if stretches.is_empty() {
        return Err(refuse(
            node,
            RefusalKind::BadOutline,
            "the level has no length",
            "draw it across the piece",
        ));
    }
    Ok(Level { name: name(node)?, stretches, girth: attributes::girth(node)?, kept: attributes::kept(node) })
}

fn point(node: &Node) -> Result<NamedPoint, ReadError> {
    let Some(path) = &node.geometry else {
        return Err(refuse(node, RefusalKind::BadOutline, "the point draws nothing", "draw a small circle"));
    };
    let bounds = kurbo::Shape::bounding_box(path);
    Ok(NamedPoint {
        name: name(node)?,
        at: bounds.center(),
        radius: bounds.width() / 2.0,
        kept: attributes::kept(node),
    })
}

fn dart(piece: &Piece, node: &Node) -> Result<Dart, ReadError> {
    let line = curve(node)?;
    let closed = line.start().distance(line.end()) <= SAME_CUT;
    let shape = if closed { double(node, &line)? } else { open(piece, node, &line)? };
    let press = attributes::value(node, "data-press")?.map_or(Press::Usual, Press::Toward);
    Ok(Dart { name: name(node)?, shape, press, kept: attributes::kept(node) })
}

/// The two extreme corners of a closed dart are its tips; between them run its sides.
fn double(node: &Node, line: &Curve) -> Result<DartShape, ReadError> {
    let corners: Vec<f64> = std::iter::once(0.0).chain(line.joints().iter().map(|joint| joint.at)).collect();
    let apart = |a: f64, b: f64| line.point_at(a).distance(line.point_at(b));
    let pairs = corners.iter().enumerate().flat_map(|(i, a)| corners[i + 1..].iter().map(move |b| (*a, *b)));
    let (a, b) = pairs.max_by(|x, y| apart(x.0, x.1).total_cmp(&apart(y.0, y.1))).ok_or_else(|| {
        refuse(
            node,
            RefusalKind::BadDart,
            "the dart has no two tips",
            "draw a closed path of two tips and two sides",
        )
    })?;
    let wrong =
        |error: crate::curve::CurveError| refuse(node, RefusalKind::BadDart, error, "redraw the dart");
    let first = line.stretch(a, b).map_err(wrong)?;
    let rest = if a > 0.0 {
        let (tail, head) =
            (line.stretch(b, line.length()).map_err(wrong)?, line.stretch(0.0, a).map_err(wrong)?);
        tail.joined_within(&head, WELD).map_err(wrong)?
    } else {
        line.stretch(b, line.length()).map_err(wrong)?
    };
    let second = rest.reversed();
    let way = first.end() - first.start();
    let middle = first.point_at(first.length() / 2.0).midpoint(second.point_at(second.length() / 2.0));
    let left = Vec2::new(way.y, -way.x);
    let first_is_left = (first.point_at(first.length() / 2.0) - middle).dot(left) > 0.0;
    Ok(DartShape::Double { sides: if first_is_left { (first, second) } else { (second, first) } })
}

fn open(piece: &Piece, node: &Node, line: &Curve) -> Result<DartShape, ReadError> {
    let (edge, a, b) = mouth_edge(piece, node, line.start(), line.end())?;
    let chord = Curve::line(line.start(), line.end());
    let off = |at: f64| {
        chord.as_ref().map_or(0.0, |chord| {
            let way = chord.start_tangent();
            (line.point_at(at) - chord.start()).cross(way).abs()
        })
    };
    let joints = line.joints();
    let tip =
        joints.iter().map(|joint| joint.at).max_by(|a, b| off(*a).total_cmp(&off(*b))).ok_or_else(|| {
            refuse(node, RefusalKind::BadDart, "the dart has no tip", "draw M mouth L tip L mouth")
        })?;
    let wrong =
        |error: crate::curve::CurveError| refuse(node, RefusalKind::BadDart, error, "redraw the dart");
    let (first, second) = line.split_at(tip).map_err(wrong)?;
    let second = second.reversed();
    let (from, to, first, second) = if a <= b { (a, b, first, second) } else { (b, a, second, first) };
    let tip = first.end();
    let first = first.with_ends(piece.point_on(edge, from), tip).map_err(wrong)?;
    let second = second.with_ends(piece.point_on(edge, to), tip).map_err(wrong)?;
    let mouth = Mouth { edge: piece.edge(edge).name.clone(), from, to };
    Ok(DartShape::Open { mouth, legs: (first, second) })
}

/// The one edge on which both ends of a dart's mouth lie, and where on it.
fn mouth_edge(piece: &Piece, node: &Node, a: Point, b: Point) -> Result<(EdgeId, f64, f64), ReadError> {
    let mut best: Option<(f64, EdgeId, f64, f64)> = None;
    for id in piece.edge_ids() {
        let curve = &piece.edge(id).curve;
        let (x, y) = (curve.nearest(a), curve.nearest(b));
        let off = x.distance.max(y.distance);
        if off <= WELD && (x.at - y.at).abs() > SAME_CUT && best.is_none_or(|(least, ..)| off < least) {
            best = Some((off, id, x.at, y.at));
        }
    }
    best.map(|(_, id, x, y)| (id, x, y)).ok_or_else(|| {
        let near = [a, b].map(|point| piece.nearest_on_outline(point));
        let [x, y] =
            near.map(|near| format!("{:.2} mm from `{}`", near.distance, piece.edge(near.edge).name));
        refuse(
            node,
            RefusalKind::BadDart,
            format!("the dart's mouth is not on one edge: its ends lie {x} and {y}"),
            "draw M mouth L tip L mouth with both ends on the same edge",
        )
    })
}
