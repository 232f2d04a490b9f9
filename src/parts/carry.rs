//! Taking along what stands on the parts of a new piece: darts, notches, levels, points, lines, marks, grain.

use crate::advice;
use crate::curve::{Curve, Outline, Point, Vec2, angle_between_lines, right_of};
use crate::parts::assemble::{Assembly, Carried, Mapped, Part, Unplaced};
use crate::parts::in_the_way::dart_moved;
use crate::parts::membership::{Lies, lies};
use crate::parts::ties::{first_greatest, first_least};
use crate::pattern::{
    Dart, DartShape, EdgeName, GirthUse, Grainline, Level, Mouth, NamedPoint, Notch, Piece, Press, Refusal,
    RefusalKind, ShapedCorner, StyleLine, Travel,
};
use crate::tolerance::{JOINT, LEAST_STRETCH, ON_OUTLINE, SAME_DIRECTION};

/// Share of a piece's length that a grainline laid anew takes up.
const GRAINLINE_SHARE: f64 = 0.6;

/// How many places across a piece are tried for a grainline.
const GRAINLINE_TRIES: u32 = 15;

/// Puts onto the new piece what stood on its parts.
///
/// # Errors
///
/// Refuses where a dart would be cut apart.
pub(crate) fn onto(assembly: &Assembly, map: &[Mapped], piece: &mut Piece) -> Result<Vec<Carried>, Refusal> {
    for (index, part) in assembly.parts.iter().enumerate() {
        let first_of_its_piece = assembly.parts[..index].iter().all(|other| !same_source(other, part));
        carry_darts(assembly, index, map, piece)?;
        carry_notches(index, map, part, piece);
        carry_points(part, piece);
        carry_levels(part, piece);
        carry_style_lines(part, piece)?;
        let unplaced =
            match assembly.parts[..index].iter().any(|other| other.piece.name() == part.piece.name()) {
                true => Unplaced::Leave,
                false => assembly.unplaced,
            };
        carry_marks(part, piece, unplaced);
        if first_of_its_piece {
            carry_corners(map, part, piece);
        }
    }
    piece.grainline = grain(assembly, piece)?;
    Ok(assembly.parts.iter().map(|part| carried(part, piece)).collect())
}

fn same_source(a: &Part, b: &Part) -> bool {
    a.piece.name() == b.piece.name() && a.copy == b.copy
}

fn belongs(part: &Part, point: Point) -> bool {
    match &part.region {
        None => true,
        Some(region) => {
            region.contains(point)
                || region.curves().iter().any(|curve| curve.nearest(point).distance <= ON_OUTLINE)
        }
    }
}

fn carry_darts(assembly: &Assembly, index: usize, map: &[Mapped], piece: &mut Piece) -> Result<(), Refusal> {
    let part = &assembly.parts[index];
    for dart in &part.piece.darts {
        let taken = assembly.taken.iter().any(|(of, name)| of == part.piece.name() && *name == dart.name);
        if taken {
            continue;
        }
        let moved = dart.moved(&part.motion);
        let found = match &dart.shape {
            DartShape::Double { sides } => {
                let middle = sides
                    .0
                    .point_at(sides.0.length() / 2.0)
                    .midpoint(sides.1.point_at(sides.1.length() / 2.0));
                belongs(part, middle).then_some(moved)
            }
            DartShape::Open { mouth, .. } => open_dart(index, part, dart, mouth, moved, map, piece)?,
        };
        if let Some(mut dart) = found {
            let name = dart.name.clone().free(|name| piece.darts.iter().any(|other| other.name == *name));
            if name != dart.name {
                dart.kept = dart.kept.once_more();
            }
            piece.darts.push(Dart { name, ..dart });
        }
    }
    Ok(())
}

