//! The outline of a strip on its ground.
//!
//! ```text
//!              left
//!        ┌───────────────╲
//!   start│┄┄┄┄ walk ┄┄┄┄┄┄┄> end, here pointed
//!        └───────────────╱
//!              right
//! ```

use crate::derive::closed::around_middle;
use kurbo::CubicBez;

use crate::curve::{
    Curve, LeftOrRight, Motion, Outline, PathSeg, Point, fit_through, left_of, offset, right_of,
};
use crate::derive::band::nearest_on;
use crate::derive::strip_ground::{GroundHalf, StretchUnder, StripGround, WayFromEnd, walked};
use crate::pattern::{EdgeName, LaidPart, LaidStretch, LiesTo};
use crate::tolerance::{
    BAND_ACCURACY, FACING_ACCURACY, FACING_FLAT, JOINT, LAY_STEP, LEAST_DIVIDED, ON_OUTLINE, SAME_CUT,
};

/// How an end of a strip is shaped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EndLook {
    /// As the edges run there, in whose seam it is caught.
    AsEdges,
    Straight,
    Pointed,
    Round,
}

/// From where to where along the walk a strip goes, with how wide it is and how its ends look at both.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub from: f64,
    pub to: f64,
    pub widths: (f64, f64),
    pub looks: (EndLook, EndLook),
}

impl Span {
    pub(super) fn length(&self) -> f64 {
        self.to - self.from
    }

    /// How much wider it gets in a millimetre.
    fn slope(&self) -> f64 {
        (self.widths.1 - self.widths.0) / self.length()
    }

    /// How far from the walk its edges lie, mm.
    fn half_at(&self, at: f64) -> f64 {
        (self.widths.0 + self.slope() * (at - self.from)) / 2.0
    }

    /// From where to where its two edges go: what is pointed or round is as long as it is half wide.
    fn sides(&self) -> (f64, f64) {
        let is_shaped = |look| matches!(look, EndLook::Pointed | EndLook::Round);
        let start = if is_shaped(self.looks.0) { self.widths.0 / (2.0 - self.slope()) } else { 0.0 };
        let end = if is_shaped(self.looks.1) { self.widths.1 / (2.0 + self.slope()) } else { 0.0 };
        (self.from + start, self.to - end)
    }
}

/// A long edge of a strip, in the direction of the walk.
struct Long {
    hand: LeftOrRight,
    curve: Curve,
    /// From where to where on the half's line it lies beside it.
    along: (f64, f64),
}

/// An end of a strip, walked from the left half to the right one at the walk's end, and back at its start.
struct EndLine {
    curve: Curve,
    /// How much of it, from either half's corner outward, lies on the outline there: left, right.
    on_outline: Option<(f64, f64)>,
    /// How far the left half's outline was slid so that the corners meet.
    slid: Motion,
}

/// The lines of a strip.
pub(super) struct StripLines {
    left: Long,
    right: Long,
    start: EndLine,
    end: EndLine,
}

/// What the strip's edges are called.
pub(super) struct StripNames {
    pub left: EdgeName,
    pub end: EdgeName,
    pub right: EdgeName,
    pub start: EdgeName,
}

impl StripLines {
    /// Whether its start and its end run out along the edges there.
    pub(super) fn caught(&self) -> [bool; 2] {
        [&self.start, &self.end].map(|end| end.on_outline.is_some())
    }

    /// The lines of its edges, clockwise: left, end, right, start.
    pub(super) fn curves(&self) -> [Curve; 4] {
        let [left, end] = [&self.left, &self.right].map(|long| long.curve.clone());
        [left, self.end.curve.clone(), end.reversed(), self.start.curve.clone()]
    }
}

/// The lines of a strip on a ground whose left half is laid along the span; or why there are none.
pub(super) fn lines(ground: &StripGround, span: &Span) -> Result<StripLines, String> {
    let (from, to) = span.sides();
    if to - from < LEAST_DIVIDED {
        return Err("its ends meet".to_owned());
    }
    let right = long(ground, span, LeftOrRight::Right)?;
    let left = long(ground, span, LeftOrRight::Left)?;
    let mut longs = [left, right];
    let start = end_line(ground, span, &mut longs, 0)?;
    let end = end_line(ground, span, &mut longs, 1)?;
    let [left, right] = longs;
    let made = StripLines { left, right, start, end };
    refuse_crossing(&made)?;
    for long in [&made.left, &made.right] {
        refuse_pinched(ground, span, long)?;
    }
    refuse_outside(ground, &made)?;
    Ok(made)
}

fn half<'g, 'a>(ground: &'g StripGround<'a>, hand: LeftOrRight) -> &'g GroundHalf<'a> {
    match hand {
        LeftOrRight::Left => &ground.left,
        LeftOrRight::Right => &ground.right,
    }
}

