//! A line that is drawn across a piece, and cut along.
//!
//! The line is what a rule laid to the stroke would draw: from edge to edge, where the stroke runs or would run on to.

use crate::canvas::path_data;
use crate::curve::{Curve, EdgeCrossing, Point, Vec2, right_of};
use crate::pattern::{EdgeId, Line, Piece, Place, Refusal, RefusalKind};
use crate::recut::{AddPrincessSeam, Split, Step};
use crate::table::hand::motion::{BeneathHand, Hand, Held};
use crate::table::holds::{CutHold, cuts_as_wide};
use crate::table::snap::{
    LineAcross, SnapSeen, SnappedPlace, lines, meant_on_outline, on_edge, points, tips,
};
use crate::tolerance::HAND_STEP;
use crate::units::Length;

/// What a line means that is drawn across a piece: a line that is there is cut along, one through a point is a princess seam.
///
/// # Errors
///
/// Refuses a stroke beside the piece.
pub(super) fn drawn(hand: &Hand, piece: &Piece, ground: BeneathHand<'_>) -> Result<Held, Refusal> {
    if hand.from().distance(hand.at()) < HAND_STEP {
        return Ok(Held::default());
    }
    let stroke = ends(piece, hand.from(), hand.at()).ok_or_else(|| beside(piece))?;
    let [start, end] = stroke;
    let reach = hand.reach();
    if let Some(across) = along_a_line(piece, (start, end), reach) {
        let drawn = piece.drawn_line(&across.line).map(|line| line.curve);
        let [first, last] = &across.ends;
        let snaps = [first, last].map(SnapSeen::of);
        let straight = || Curve::line(first.point, last.point);
        let drawn =
            drawn.or_else(|_| straight()).map_or_else(|_| String::new(), |line| path_data(&line.to_path()));
        return Ok(Held { snaps: snaps.into(), drawn, ..Held::step(split(piece, across.line)) });
    }
    let start = meant_on_outline(ground.pattern, piece, start, reach);
    let end = meant_on_outline(ground.pattern, piece, end, reach);
    if let Some(through) = through(piece, (&hand.way(), [start.point, end.point]), reach) {
        let step = AddPrincessSeam::of(
            piece.name().clone(),
            start.place.clone(),
            through.place.clone(),
            end.place.clone(),
        );
        return Ok(of_places(Held::step(step), &[&start, &through, &end]));
    }
    Ok(match by_grain(piece, stroke, &end, reach) {
        Some(Course::Along) => along_the_grain(hand, piece, start, ground),
        Some(Course::Across) => by_direction(piece, &start, Course::Across, None),
        None => {
            let line = Line::Straight(vec![start.place.clone(), end.place.clone()]);
            of_places(Held::step(split(piece, line)), &[&start, &end])
        }
    })
}

fn split(piece: &Piece, line: Line) -> Step {
    Split::of(piece.name().clone(), line).into()
}

fn of_places(held: Held, places: &[&SnappedPlace]) -> Held {
    let line = Curve::polyline(&places.iter().map(|place| place.point).collect::<Vec<_>>());
    let drawn = line.map_or_else(|_| String::new(), |line| path_data(&line.to_path()));
    Held { drawn, snaps: places.iter().map(|place| SnapSeen::of(place)).collect(), ..held }
}

fn beside(piece: &Piece) -> Refusal {
    let what = "the line runs beside the piece";
    Refusal::new(RefusalKind::BadLine, piece.name(), what, "draw it across the piece, from edge to edge")
}

/// Where the line of a stroke enters and leaves a piece: of the stretches of it that lie inside the one that the stroke runs
/// along most, or would soonest run on to.
fn ends(piece: &Piece, from: Point, to: Point) -> Option<[Point; 2]> {
    let way = (to - from).normalize();
    let far = piece.diagonal() + from.distance(piece.bounds().center()) + from.distance(to);
    let line = Curve::line(from - way * far, to + way * far).ok()?;
    let stroke = (far, far + from.distance(to));
    let met = piece.outline().crossings_with(&line);
    let inside = met.windows(2).filter(|pair| {
        let middle = line.point_at(f64::midpoint(pair[0].line_at, pair[1].line_at));
        piece.outline().contains(middle)
    });
    let shared = |pair: &[EdgeCrossing]| pair[1].line_at.min(stroke.1) - pair[0].line_at.max(stroke.0);
    let pair = inside.max_by(|a, b| shared(a).total_cmp(&shared(b)))?;
    Some([pair[0].point, pair[1].point])
}