fn open_dart(
    index: usize,
    part: &Part,
    dart: &Dart,
    mouth: &Mouth,
    moved: Dart,
    map: &[Mapped],
    piece: &Piece,
) -> Result<Option<Dart>, Refusal> {
    let on_edge = |mapped: &&Mapped| {
        mapped.part == index
            && mapped.old.piece == *part.piece.name()
            && mapped.old.copy == part.copy
            && mapped.old.edge == mouth.edge
    };
    let mut stretches = map.iter().filter(on_edge);
    let Some(mapped) = stretches.find(|mapped| mapped.holds_stretch(mouth.from, mouth.to)) else {
        let touched = map
            .iter()
            .filter(on_edge)
            .any(|mapped| mapped.from < mouth.to - ON_OUTLINE && mapped.to > mouth.from + ON_OUTLINE);
        return if touched { Err(cut_apart(part.piece, dart)) } else { Ok(None) };
    };
    let press = press_of(index, part, dart, map);
    let (a, b) = (mapped.carry(mouth.from), mapped.carry(mouth.to));
    let DartShape::Open { legs, .. } = moved.shape else { return Ok(None) };
    let Some(edge) = piece.find_edge(&mapped.new.edge) else { return Ok(None) };
    let (from, to) = (a.min(b), a.max(b).min(piece.edge(edge).curve.length()));
    let tip = legs.0.end();
    let legs = (
        legs.0.with_ends(piece.point_on(edge, from), tip)?,
        legs.1.with_ends(piece.point_on(edge, to), tip)?,
    );
    let mouth = Mouth { edge: mapped.new.edge.clone(), from, to };
    Ok(Some(Dart { shape: DartShape::Open { mouth, legs }, press, ..dart.clone() }))
}

/// The side to which a dart is pressed, by the name that the edge there has now.
fn press_of(index: usize, part: &Part, dart: &Dart, map: &[Mapped]) -> Press {
    let Press::Toward(edge) = &dart.press else { return Press::Usual };
    let now =
        map.iter().find(|m| m.part == index && m.old.piece == *part.piece.name() && m.old.edge == *edge);
    now.map_or(Press::Usual, |mapped| Press::Toward(mapped.new.edge.clone()))
}

fn cut_apart(piece: &Piece, dart: &Dart) -> Refusal {
    Refusal::new(
        RefusalKind::DartInTheWay,
        format!("{}.{}", piece.name(), dart.name),
        "the cut would part the mouth of the dart",
        advice!("move the dart first: ", dart_moved(piece, &dart.name)),
    )
}

fn carry_notches(index: usize, map: &[Mapped], part: &Part, piece: &mut Piece) {
    for notch in &part.piece.notches {
        let found = map.iter().find(|mapped| {
            mapped.part == index
                && mapped.old.piece == *part.piece.name()
                && mapped.old.edge == notch.edge
                && mapped.holds(notch.at)
        });
        let Some(mapped) = found else { continue };
        let Some(edge) = piece.find_edge(&mapped.new.edge) else { continue };
        let mut carried = notch.clone();
        carried.edge = mapped.new.edge.clone();
        carried.at = mapped.carry(notch.at).clamp(0.0, piece.edge(edge).curve.length());
        if mapped.way == Travel::Anticlockwise {
            carried.tick.x = -carried.tick.x;
        }
        let name = carried.name.clone().free(|name| piece.notches.iter().any(|other| other.name == *name));
        if name != carried.name {
            carried.kept = carried.kept.once_more();
        }
        piece.notches.push(Notch { name, ..carried });
    }
}

fn carry_points(part: &Part, piece: &mut Piece) {
    for point in part.piece.points.iter().filter(|point| belongs(part, point.at)) {
        let at = part.motion.apply(point.at);
        let twice = piece
            .points
            .iter()
            .any(|other| other.name.is_numbered_from(&point.name) && other.at.distance(at) <= JOINT);
        if twice {
            continue;
        }
        let name = point.name.clone().free(|name| piece.points.iter().any(|other| other.name == *name));
        let kept = if name == point.name { point.kept.clone() } else { point.kept.once_more() };
        piece.points.push(NamedPoint { name, at, kept, ..point.clone() });
    }
}

