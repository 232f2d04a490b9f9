//! Where a line cuts a piece in two.

use crate::advice;
use crate::curve::{Curve, Point, Vec2, offset, right_of};
use crate::pattern::{
    DartName, DartShape, EdgeId, Field, FoundPlace, Line, Operation, Piece, Place, Refusal, RefusalKind,
    StyleLineName,
};
use crate::recut::assemble::{On, way_round};
use crate::tolerance::{CORNER_SNAP, LEAST_PART, OFFSET_ACCURACY, ON_OUTLINE, SAME_CUT};

/// A line inside a piece from outline to outline.
#[derive(Clone, Debug)]
pub(super) struct LineThrough {
    /// The line; its ends are points of the outline, bit for bit.
    pub curve: Curve,
    /// Where it starts.
    pub starts: On,
    /// Where it ends.
    pub ends: On,
}

/// A line as it was asked for, before it is cut to the piece.
struct Drawn {
    curve: Curve,
    /// Places of the ends on the outline, where they were named there.
    starts: Option<On>,
    ends: Option<On>,
    reach: Reach,
}

/// How far a line goes.
enum Reach {
    /// From end to end, as drawn.
    AsDrawn,
    /// Across the whole piece, through its middle part.
    Through,
    /// Across the stretch of the piece that holds a point.
    At(Point),
}

/// Finds where a line cuts a piece in two.
///
/// # Errors
///
/// Refuses a line that leaves the piece, ends inside it, cuts off nothing, makes three pieces, or crosses a
/// dart.
pub(super) fn find_cut(piece: &Piece, line: &Line) -> Result<LineThrough, Refusal> {
    let drawn = draw(piece, line)?;
    let cut = cut_to_piece(piece, line, drawn)?;
    refuse_darts(piece, &cut)?;
    Ok(cut)
}

/// Where a curve that is already on the sheet cuts a piece: it is run on past both ends.
///
/// # Errors
///
/// As [`find_cut`].
pub(super) fn cut_along(piece: &Piece, curve: &Curve) -> Result<LineThrough, Refusal> {
    let reach = diagonal(piece);
    let drawn = Drawn { curve: curve.run_on(reach, reach), starts: None, ends: None, reach: Reach::Through };
    let cut = cut_to_piece(piece, &"the line", drawn)?;
    refuse_darts(piece, &cut)?;
    Ok(cut)
}

/// Where a curve that is already on the sheet, run on past both ends, cuts the stretch of a piece that holds a point.
///
/// # Errors
///
/// As [`find_cut`].
pub(super) fn cut_at(piece: &Piece, curve: &Curve, point: Point) -> Result<LineThrough, Refusal> {
    let far = diagonal(piece);
    let reach = Reach::At(point);
    let drawn = Drawn { curve: curve.run_on(far, far), starts: None, ends: None, reach };
    let cut = cut_to_piece(piece, &"the line", drawn)?;
    refuse_darts(piece, &cut)?;
    Ok(cut)
}

/// The curve of a line as it is named, before it is cut to the piece: it may run on past it.
///
/// # Errors
///
/// Refuses unknown names and places outside their edges.
pub(super) fn line_as_drawn(piece: &Piece, line: &Line) -> Result<Curve, Refusal> {
    draw(piece, line).map(|drawn| drawn.curve)
}

fn diagonal(piece: &Piece) -> f64 {
    let bounds = piece.bounds();
    bounds.width().hypot(bounds.height())
}

