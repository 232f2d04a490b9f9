//! From where to where a strip goes.

use crate::derive::strip_ground::StripGround;
use crate::derive::strip_shape::{EndLook, Span};
use crate::pattern::{Amount, EdgeEnd, EdgeName, LaidOn, Piece, Place, Refusal, RefusalKind, WalkEnd};
use crate::tolerance::{LEAST_DIVIDED, ON_OUTLINE, SAME_CUT, SAME_LENGTH};
use crate::units::Length;

/// The places of a strip's ends as its record holds them: none at the end of its seam or line.
pub(super) type Places = (Option<Place>, Option<Place>);

/// What was asked for of a strip's two ends.
pub(super) struct SpanWish<'a> {
    pub places: (Option<&'a Place>, Option<&'a Place>),
    pub widths: (f64, f64),
    pub looks: (Option<EndLook>, Option<EndLook>),
}

/// From where to where a strip goes along the walk of its ground, with the walk, and the places as its record holds them:
/// lengths from the walk's start, so that cutting a piece across the seam does not shift them.
///
/// # Errors
///
/// Refuses a place that is not on the seam or line, and places too near each other.
pub(super) fn span_of(wish: &SpanWish, ground: &StripGround) -> Result<(Span, Places), Refusal> {
    let (length, widths) = (ground.length(), wish.widths);
    let at = |place: Option<&Place>, usual: f64| -> Result<f64, Refusal> {
        let at = place.map_or(Ok(usual), |place| distance(ground, place))?;
        Ok(at.clamp(0.0, length))
    };
    let to = at(wish.places.1, length)?;
    let from = at(wish.places.0, 0.0)?;
    if (to - from).abs() < LEAST_DIVIDED {
        return Err(Refusal::new(
            RefusalKind::BadField,
            &ground.named,
            format!("a strip {:.1} mm long is too short", (to - from).abs()),
            format!("give places at least {LEAST_DIVIDED}mm apart"),
        ));
    }
    let look = |at: f64, shape: Option<EndLook>| match shape {
        Some(shape) => shape,
        None if at <= SAME_CUT && !ground.runs_on(WalkEnd::Start) => EndLook::AsEdges,
        None if at >= length - SAME_CUT && !ground.runs_on(WalkEnd::End) => EndLook::AsEdges,
        None => EndLook::Straight,
    };
    let looks = (look(from, wish.looks.0), look(to, wish.looks.1));
    let span = match from < to {
        true => Span { from, to, widths, looks },
        false => Span { from: to, to: from, widths: (widths.1, widths.0), looks: (looks.1, looks.0) },
    };
    let place = |at: f64| (at > SAME_CUT && at < length - SAME_CUT).then(|| place_at(ground, at));
    Ok((span, (place(span.from), place(span.to))))
}

/// The place a distance along the walk, as one would name it.
fn place_at(ground: &StripGround, at: f64) -> Place {
    let under = &ground.right.under[0];
    let along = Amount::Length(Length::from_mm(at));
    match &under.on {
        LaidOn::Line(line) => {
            let at = Length::from_mm(under.place(at));
            Place::OnEdge { edge: EdgeName::of_line(line), along: Amount::Length(at), from: None }
        }
        LaidOn::Edge(edge) => Place::OnEdge { edge: edge.clone(), along, from: None },
    }
}

/// How far along the walk a place is.
fn distance(ground: &StripGround, place: &Place) -> Result<f64, Refusal> {
    match place {
        Place::OnEdge { edge, along, from } => along_under(ground, (edge, *along, from.as_ref()), place),
        _ => on_line(ground, place),
    }
}

/// A place on an edge under the strip, or on its line. A length is measured on from the edge's corner, over the seams that
/// end at it, if it is longer than the edge.
fn along_under(
    ground: &StripGround,
    (edge, along, from): (&EdgeName, Amount, Option<&EdgeName>),
    place: &Place,
) -> Result<f64, Refusal> {
    let is_on = |on: &LaidOn| match on {
        LaidOn::Edge(name) => name == edge,
        LaidOn::Line(name) => name.as_str() == edge.as_str(),
    };
    let main = ground.right.under[0].piece;
    let found: Vec<_> = ground
        .right
        .walked()
        .filter(|(_, under)| is_on(&under.on) && under.piece.name() == main.name())
        .collect();
    let (Some((before, first)), Some((last_before, last))) = (found.first(), found.last()) else {
        return on_line(ground, place);
    };
    let (is_line, whole) = match &first.on {
        LaidOn::Line(name) => (true, main.style_line_named(name)?.curve.length()),
        LaidOn::Edge(name) => (false, main.sewn_length(main.edge_named(name)?)),
    };
    let end = match (from, is_line) {
        (None, _) => EdgeEnd::First,
        (Some(neighbour), false) => main.end_at(main.edge_named(edge)?, neighbour)?,
        (Some(neighbour), true) => line_end_at(ground, main, neighbour, place)?,
    };
    let walked_from = if first.from <= SAME_CUT { EdgeEnd::First } else { EdgeEnd::Last };
    let amount = along.of(whole);
    let at = if is_line {
        let on_line = if end == EdgeEnd::First { amount } else { whole - amount };
        on_line - first.from.min(first.to)
    } else if walked_from == end {
        before + amount
    } else {
        last_before + last.curve.length() - amount
    };
    refuse_beyond(ground, at, place)
}

/// The end of a style line that meets an edge.
fn line_end_at(
    ground: &StripGround,
    piece: &Piece,
    neighbour: &EdgeName,
    place: &Place,
) -> Result<EdgeEnd, Refusal> {
    let edge = &piece.edge(piece.edge_named(neighbour)?).curve;
    let line = &ground.right.line;
    let meets = |point| edge.nearest(point).distance <= ON_OUTLINE;
    match (meets(line.start()), meets(line.end())) {
        (true, _) => Ok(EdgeEnd::First),
        (false, true) => Ok(EdgeEnd::Last),
        (false, false) => Err(Refusal::new(
            RefusalKind::PlaceOutside,
            &ground.named,
            format!("the line does not meet `{neighbour}`"),
            "measure from an edge at one of its ends",
        )
        .about(place)),
    }
}

/// A named place that lies on the seam or line.
fn on_line(ground: &StripGround, place: &Place) -> Result<f64, Refusal> {
    let under = &ground.right.under[0];
    let point = under.motion.apply(under.piece.place(place)?.point);
    let foot = ground.right.line.nearest(point);
    if foot.distance <= ON_OUTLINE {
        return Ok(foot.at);
    }
    Err(Refusal::new(
        RefusalKind::PlaceOutside,
        &ground.named,
        format!("`{place}` does not lie on it, but {:.1} mm from it", foot.distance),
        format!("name a place along it: {}@40%", ground.named.edge),
    )
    .about(place))
}

fn refuse_beyond(ground: &StripGround, at: f64, place: &Place) -> Result<f64, Refusal> {
    let length = ground.length();
    if (-SAME_LENGTH..=length + SAME_LENGTH).contains(&at) {
        return Ok(at.clamp(0.0, length));
    }
    Err(Refusal::new(
        RefusalKind::PlaceOutside,
        &ground.named,
        format!("`{place}` lies {:.1} mm beyond it", (-at).max(at - length)),
        format!("give a place along it: it is {length:.1} mm long"),
    )
    .about(place))
}