/// The stretches of a straight line that lie within a region.
pub(crate) fn within(region: &Outline, from: Point, to: Point) -> Vec<(Point, Point)> {
    let Ok(line) = Curve::line(from, to) else { return Vec::new() };
    let stretches = curve_within(region, &line, |point| region.contains(point));
    stretches.into_iter().map(|(a, b)| (line.point_at(a), line.point_at(b))).collect()
}

/// The stretches of the straight line of a level or a grainline that belong to the part of a piece within a region.
fn line_within(piece: &Piece, region: &Outline, from: Point, to: Point) -> Vec<(Point, Point)> {
    let Ok(line) = Curve::line(from, to) else { return Vec::new() };
    let stretches = curve_within(region, &line, |point| lies(piece, region, point).goes_along());
    stretches.into_iter().map(|(a, b)| (line.point_at(a), line.point_at(b))).collect()
}

/// The levels of a piece, as far as they lie within a region.
pub(crate) fn levels_within(piece: &Piece, region: &Outline) -> Vec<Level> {
    let cut = |level: &Level| Level {
        stretches: level
            .stretches
            .iter()
            .flat_map(|(from, to)| line_within(piece, region, *from, *to))
            .collect(),
        ..level.clone()
    };
    piece.levels.iter().map(cut).filter(|level| !level.stretches.is_empty()).collect()
}

/// The stretches of a curve that lie within a region by what is said of their middles, as walk distances.
fn curve_within(region: &Outline, curve: &Curve, is_within: impl Fn(Point) -> bool) -> Vec<(f64, f64)> {
    let mut at: Vec<f64> = region.crossings_with(curve).iter().map(|crossing| crossing.line_at).collect();
    at.push(0.0);
    at.push(curve.length());
    at.sort_by(f64::total_cmp);
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    for pair in at.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if to - from <= LEAST_STRETCH || !is_within(curve.point_at(f64::midpoint(from, to))) {
            continue;
        }
        match stretches.last_mut() {
            Some(last) if (last.1 - from).abs() <= LEAST_STRETCH => last.1 = to,
            _ => stretches.push((from, to)),
        }
    }
    stretches
}

/// Puts the levels of a part onto the new piece.
pub(crate) fn carry_levels(part: &Part, piece: &mut Piece) {
    for level in part.levels.as_ref().unwrap_or(&part.piece.levels) {
        let mut stretches = Vec::new();
        for (from, to) in &level.stretches {
            match &part.region {
                Some(region) if part.levels.is_none() => {
                    stretches.extend(line_within(part.piece, region, *from, *to));
                }
                _ => stretches.push((*from, *to)),
            }
        }
        let moved = stretches.into_iter().map(|(a, b)| (part.motion.apply(a), part.motion.apply(b)));
        let moved: Vec<_> = moved.collect();
        if moved.is_empty() {
            continue;
        }
        match piece.levels.iter_mut().find(|other| other.name == level.name) {
            Some(other) => {
                if level.girth == GirthUse::Counts {
                    other.girth = GirthUse::Counts;
                }
                other.stretches.extend(moved);
                other.stretches = chained(std::mem::take(&mut other.stretches));
            }
            None => piece.levels.push(Level { stretches: chained(moved), ..level.clone() }),
        }
    }
}