/// The refusal of a style line that is not there, with the line that was meant where its name is that of a level or an edge.
fn other_line(piece: &Piece, name: &StyleLineName, refusal: Refusal) -> Refusal {
    let is_level = piece.levels.iter().any(|level| level.name.as_str() == name.as_str());
    let is_edge = piece.edges().iter().any(|edge| edge.name.as_str() == name.as_str());
    let way_out = match (is_level, is_edge) {
        (true, _) => format!("to cut along the level say \"level {name}\""),
        (false, true) => {
            format!("`{name}` is an edge: say \"beside {name} at 12cm\", or places on it, \"{name}@50% > B\"")
        }
        (false, false) if piece.style_lines.is_empty() => {
            "it has none: say \"A > B\" with two places, \"level waist\", or \"beside centre at 12cm\""
                .to_owned()
        }
        (false, false) => return refusal,
    };
    Refusal { way_out: way_out.into(), ..refusal }
}

fn draw(piece: &Piece, line: &Line) -> Result<Drawn, Refusal> {
    match line {
        Line::Style(name) => {
            let found = piece.style_lines.iter().find(|style| style.name == *name).ok_or_else(|| {
                let known = piece.style_lines.iter().map(|style| style.name.as_str());
                let refusal =
                    Refusal::unknown("style line", name.as_str(), piece.name(), known.collect::<Vec<_>>());
                other_line(piece, name, refusal)
            })?;
            let curve = found.curve.run_on(ON_OUTLINE, ON_OUTLINE);
            Ok(Drawn { curve, starts: None, ends: None, reach: Reach::AsDrawn })
        }
        Line::Straight(places) => {
            let spots = spots(piece, places)?;
            let points: Vec<Point> = spots.iter().map(|spot| spot.point).collect();
            Ok(between(Curve::polyline(&points)?, &spots))
        }
        Line::Smooth(places) => {
            let spots = spots(piece, places)?;
            let points: Vec<Point> = spots.iter().map(|spot| spot.point).collect();
            Ok(between(Curve::smooth_through(&points)?, &spots))
        }
        Line::Level(name) => {
            let level = piece.level_named(name)?;
            let points: Vec<Point> = level.stretches.iter().flat_map(|(a, b)| [*a, *b]).collect();
            let chain = Curve::polyline(&points)?;
            let reach = Reach::At(chain.point_at(chain.length() / 2.0));
            let far = diagonal(piece);
            Ok(Drawn { curve: chain.run_on(far, far), starts: None, ends: None, reach })
        }
        Line::Beside { edge, at } => {
            let edge = &piece.edge(piece.edge_named(edge)?).curve;
            let far = diagonal(piece);
            let curve = offset(edge, -at.mm(), OFFSET_ACCURACY)?.run_on(far, far);
            Ok(Drawn { curve, starts: None, ends: None, reach: Reach::Through })
        }
        Line::Across { below, place } => {
            let grain = piece.grain()?.direction();
            let point = piece.place(place)?.point + grain * below.mm();
            through(piece, point, right_of(grain))
        }
        Line::Along { place } => {
            let grain = piece.grain()?.direction();
            through(piece, piece.place(place)?.point, grain)
        }
    }
}

fn spots(piece: &Piece, places: &[Place]) -> Result<Vec<FoundPlace>, Refusal> {
    places.iter().map(|place| piece.place(place)).collect()
}

fn between(curve: Curve, spots: &[FoundPlace]) -> Drawn {
    let on = |spot: Option<&FoundPlace>| spot.and_then(|spot| spot.on).map(|(edge, at)| On { edge, at });
    Drawn { curve, starts: on(spots.first()), ends: on(spots.last()), reach: Reach::AsDrawn }
}

fn through(piece: &Piece, point: Point, direction: Vec2) -> Result<Drawn, Refusal> {
    let bounds = piece.bounds();
    let far = diagonal(piece) + point.distance(bounds.center());
    let curve = Curve::line(point - direction * far, point + direction * far)?;
    Ok(Drawn { curve, starts: None, ends: None, reach: Reach::At(point) })
}

/// A meeting of the line with the outline.
#[derive(Clone, Copy, Debug)]
struct Meeting {
    line_at: f64,
    on: On,
}