/// How far a half's line lies behind the walk.
fn behind(ground: &StripGround, span: &Span, hand: LeftOrRight) -> f64 {
    match hand {
        LeftOrRight::Right => 0.0,
        LeftOrRight::Left => span.from - ground.on_left((span.from, span.to)).0,
    }
}

fn failed<E>(_: E) -> String {
    "its lines cannot be drawn".to_owned()
}

/// The line beside a half's, from where to where the strip's edge goes.
fn long(ground: &StripGround, span: &Span, hand: LeftOrRight) -> Result<Long, String> {
    let line = &half(ground, hand).line;
    let behind = behind(ground, span, hand);
    let (from, to) = span.sides();
    let (from, to) = ((from - behind).max(0.0), (to - behind).min(line.length()));
    let stretch = line.stretch(from, to).map_err(failed)?;
    let out = |at: f64| {
        let way = line.tangent_at(at);
        let side = if hand == LeftOrRight::Left { left_of(way) } else { right_of(way) };
        line.point_at(at) + side * span.half_at(at + behind)
    };
    let is_even = span.widths.0 == span.widths.1;
    let curve = if is_even {
        let by = if hand == LeftOrRight::Left { span.widths.0 } else { -span.widths.0 } / 2.0;
        offset(&stretch, by, FACING_ACCURACY).map_err(failed)?
    } else if stretch.is_straight(SAME_CUT) {
        Curve::line(out(from), out(to)).map_err(failed)?
    } else {
        let count = (stretch.length() / LAY_STEP).ceil().max(2.0);
        let places = (0..=count as usize).map(|i| out(from + (to - from) * i as f64 / count));
        fit_through(&places.collect::<Vec<_>>(), None, None, FACING_ACCURACY).map_err(failed)?
    };
    Ok(Long { hand, curve, along: (from, to) })
}

/// The end of a strip at the walk's start (0) or end (1); cuts its long edges back, or runs them on, to where it meets them.
fn end_line(
    ground: &StripGround,
    span: &Span,
    longs: &mut [Long; 2],
    which: usize,
) -> Result<EndLine, String> {
    let look = if which == 0 { span.looks.0 } else { span.looks.1 };
    let ways = [&ground.left.ends[which], &ground.right.ends[which]];
    let free = |curve: Curve| EndLine { curve, on_outline: None, slid: Motion::identity() };
    if let (EndLook::AsEdges, [Some(left), Some(right)]) = (look, ways) {
        return caught_end(span, longs, which, (left, right));
    }
    let [left, right] =
        [&longs[0], &longs[1]].map(|long| if which == 0 { long.curve.start() } else { long.curve.end() });
    // Clockwise: from left to right at the end, back at the start.
    let (first, last) = if which == 0 { (right, left) } else { (left, right) };
    let line = |points: &[Point]| Curve::polyline(points).map_err(failed);
    let across = last - first;
    let (middle, out) = (first.midpoint(last), left_of(across));
    match look {
        EndLook::AsEdges | EndLook::Straight => Ok(free(line(&[first, last])?)),
        EndLook::Pointed => Ok(free(line(&[first, middle + out / 2.0, last])?)),
        EndLook::Round => Ok(free(half_round(first, last)?)),
    }
}

/// Half a circle from one point to another, bulging to the left of the way, as two cubics.
fn half_round(first: Point, last: Point) -> Result<Curve, String> {
    /// Where the handles of a cubic stand that is a quarter of a circle: off it by less than 0.03 %.
    const QUARTER: f64 = 0.552_284_749_830_793_4;
    let (across, middle) = (last - first, first.midpoint(last));
    let out = left_of(across) / 2.0;
    let (top, along) = (middle + out, across / 2.0);
    let rise = CubicBez::new(first, first + out * QUARTER, top - along * QUARTER, top);
    let fall = CubicBez::new(top, top + along * QUARTER, last + out * QUARTER, last);
    Curve::new([PathSeg::Cubic(rise), PathSeg::Cubic(fall)]).map_err(failed)
}