/// A style line or level both of whose ends are near those of a stroke; its ends in the order of the stroke.
fn along_a_line(piece: &Piece, (start, end): (Point, Point), reach: f64) -> Option<LineAcross> {
    let off = |line: &LineAcross| {
        let [first, last] = &line.ends;
        let off = |a: Point, b: Point| a.distance(first.point).max(b.distance(last.point));
        off(start, end).min(off(end, start))
    };
    let near = lines(piece).filter(|line| off(line) <= reach);
    near.min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The named point of a piece through which a stroke was drawn, else the tip of a dart; the ends of the line are none.
fn through(piece: &Piece, (way, ends): (&[Point], [Point; 2]), reach: f64) -> Option<SnappedPlace> {
    let line = Curve::polyline(way).ok()?;
    let off = |snap: &SnappedPlace| line.nearest(snap.point).distance;
    let is_near = |snap: &SnappedPlace| {
        let is_end = ends.into_iter().any(|end| end.distance(snap.point) <= reach);
        off(snap) <= reach && !is_end
    };
    let nearest = |snaps: &mut dyn Iterator<Item = SnappedPlace>| {
        snaps.filter(is_near).min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    nearest(&mut points(piece)).or_else(|| nearest(&mut tips(piece)))
}

/// How a line runs by the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Course {
    Along,
    Across,
}

impl Course {
    fn way(self, piece: &Piece) -> Vec2 {
        match self {
            Course::Along => piece.grain_or_down(),
            Course::Across => right_of(piece.grain_or_down()),
        }
    }

    fn says(self) -> &'static str {
        match self {
            Course::Along => "along the grain",
            Course::Across => "square to the grain",
        }
    }
}

/// How a stroke runs by the grain, where its end is nearer to that than to what else it is drawn to.
fn by_grain(piece: &Piece, [start, to]: [Point; 2], end: &SnappedPlace, reach: f64) -> Option<Course> {
    piece.grainline.as_ref()?;
    let off = |course: Course| (to - start).cross(course.way(piece)).abs();
    let is_nearer = |course: &Course| !end.is_named() || off(*course) < to.distance(end.point);
    let is_drawn = |course: &Course| off(*course) <= reach && is_nearer(course);
    [Course::Along, Course::Across].into_iter().find(is_drawn)
}

/// A line along the grain, drawn to where a part of the piece is as wide as its cloth.
fn along_the_grain(hand: &Hand, piece: &Piece, start: SnappedPlace, ground: BeneathHand<'_>) -> Held {
    let hold = ground.stock.zip(edge_of(piece, &start)).and_then(|(stock, (edge, along))| {
        let step_at = |along: f64| split(piece, Line::Along { place: on_edge(piece, edge, along) });
        let name = piece.edge_ref(edge).to_string();
        let found = ground.found.cuts.of(name, || {
            cuts_as_wide(ground.pattern, stock, piece.name(), (along, piece.sewn_length(edge)), step_at)
        });
        let is_near = |hold: &&CutHold| {
            let point = piece.point_on(edge, piece.from_sewn(edge, hold.along));
            point.distance(start.point) <= hand.reach()
        };
        let hold = found.iter().find(is_near)?;
        let point = piece.point_on(edge, piece.from_sewn(edge, hold.along));
        let place = on_edge(piece, edge, hold.along);
        Some((SnappedPlace::named(place, start.says.clone(), point), hold.gives.show(ground.unit)))
    });
    match hold {
        Some((start, gives)) => by_direction(piece, &start, Course::Along, Some(gives)),
        None => by_direction(piece, &start, Course::Along, None),
    }
}

/// The edge that a place is on, and how far along its sewn length.
fn edge_of(piece: &Piece, at: &SnappedPlace) -> Option<(EdgeId, f64)> {
    let (edge, on) = piece.place_on_outline(&at.place).ok()?;
    Some((edge, piece.to_sewn(edge, on)))
}

/// A line from a place by the grain; with what the cloth gives where a part is then as wide.
fn by_direction(piece: &Piece, start: &SnappedPlace, course: Course, gives: Option<String>) -> Held {
    let place: Place = start.place.clone();
    let line = match course {
        Course::Along => Line::Along { place },
        Course::Across => Line::Across { below: Length::ZERO, place },
    };
    let far = course.way(piece) * piece.diagonal();
    let stroke = ends(piece, start.point - far, start.point + far);
    let end = stroke.map(|[a, b]| if a.distance(start.point) > b.distance(start.point) { a } else { b });
    let end = end.unwrap_or(start.point);
    let says = match gives {
        Some(gives) => format!("{}, where it is as wide as the cloth: {gives}", course.says()),
        None => course.says().to_owned(),
    };
    let snaps = vec![SnapSeen::of(start), SnapSeen { says, at: [end.x, end.y] }];
    let drawn =
        Curve::line(start.point, end).map_or_else(|_| String::new(), |line| path_data(&line.to_path()));
    Held { snaps, drawn, ..Held::step(split(piece, line)) }
}