/// Puts stretches in order along the level, turned so that each starts near where the one before ends, and
/// joins those that go straight on. Of stretches as near, as those of both halves of a piece are, the first is taken,
/// whatever the last digits say.
fn chained(mut rest: Vec<(Point, Point)>) -> Vec<(Point, Point)> {
    let mut chain: Vec<(Point, Point)> = vec![rest.remove(0)];
    while !rest.is_empty() {
        let Some((head, tail)) = chain.first().zip(chain.last()).map(|(first, last)| (first.0, last.1))
        else {
            break;
        };
        let gap = |(a, b): &(Point, Point)| {
            [a.distance(tail), b.distance(tail), b.distance(head), a.distance(head)]
        };
        let nearest = |stretch: &(Point, Point)| gap(stretch).into_iter().fold(f64::INFINITY, f64::min);
        let best = first_least(0..rest.len(), |i| nearest(&rest[*i]));
        let (a, b) = rest.remove(best.unwrap_or(0));
        match first_least(gap(&(a, b)).into_iter().enumerate(), |(_, gap)| *gap) {
            Some((0, _)) => chain.push((a, b)),
            Some((1, _)) => chain.push((b, a)),
            Some((2, _)) => chain.insert(0, (a, b)),
            _ => chain.insert(0, (b, a)),
        }
    }
    let mut joined: Vec<(Point, Point)> = Vec::new();
    for (from, to) in chain {
        match joined.last_mut() {
            Some(last) if goes_straight_on(*last, (from, to)) => last.1 = to,
            _ => joined.push((from, to)),
        }
    }
    joined
}

fn goes_straight_on(first: (Point, Point), second: (Point, Point)) -> bool {
    let (a, b) = ((first.1 - first.0).normalize(), (second.1 - second.0).normalize());
    first.1.distance(second.0) <= JOINT && a.dot(b) > 0.0 && a.cross(b).abs() <= SAME_DIRECTION
}

/// A style line along which the piece was cut is a seam now, and on neither part.
fn carry_style_lines(part: &Part, piece: &mut Piece) -> Result<(), Refusal> {
    for style in &part.piece.style_lines {
        let stretches = match &part.region {
            None => vec![(0.0, style.curve.length())],
            Some(region) => {
                let within = |point| lies(part.piece, region, point) == Lies::Inside;
                curve_within(region, &style.curve, within)
            }
        };
        for (from, to) in stretches {
            let curve = style.curve.stretch(from, to)?.moved(&part.motion);
            let name =
                style.name.clone().free(|name| piece.style_lines.iter().any(|other| other.name == *name));
            let kept = if name == style.name { style.kept.clone() } else { style.kept.once_more() };
            piece.style_lines.push(StyleLine { name, curve, kept });
        }
    }
    Ok(())
}

fn carry_marks(part: &Part, piece: &mut Piece, unplaced: Unplaced) {
    for mark in &part.piece.marks {
        let goes_along = match mark.anchor {
            Some(anchor) => match &part.region {
                None => true,
                Some(region) => lies(part.piece, region, anchor).goes_along(),
            },
            None => unplaced == Unplaced::Keep,
        };
        if goes_along {
            let is_second = piece.marks.iter().any(|other| other.source == mark.source);
            let mark = if is_second { mark.once_more() } else { mark.clone() };
            piece.marks.push(mark.moved(&part.motion));
        }
    }
}

fn carry_corners(map: &[Mapped], part: &Part, piece: &mut Piece) {
    for corner in &part.piece.corners {
        let now = |edge: &EdgeName| -> Vec<EdgeName> {
            let of_edge = map.iter().filter(|m| {
                m.old.piece == *part.piece.name() && m.old.copy == part.copy && m.old.edge == *edge
            });
            of_edge.map(|mapped| mapped.new.edge.clone()).collect()
        };
        for first in now(&corner.edges.0) {
            for second in now(&corner.edges.1) {
                let ids = piece.find_edge(&first).zip(piece.find_edge(&second));
                let meet = ids.is_some_and(|(a, b)| piece.next(a) == b || piece.next(b) == a);
                if meet {
                    let shape = match &corner.shape {
                        crate::pattern::CornerShape::Square(to) if *to == corner.edges.0 => {
                            crate::pattern::CornerShape::Square(first.clone())
                        }
                        crate::pattern::CornerShape::Square(_) => {
                            crate::pattern::CornerShape::Square(second.clone())
                        }
                        other => other.clone(),
                    };
                    piece.corners.push(ShapedCorner { edges: (first.clone(), second.clone()), shape });
                }
            }
        }
    }
}

