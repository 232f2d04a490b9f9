//! Where a line cuts a piece in two.

use crate::advice;
use crate::curve::{Curve, Point};
use crate::parts::assemble::way_round;
use crate::pattern::{
    DartShape, DrawnLine, Field, Line, LineMeeting, On, Operation, Piece, Reach, Refusal, RefusalKind,
};
use crate::tolerance::{CORNER_SNAP, LEAST_PART, ON_OUTLINE, SAME_CUT};

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

/// Finds where a line cuts a piece in two.
///
/// # Errors
///
/// Refuses a line that leaves the piece, ends inside it, cuts off nothing, makes three pieces, or crosses a
/// dart.
pub(super) fn find_cut(piece: &Piece, line: &Line) -> Result<LineThrough, Refusal> {
    let drawn = piece.drawn_line(line)?;
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
    let reach = piece.diagonal();
    let drawn =
        DrawnLine { curve: curve.run_on(reach, reach), starts: None, ends: None, reach: Reach::Through };
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
    let far = piece.diagonal();
    let reach = Reach::At(point);
    let drawn = DrawnLine { curve: curve.run_on(far, far), starts: None, ends: None, reach };
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
    piece.drawn_line(line).map(|drawn| drawn.curve)
}

fn cut_to_piece(
    piece: &Piece,
    line: &dyn std::fmt::Display,
    drawn: DrawnLine,
) -> Result<LineThrough, Refusal> {
    let found = drawn.meetings(piece);
    let stretches = drawn.inside(piece, &found);
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
    let on = |met: &LineMeeting| On { edge: met.edge, at: met.at };
    let (starts, ends) = (snap(piece, on(&start)), snap(piece, on(&end)));
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
    drawn: &DrawnLine,
    found: &[LineMeeting],
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
    let drawn = piece.drawn_line(line)?;
    Ok(match drawn.reach {
        Reach::AsDrawn => drawn.curve.run_on(ON_OUTLINE, ON_OUTLINE),
        Reach::Through | Reach::At(_) | Reach::Along(..) => drawn.curve,
    })
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
        let in_mouth = match &dart.shape {
            DartShape::Open { mouth, .. } => ends.iter().any(|on| {
                piece.edge(on.edge).name == mouth.edge
                    && on.at > mouth.from + SAME_CUT
                    && on.at < mouth.to - SAME_CUT
            }),
            DartShape::Double { .. } => false,
        };
        if dart.is_crossed_by(curve) || in_mouth {
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
            of_dart(Operation::PivotDart).asking_place(Field::To),
            "; run it out to a seam: ",
            of_dart(Operation::DartToSeam),
            "; or take it in with ",
            Operation::AddPrincessSeam
        ),
    )
}