fn meetings(piece: &Piece, drawn: &Drawn) -> Vec<Meeting> {
    let mut found: Vec<Meeting> = Vec::new();
    if let Some(on) = drawn.starts {
        found.push(Meeting { line_at: 0.0, on });
    }
    if let Some(on) = drawn.ends {
        found.push(Meeting { line_at: drawn.curve.length(), on });
    }
    for crossing in piece.outline().crossings_with(&drawn.curve) {
        let on = On { edge: EdgeId(crossing.edge), at: crossing.at };
        if found.iter().all(|other| (other.line_at - crossing.line_at).abs() > SAME_CUT) {
            found.push(Meeting { line_at: crossing.line_at, on });
        }
    }
    found.sort_by(|a, b| a.line_at.total_cmp(&b.line_at));
    found
}

fn cut_to_piece(piece: &Piece, line: &dyn std::fmt::Display, drawn: Drawn) -> Result<LineThrough, Refusal> {
    let found = meetings(piece, &drawn);
    let inside = |from: f64, to: f64| {
        let middle = drawn.curve.point_at(f64::midpoint(from, to));
        piece.outline().contains(middle)
    };
    let mut stretches: Vec<(Meeting, Meeting)> = found
        .windows(2)
        .filter(|pair| inside(pair[0].line_at, pair[1].line_at))
        .map(|pair| (pair[0], pair[1]))
        .collect();
    if let Reach::At(point) = &drawn.reach {
        let anchor = drawn.curve.nearest(*point).at;
        let off = |pair: &(Meeting, Meeting)| (anchor.clamp(pair.0.line_at, pair.1.line_at) - anchor).abs();
        stretches.sort_by(|a, b| off(a).total_cmp(&off(b)));
        stretches.truncate(1);
    }
    refuse_loose_ends(piece, line, &drawn, &found)?;
    let (start, end) = match stretches.as_slice() {
        [only] => *only,
        [] => {
            return Err(Refusal::new(
                RefusalKind::BadLine,
                piece.name(),
                format!("`{line}` does not run through the piece: it cuts off nothing"),
                "choose a line from one edge to another",
            )
            .about(line));
        }
        several => {
            return Err(Refusal::new(
                RefusalKind::BadLine,
                piece.name(),
                format!("`{line}` would cut the piece into {}", several.len() + 1),
                "cut it in two first, then cut the part",
            )
            .about(line));
        }
    };
    let (starts, ends) = (snap(piece, start.on), snap(piece, end.on));
    let curve = drawn
        .curve
        .stretch(start.line_at, end.line_at)?
        .with_ends(piece.point_on(starts.edge, starts.at), piece.point_on(ends.edge, ends.at))?;
    refuse_nothing(piece, line, &curve, starts, ends)?;
    Ok(LineThrough { curve, starts, ends })
}

/// A place this near a corner is meant to be the corner.
pub(super) fn snap(piece: &Piece, on: On) -> On {
    let length = piece.edge(on.edge).curve.length();
    let at = if on.at <= CORNER_SNAP {
        0.0
    } else if length - on.at <= CORNER_SNAP {
        length
    } else {
        on.at
    };
    On { at, ..on }
}

fn refuse_loose_ends(
    piece: &Piece,
    line: &dyn std::fmt::Display,
    drawn: &Drawn,
    found: &[Meeting],
) -> Result<(), Refusal> {
    if !matches!(drawn.reach, Reach::AsDrawn) {
        return Ok(());
    }
    let length = drawn.curve.length();
    for (at, end) in [(0.0, drawn.curve.start()), (length, drawn.curve.end())] {
        let met = found.iter().any(|meeting| (meeting.line_at - at).abs() <= SAME_CUT);
        if !met && piece.outline().contains(end) {
            let near = piece.nearest_on_outline(end);
            return Err(Refusal::new(
                RefusalKind::BadLine,
                piece.name(),
                format!(
                    "`{line}` ends inside the piece, {:.1} mm from edge `{}`",
                    near.distance,
                    piece.edge(near.edge).name
                ),
                "run it on to an edge",
            )
            .about(line));
        }
    }
    Ok(())
}