/// An end that follows the outline of the pieces there.
fn caught_end(
    span: &Span,
    longs: &mut [Long; 2],
    which: usize,
    (left, right): (&WayFromEnd, &WayFromEnd),
) -> Result<EndLine, String> {
    let slid = Motion::shift(right.path.start() - left.path.start());
    let far = 4.0 * span.widths.0.max(span.widths.1);
    let mut reached = [0.0; 2];
    let paths = [left.path.moved(&slid), right.path.clone()];
    for (i, (way, path)) in [left, right].into_iter().zip(&paths).enumerate() {
        let curve = &longs[i].curve;
        let (run_on, end) = match which {
            0 => (curve.run_on(far, 0.0), curve.end()),
            _ => (curve.run_on(0.0, far), curve.start()),
        };
        let met = nearest_on(&run_on, path).ok_or_else(|| {
            let edge = way.piece.edge_ref(way.edge);
            format!("it would be wider than `{edge}` is long beside it, {:.0} mm", path.length())
        })?;
        let (at, on, point) = met;
        let cut = match which {
            0 => run_on.stretch(at, run_on.length()).and_then(|curve| curve.with_ends(point, end)),
            _ => run_on.stretch(0.0, at).and_then(|curve| curve.with_ends(end, point)),
        };
        longs[i].curve = cut.map_err(failed)?;
        reached[i] = on;
    }
    let stretch = |i: usize| paths[i].stretch(0.0, reached[i]).map_err(failed);
    let (from, to) = if which == 0 { (stretch(1)?, stretch(0)?) } else { (stretch(0)?, stretch(1)?) };
    let curve = from.reversed().joined_within(&to, JOINT).map_err(failed)?;
    let is_straight = left.is_fold() && curve.is_straight(JOINT);
    let curve = match is_straight {
        true => Curve::line(curve.start(), curve.end()).map_err(failed)?,
        false => curve,
    };
    Ok(EndLine { curve, on_outline: Some((reached[0], reached[1])), slid })
}

fn refuse_crossing(made: &StripLines) -> Result<(), String> {
    let outline = Outline::welded_within(made.curves(), crate::tolerance::WELD);
    match outline {
        Ok(outline) if outline.self_crossings().is_empty() && outline.area() > 0.0 => Ok(()),
        _ => Err("it would lie over itself".to_owned()),
    }
}

/// Places along a line about a step apart.
fn places(curve: &Curve) -> Vec<Point> {
    curve.points_evenly((curve.length() / LAY_STEP).ceil().max(1.0) as usize)
}

/// Refuses an edge that comes nearer to the walk than it should, as in the hollow of a bend.
fn refuse_pinched(ground: &StripGround, span: &Span, long: &Long) -> Result<(), String> {
    let line = &half(ground, long.hand).line;
    let behind = behind(ground, span, long.hand);
    for place in places(&long.curve) {
        let foot = line.nearest(place);
        let is_beside = foot.at > long.along.0 + SAME_CUT && foot.at < long.along.1 - SAME_CUT;
        if is_beside && span.half_at(foot.at + behind) - foot.distance > BAND_ACCURACY {
            return Err(format!("it bends too sharply: its edge would be only {:.1} mm off", foot.distance));
        }
    }
    Ok(())
}

/// Refuses edges that leave the pieces beneath.
fn refuse_outside(ground: &StripGround, made: &StripLines) -> Result<(), String> {
    let mut parts: Vec<(&StretchUnder, Outline)> = Vec::new();
    for half in [&ground.right, &ground.left] {
        for under in &half.under {
            let known = |(other, _): &(&StretchUnder, Outline)| {
                other.piece.name() == under.piece.name() && other.motion == under.motion
            };
            if parts.iter().any(known) {
                continue;
            }
            let curves = under.piece.edges().iter().map(|edge| edge.curve.moved(&under.motion));
            let outline = Outline::welded_within(curves, crate::tolerance::WELD).map_err(failed)?;
            parts.push((under, outline));
        }
    }
    // What is caught in a seam ends on the outline.
    let free = [&made.start, &made.end].into_iter().filter(|end| end.on_outline.is_none());
    let lines = [&made.left.curve, &made.right.curve].into_iter().chain(free.map(|end| &end.curve));
    for point in lines.flat_map(places) {
        let holds = |(_, outline): &(&StretchUnder, Outline)| {
            outline.contains(point) || outline.distance(point) <= ON_OUTLINE.max(FACING_FLAT)
        };
        if parts.iter().any(holds) {
            continue;
        }
        let nearest = parts.iter().min_by(|a, b| a.1.distance(point).total_cmp(&b.1.distance(point)));
        return Err(nearest.map_or_else(String::new, |(under, _)| {
            let at = under.piece.nearest_on_outline(under.motion.inverse().apply(point));
            format!("it would leave `{}` by `{}`", under.piece.name(), under.piece.edge(at.edge).name)
        }));
    }
    Ok(())
}

