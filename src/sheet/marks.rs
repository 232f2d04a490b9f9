//! Reading what stands on a piece besides its edges: darts, notches, levels, points, grainline, style lines.

use kurbo::PathSeg;

use crate::curve::Vec2;
use crate::drawing::Node;
use crate::pattern::{
    Dart, DartKind, DartShape, Grainline, Level, NamedPoint, Notch, Piece, Press, Refusal, RefusalKind,
    StyleLine,
};
use crate::sheet::edge_place::EdgePlace;
use crate::sheet::kinds::{ElementKind, own_name};
use crate::sheet::parts::{PieceElement, curve, name};
use crate::sheet::snaps::Snaps;
use crate::sheet::{ReadError, agreed, attributes, dart_shape, kept};
use crate::tolerance::{MOST_DARTS, MOST_NOTCHES, WELD};

/// Adds an element of a piece to it; edges are there already.
pub(super) fn add(piece: &mut Piece, part: &PieceElement, snaps: &mut Snaps) -> Result<(), ReadError> {
    let node = part.node;
    match part.kind {
        ElementKind::Edge => {}
        ElementKind::Dart | ElementKind::Pleat => {
            refuse_too_many(node, "darts", piece.darts.len(), MOST_DARTS)?;
            let kind = if part.kind == ElementKind::Pleat { DartKind::Pleat } else { DartKind::Dart };
            let dart = dart(piece, node, kind, snaps)?;
            refuse_twice(node, "dart", piece.darts.iter().map(|other| &other.name), &dart.name)?;
            dart_shape::refuse_mouths_in_one(piece, &dart).map_err(|refusal| ReadError::at(node, refusal))?;
            piece.darts.push(dart);
        }
        ElementKind::Notch => {
            refuse_too_many(node, "notches", piece.notches.len(), MOST_NOTCHES)?;
            let notch = notch(piece, node, snaps)?;
            refuse_twice(node, "notch", piece.notches.iter().map(|other| &other.name), &notch.name)?;
            piece.notches.push(notch);
        }
        ElementKind::Level => {
            let level = level(node)?;
            refuse_twice(node, "level", piece.levels.iter().map(|other| &other.name), &level.name)?;
            piece.levels.push(level);
        }
        ElementKind::Point => {
            let point = point(node, snaps)?;
            refuse_twice(node, "point", piece.points.iter().map(|other| &other.name), &point.name)?;
            piece.points.push(point);
        }
        ElementKind::StyleLine => {
            let style = StyleLine { name: name(node)?, curve: curve(node)?, kept: kept::of(node) };
            refuse_twice(node, "style line", piece.style_lines.iter().map(|other| &other.name), &style.name)?;
            piece.style_lines.push(style);
        }
        ElementKind::Grainline => {
            let grain = grainline(node, snaps)?;
            if piece.grainline.replace(grain).is_some() {
                let what = "the piece has another grainline";
                return Err(refuse(node, RefusalKind::NameTaken, what, "draw one grainline on each piece"));
            }
        }
        ElementKind::Mark | ElementKind::Inner => piece.marks.extend(kept::mark(part)),
    }
    Ok(())
}

/// What an element is called in what is told of it.
fn named(node: &Node) -> &str {
    own_name(node).unwrap_or("it")
}

fn refuse(node: &Node, kind: RefusalKind, what: impl std::fmt::Display, way_out: &str) -> ReadError {
    ReadError::at(node, Refusal::new(kind, named(node), what, way_out))
}

/// Refuses one more of a sort than a piece may have.
fn refuse_too_many(node: &Node, sort: &str, there: usize, most: usize) -> Result<(), ReadError> {
    if there < most {
        return Ok(());
    }
    let what = format!("the piece has more than {most} {sort}");
    Err(refuse(node, RefusalKind::BadField, what, "take out those that are not sewn by"))
}

/// Refuses a name that another of its sort on the piece has.
fn refuse_twice<'a, N: PartialEq + 'a>(
    node: &Node,
    sort: &str,
    mut taken: impl Iterator<Item = &'a N>,
    name: &N,
) -> Result<(), ReadError> {
    if taken.any(|other| other == name) {
        return Err(refuse(
            node,
            RefusalKind::NameTaken,
            format!("the piece has another {sort} of this name"),
            "give one of them another id, or take it out",
        ));
    }
    Ok(())
}

fn grainline(node: &Node, snaps: &mut Snaps) -> Result<Grainline, ReadError> {
    let line = curve(node)?;
    if !line.is_straight(WELD) {
        let what = "the grainline is not straight from its start to its end";
        return Err(refuse(
            node,
            RefusalKind::BadOutline,
            what,
            "draw it as one straight line along the warp",
        ));
    }
    snaps.straightened(named(node), &line.to_path(), kurbo::Line::new(line.start(), line.end()));
    let arrows = attributes::arrows(node)?;
    Ok(Grainline { start: line.start(), end: line.end(), arrows, kept: kept::of(node) })
}

fn notch(piece: &Piece, node: &Node, snaps: &mut Snaps) -> Result<Notch, ReadError> {
    let drawn = node.geometry.as_ref().and_then(|path| Some((path, path.segments().next()?)));
    let Some((path, tick)) = drawn else {
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
    let near = piece.mark_on_outline(on, near);
    let edge = piece.edge(near.edge);
    snaps.notch(named(node), edge, near.distance, path);
    let at = EdgePlace::settled(&edge.curve, near.at);
    let (along, outward) = (edge.curve.tangent_at(at), edge.curve.normal_outward(at));
    let drawn = out - on;
    Ok(Notch {
        name: name(node)?,
        edge: edge.name.clone(),
        at,
        count: attributes::count(node)?,
        tick: Vec2::new(drawn.dot(along), drawn.dot(outward)),
        kept: kept::of(node),
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
    Ok(Level { name: name(node)?, stretches, girth: attributes::girth(node)?, kept: kept::of(node) })
}

fn point(node: &Node, snaps: &mut Snaps) -> Result<NamedPoint, ReadError> {
    let Some(path) = &node.geometry else {
        return Err(refuse(node, RefusalKind::BadOutline, "the point draws nothing", "draw a small circle"));
    };
    let bounds = kurbo::Shape::bounding_box(path);
    snaps.rounded(named(node), bounds);
    Ok(NamedPoint {
        name: name(node)?,
        at: bounds.center(),
        radius: bounds.width() / 2.0,
        kept: kept::of(node),
    })
}

fn dart(piece: &Piece, node: &Node, kind: DartKind, snaps: &mut Snaps) -> Result<Dart, ReadError> {
    let line = curve(node)?;
    let shape =
        dart_shape::shape(piece, named(node), kind, &line).map_err(|refusal| ReadError::at(node, refusal))?;
    if let DartShape::Open { mouth, .. } = &shape {
        let edge = piece.edge_named(&mouth.edge).map_err(|refusal| ReadError::at(node, refusal))?;
        snaps.mouth(piece, named(node), edge, [line.start(), line.end()]);
    }
    let press = match attributes::value(node, "data-press")? {
        Some(toward) => {
            agreed::pressed(piece, &shape, toward).map_err(|refusal| ReadError::at(node, refusal))?
        }
        None => Press::Usual,
    };
    Ok(Dart { name: name(node)?, shape, kind, press, kept: kept::of(node) })
}