fn refuse_nothing(
    piece: &Piece,
    line: &dyn std::fmt::Display,
    curve: &Curve,
    starts: On,
    ends: On,
) -> Result<(), Refusal> {
    let way = way_round(piece, ends, starts);
    let mut area = curve.swept_area();
    for (edge, from, to) in way {
        area += piece.edge(edge).curve.stretch(from, to)?.swept_area();
    }
    let rest = piece.outline().area() - area;
    if area.min(rest) < LEAST_PART {
        return Err(Refusal::new(
            RefusalKind::BadLine,
            piece.name(),
            format!("`{line}` cuts off nothing ({:.1} mm²)", area.min(rest).max(0.0)),
            "choose a line that runs through the piece",
        )
        .about(line));
    }
    Ok(())
}

/// The curve of a line as it was asked for, run on where it goes through the whole piece.
///
/// # Errors
///
/// Refuses names and places that do not exist.
pub(super) fn drawn_curve(piece: &Piece, line: &Line) -> Result<Curve, Refusal> {
    let drawn = draw(piece, line)?;
    Ok(match drawn.reach {
        Reach::AsDrawn => drawn.curve.run_on(ON_OUTLINE, ON_OUTLINE),
        Reach::Through | Reach::At(_) => drawn.curve,
    })
}

/// A refusal of a change where a dart opens.
pub(super) fn dart_opens(
    piece: &Piece,
    dart: &DartName,
    at: impl std::fmt::Display,
    what: String,
) -> Refusal {
    Refusal::new(
        RefusalKind::DartInTheWay,
        at,
        what,
        advice!(
            "move it away first: ",
            Operation::PivotDart
                .with(Field::Piece, piece.name())
                .with(Field::Dart, dart)
                .with(Field::To, "PLACE")
        ),
    )
}

fn refuse_darts(piece: &Piece, cut: &LineThrough) -> Result<(), Refusal> {
    refuse_darts_on(piece, &cut.curve, &[cut.starts, cut.ends])
}

/// Refuses a line from one place on the outline to another that crosses a dart, naming the ways out.
///
/// # Errors
///
/// Where it crosses one.
pub(super) fn refuse_darts_on(piece: &Piece, curve: &Curve, ends: &[On]) -> Result<(), Refusal> {
    for dart in &piece.darts {
        let tips = dart.tips();
        let crosses = dart.boundary().iter().any(|side| {
            side.crossings(curve)
                .iter()
                .any(|crossing| tips.iter().all(|tip| tip.distance(crossing.point) > ON_OUTLINE))
        });
        let in_mouth = match &dart.shape {
            DartShape::Open { mouth, .. } => ends.iter().any(|on| {
                piece.edge(on.edge).name == mouth.edge
                    && on.at > mouth.from + SAME_CUT
                    && on.at < mouth.to - SAME_CUT
            }),
            DartShape::Double { .. } => false,
        };
        if crosses || in_mouth {
            return Err(dart_in_the_way(piece, &dart.name));
        }
    }
    Ok(())
}

/// The refusal of a line that crosses a dart, naming the ways out.
pub(super) fn dart_in_the_way(piece: &Piece, dart: &crate::pattern::DartName) -> Refusal {
    let name = piece.name();
    let of_dart = |operation: Operation| operation.with(Field::Piece, name).with(Field::Dart, dart);
    Refusal::new(
        RefusalKind::DartInTheWay,
        format!("{name}.{dart}"),
        "the line crosses the dart",
        advice!(
            "move the dart first: ",
            of_dart(Operation::PivotDart).with(Field::To, "PLACE"),
            "; run it out to a seam: ",
            of_dart(Operation::DartToSeam),
            "; or take it in with ",
            Operation::AddPrincessSeam
        ),
    )
}