/// How the strip lies on what is beneath it.
pub(super) fn laid_parts(
    ground: &StripGround,
    span: &Span,
    made: &StripLines,
    names: &StripNames,
) -> Vec<LaidPart> {
    let mut parts = StripParts::default();
    for long in [&made.right, &made.left] {
        beside(ground, span, long, names, &mut parts);
    }
    let ends = [(&made.start, &names.start), (&made.end, &names.end)];
    for (which, (end, name)) in ends.into_iter().enumerate() {
        let Some((left, right)) = end.on_outline else { continue };
        let [Some(left_way), Some(right_way)] = [&ground.left.ends[which], &ground.right.ends[which]] else {
            continue;
        };
        let apart = (end.slid.apply(Point::ORIGIN).to_vec2().hypot() > SAME_CUT).then_some(which);
        let (first, second) = if which == 0 { (right, left) } else { (left, right) };
        // Clockwise one comes in along the outline to the first corner, and goes out along it from there.
        let halves = [
            (LeftOrRight::Left, left_way, left, which == 0, apart),
            (LeftOrRight::Right, right_way, right, which == 1, None),
        ];
        debug_assert!((first + second - end.curve.length()).abs() <= 1.0);
        for (hand, way, reached, goes_out, apart) in halves {
            for (before, under) in walked(&way.under) {
                let (a, b) = (before.min(reached), (before + under.curve.length()).min(reached));
                if b - a <= SAME_CUT {
                    continue;
                }
                let (at_a, at_b) = (under.place(a - before), under.place(b - before));
                let (stretch, along) = match goes_out {
                    true => ((first + a, first + b), (at_a, at_b)),
                    false => ((first - b, first - a), (at_b, at_a)),
                };
                let lies = LaidStretch {
                    edge: name.clone(),
                    stretch,
                    on: under.on.clone(),
                    along,
                    inside: 0.0,
                    further: 0.0,
                    lies: LiesTo::Right,
                };
                parts.add((hand_of(ground, hand), under.part, apart), under, lies);
            }
        }
    }
    parts.0.into_iter().map(|(_, part)| part).collect()
}

/// What was moved as one: the half, the part of it, and the end that was slid by itself.
type MovedAsOne = (LeftOrRight, usize, Option<usize>);

/// Parts that lie by one motion.
#[derive(Default)]
struct StripParts(Vec<(MovedAsOne, LaidPart)>);

impl StripParts {
    fn add(&mut self, key: MovedAsOne, under: &StretchUnder, lies: LaidStretch) {
        match self.0.iter_mut().find(|(known, _)| *known == key) {
            Some((_, part)) => part.stretches.push(lies),
            None => {
                let (on, copy) = (under.piece.name().clone(), under.copy);
                self.0.push((key, LaidPart { on, copy, stretches: vec![lies] }));
            }
        }
    }
}

/// Over a line both halves are one piece, moved as one.
fn hand_of(ground: &StripGround, hand: LeftOrRight) -> LeftOrRight {
    if ground.is_line() { LeftOrRight::Right } else { hand }
}

/// The stretches of a long edge that lie beside the line of its half.
fn beside(ground: &StripGround, span: &Span, long: &Long, names: &StripNames, parts: &mut StripParts) {
    let half = half(ground, long.hand);
    let behind = behind(ground, span, long.hand);
    let out = |at: f64| {
        let way = half.line.tangent_at(at);
        let side = if long.hand == LeftOrRight::Left { left_of(way) } else { right_of(way) };
        half.line.point_at(at) + side * span.half_at(at + behind)
    };
    let Some((from, to)) = lies_beside(&long.curve, &out, long.along) else { return };
    let whole = long.curve.length();
    for (before, under) in half.walked() {
        let (a, b) = (from.max(before), to.min(before + under.curve.length()));
        if b - a <= SAME_CUT {
            continue;
        }
        let own = |at: f64| long.curve.nearest(out(at)).at;
        let (at_a, at_b) = (under.place(a - before), under.place(b - before));
        let (half_a, half_b) = (span.half_at(a + behind), span.half_at(b + behind));
        // A style line is walked as it was drawn: what lies to its left is less than nothing inside.
        let sign = if ground.is_line() && long.hand == LeftOrRight::Left { -1.0 } else { 1.0 };
        let (stretch, along, halves, name) = match long.hand {
            LeftOrRight::Left => ((own(a), own(b)), (at_a, at_b), (half_a, half_b), &names.left),
            LeftOrRight::Right => {
                ((whole - own(b), whole - own(a)), (at_b, at_a), (half_b, half_a), &names.right)
            }
        };
        let lies = if sign < 0.0 { LiesTo::Right } else { LiesTo::Left };
        let lies = LaidStretch {
            edge: name.clone(),
            stretch,
            on: under.on.clone(),
            along,
            inside: sign * halves.0,
            further: sign * (halves.1 - halves.0),
            lies,
        };
        parts.add((hand_of(ground, long.hand), under.part, None), under, lies);
    }
}

/// From where to where along a line the places beside it lie on an edge, which may be cut back at a slant.
fn lies_beside(edge: &Curve, out: &dyn Fn(f64) -> Point, (from, to): (f64, f64)) -> Option<(f64, f64)> {
    around_middle(|at| edge.nearest(out(at)).distance <= 2.0 * FACING_ACCURACY, (from, to))
}