/// The grainline of the new piece: that of the part that gives the grain where it lies within the part, else one laid anew
/// in the same direction. One that runs along the cut goes with one part, whichever way its last digits lie.
fn grain(assembly: &Assembly, piece: &Piece) -> Result<Option<Grainline>, Refusal> {
    let part = &assembly.parts[assembly.grain];
    let Some(old) = &part.piece.grainline else { return Ok(None) };
    let (start, end) = (part.motion.apply(old.start), part.motion.apply(old.end));
    let stays = match &part.region {
        None => true,
        Some(region) => {
            let inside = line_within(part.piece, region, old.start, old.end);
            inside.len() == 1 && inside[0].0.distance(inside[0].1) >= start.distance(end) - JOINT
        }
    };
    if stays {
        return Ok(Some(Grainline { start, end, ..old.clone() }));
    }
    let (start, end) = lay_grainline(piece.outline(), (end - start).normalize())?;
    Ok(Some(Grainline { start, end, ..old.clone() }))
}

/// A line in a direction, well inside an outline where it is longest.
pub(crate) fn lay_grainline(outline: &Outline, direction: Vec2) -> Result<(Point, Point), Refusal> {
    let bounds = outline.bounds();
    let across = right_of(direction);
    let half = bounds.width().hypot(bounds.height()) / 2.0;
    let mut found: Vec<(f64, (Point, Point))> = Vec::new();
    for i in 0..GRAINLINE_TRIES {
        let share = (f64::from(i) + 0.5) / f64::from(GRAINLINE_TRIES) * 2.0 - 1.0;
        let middle = bounds.center() + across * (share * half);
        for (a, b) in within(outline, middle - direction * half, middle + direction * half) {
            found.push((a.distance(b) * (1.0 - share.abs() / 2.0), (a, b)));
        }
    }
    let best = first_greatest(found, |(worth, _)| *worth);
    let (_, (a, b)) = best.ok_or_else(|| {
        Refusal::new(
            RefusalKind::Geometry,
            "grainline",
            "no room for a grainline on the piece",
            "make the piece larger",
        )
    })?;
    let inset = (b - a) * ((1.0 - GRAINLINE_SHARE) / 2.0);
    Ok((a + inset, b - inset))
}

fn carried(part: &Part, piece: &Piece) -> Carried {
    let off_grain = match (&part.piece.grainline, &piece.grainline) {
        (Some(old), Some(new)) => {
            let old = part.motion.apply_vec(old.direction());
            angle_between_lines(old, new.direction()).degrees()
        }
        _ => 0.0,
    };
    Carried {
        from: part.piece.name().clone(),
        copy: part.copy,
        region: part.region.clone(),
        motion: part.motion,
        off_grain,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A level of a whole piece whose halves lie as far from its middle: which of them comes first does not hang on the
    /// last digits.
    #[test]
    fn stretches_as_near_are_chained_alike_whatever_their_last_digits() {
        let order = |off: f64| {
            let stretches =
                [(-50.0, 50.0), (-200.0 + off, -100.0 + off), (100.0 + off, 200.0 + off), (300.0, 310.0)];
            let level = |(from, to)| (Point::new(from, 0.0), Point::new(to, 0.0));
            let chain = chained(stretches.map(level).to_vec());
            chain.into_iter().map(|(from, to)| [from.x.round(), to.x.round()]).collect::<Vec<_>>()
        };
        assert_eq!(order(1e-7), order(0.0));
        assert_eq!(order(-1e-7), order(0.0));
        assert_eq!(order(0.0), [[-200.0, -100.0], [-50.0, 50.0], [100.0, 200.0], [300.0, 310.0]]);
    }
}
