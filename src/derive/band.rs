//! The outline of a band of even depth inside a run that lies flat.
//!
//! ```text
//!        outer sides ───>
//!     ┌────────────┐
//!     │            └───┐   last end
//!     │ first      ┌───┘
//!     └────────────┘
//!        <─── inner
//! ```

use crate::curve::{Curve, Outline, Point, Radians, offset, turn_between};
use crate::derive::closed::{ClosedRun, EndKind, LaidAlong, WayIn};
use crate::derive::turned::turned_at_ends;
use crate::pattern::{EdgeRef, Finish, Refusal, RefusalKind};
use crate::tolerance::{BAND_ACCURACY, CHECKED_ANGLE, FACING_ACCURACY, JOINT, ON_OUTLINE};
use crate::units::Length;

/// How far apart the places are at which the depth is measured, mm.
const STEP: f64 = 2.0;

/// The lines of a band: clockwise the outer sides, the last end, the inner line, the first end.
pub(super) struct Band {
    /// One for each side of the run.
    pub outer: Vec<Curve>,
    /// From the outer line into the piece.
    pub last: Curve,
    /// Against the run.
    pub inner: Curve,
    /// From the inner line to the outer.
    pub first: Curve,
    /// How far from the run's corners the two ends begin on the edges that they lie on.
    pub starts: (f64, f64),
}

/// All that a band is reckoned from, to the last bit.
#[derive(PartialEq, Eq, Hash)]
pub(super) struct BandOf(Vec<u64>);

impl BandOf {
    pub(super) fn of(run: &ClosedRun, inside: Length, depth: Length) -> BandOf {
        let mut bits = vec![inside.mm().to_bits(), depth.mm().to_bits(), run.sides.len() as u64];
        for side in &run.sides {
            bits.push(side.laid.len() as u64);
            for laid in &side.laid {
                bits.push(laid.part as u64);
                bits.extend(laid.curve.exactly());
                bits.extend(laid.motion.to_array().map(f64::to_bits));
                bits.push(laid.piece.edges().len() as u64);
                bits.extend(laid.piece.edges().iter().flat_map(|edge| edge.curve.exactly()));
            }
        }
        for end in [&run.first, &run.last] {
            bits.extend(end.path.exactly());
            bits.push(u64::from(is_sewn_on(end)));
        }
        BandOf(bits)
    }
}

/// Lines beside a run's sides, cut where they meet one another and the ends.
struct LinesBeside {
    curves: Vec<Curve>,
    /// How far from the run's corners they meet the first and the last end.
    at: (f64, f64),
}

/// The band from a distance inside of a run to a depth inside of it.
///
/// # Errors
///
/// Refuses a depth at which the inner line leaves the pieces, or comes nearer to the run than that.
pub(super) fn band(run: &ClosedRun, inside: Length, depth: Length) -> Result<Band, Refusal> {
    let sides: Vec<Curve> = run.sides.iter().map(|side| side.curve()).collect::<Result<_, _>>()?;
    let outer = beside(run, &sides, inside)?;
    let inner = beside(run, &without_smooth_joints(&sides, depth)?, depth)?;
    refuse_outside(run, &inner, depth)?;
    refuse_pinched(run, &sides, &inner, depth)?;
    let end = |path: &Curve, from: f64, to: f64| match to > from {
        true => path.stretch(from, to).map_err(Refusal::from),
        false => Err(too_deep(run, depth, "its inner line would meet its outer one")),
    };
    let first = end(&run.first.path, outer.at.0, inner.at.0)?.reversed();
    let last = end(&run.last.path, outer.at.1, inner.at.1)?;
    let mut line: Option<Curve> = None;
    for curve in &inner.curves {
        line = Some(match line {
            None => curve.clone(),
            Some(so_far) => so_far.joined_within(curve, BAND_ACCURACY)?,
        });
    }
    let inner_line = line.ok_or(crate::curve::CurveError::Empty)?;
    let inner = square_to_seams(run, inner_line, inner.at)?.reversed();
    Ok(Band { outer: outer.curves, last, inner, first, starts: outer.at })
}

/// Whether a facing goes on in another across a seam at an end of its run.
fn is_sewn_on(end: &WayIn) -> bool {
    end.kind == EndKind::Along && end.tip.piece.edge(end.edge).finish == Finish::Seam
}

/// The inner line turned at its ends as the seams there are on the way to it, where it would not run on straight enough in the inner
/// line of another facing beyond.
fn square_to_seams(run: &ClosedRun, line: Curve, (first, last): (f64, f64)) -> Result<Curve, Refusal> {
    let turn = |end: &WayIn, at: f64| {
        let turn = turn_between(end.path.start_tangent(), end.path.tangent_at(at));
        let bends = is_sewn_on(end) && turn.degrees().abs() > CHECKED_ANGLE / 2.0;
        if bends { turn } else { Radians(0.0) }
    };
    let turns = (turn(&run.first, first), turn(&run.last, last));
    if turns.0.0 == 0.0 && turns.1.0 == 0.0 {
        return Ok(line);
    }
    let over = first.max(last).min(line.length() * TURNED_OVER);
    Ok(turned_at_ends(&line, turns, over)?)
}

/// Over what share of its length an inner line is drawn anew at its end, at most; else over as much as it is deep.
const TURNED_OVER: f64 = 1.0 / 3.0;

/// The sides as the inner line runs beside them: those that go on in one another without a corner are one, so that a side that
/// is shorter than the band is deep is no hindrance.
fn without_smooth_joints(sides: &[Curve], depth: Length) -> Result<Vec<Curve>, Refusal> {
    let mut joined: Vec<Curve> = Vec::new();
    for side in sides {
        let goes_on = |last: &&mut Curve| {
            let turn = turn_between(last.end_tangent(), side.start_tangent()).0.abs();
            turn * depth.mm() <= BAND_ACCURACY
        };
        match joined.last_mut().filter(goes_on) {
            Some(last) => *last = last.joined_within(side, JOINT)?,
            None => joined.push(side.clone()),
        }
    }
    Ok(joined)
}

fn beside(run: &ClosedRun, sides: &[Curve], by: Length) -> Result<LinesBeside, Refusal> {
    if by.mm() == 0.0 {
        return Ok(LinesBeside { curves: sides.to_vec(), at: (0.0, 0.0) });
    }
    // Where an end or a side leaves at a slant, the line beside the run goes on to it.
    let far = 4.0 * by.mm();
    let mut curves: Vec<Curve> =
        sides.iter().map(|side| offset(side, -by.mm(), FACING_ACCURACY)).collect::<Result<_, _>>()?;
    for i in 1..curves.len() {
        // Where the edge goes on in the next without a corner, so does the line beside it.
        let (end, start) = (curves[i - 1].end(), curves[i].start());
        if end.distance(start) <= BAND_ACCURACY {
            let meeting = end.midpoint(start);
            curves[i - 1] = curves[i - 1].with_ends(curves[i - 1].start(), meeting)?;
            curves[i] = curves[i].with_ends(meeting, curves[i].end())?;
            continue;
        }
        let (before, after) = (curves[i - 1].run_on(0.0, far), curves[i].run_on(far, 0.0));
        let corner = sides[i].start();
        let met = before
            .crossings(&after)
            .into_iter()
            .min_by(|a, b| a.point.distance(corner).total_cmp(&b.point.distance(corner)));
        let Some(met) = met else {
            return Err(too_deep(run, by, "at a corner of the run its inner lines do not meet"));
        };
        curves[i - 1] = before.stretch(0.0, met.at)?;
        curves[i] = after.stretch(met.other_at, after.length())?.with_ends(met.point, after.end())?;
        let start = curves[i - 1].start();
        curves[i - 1] = curves[i - 1].with_ends(start, met.point)?;
    }
    let first = curves[0].run_on(far, 0.0);
    let met = nearest_on(&first, &run.first.path);
    let Some((at, on, point)) = met else { return Err(short_end(run, by, &run.first)) };
    curves[0] = first.stretch(at, first.length())?.with_ends(point, first.end())?;
    let end = curves.len() - 1;
    let last = curves[end].run_on(0.0, far);
    let met = nearest_on(&last, &run.last.path);
    let Some((at, on_last, point)) = met else { return Err(short_end(run, by, &run.last)) };
    let start = last.start();
    curves[end] = last.stretch(0.0, at)?.with_ends(start, point)?;
    Ok(LinesBeside { curves, at: (on, on_last) })
}

/// Where a line first meets the edge at an end: how far along the line, how far along the edge, and the place.
pub(super) fn nearest_on(line: &Curve, path: &Curve) -> Option<(f64, f64, Point)> {
    let met = line.crossings(path).into_iter().min_by(|a, b| a.other_at.total_cmp(&b.other_at))?;
    Some((met.at, met.other_at, met.point))
}

fn short_end(run: &ClosedRun, depth: Length, end: &super::closed::WayIn) -> Refusal {
    let edge = end.tip.piece.edge_ref(end.tip.edge);
    too_deep(run, depth, &format!("its inner line does not meet `{edge}`, {:.0} mm long", end.path.length()))
}

fn refuse_pinched(
    run: &ClosedRun,
    sides: &[Curve],
    inner: &LinesBeside,
    depth: Length,
) -> Result<(), Refusal> {
    let near =
        |point: Point| sides.iter().map(|side| side.nearest(point).distance).fold(f64::INFINITY, f64::min);
    let least = places(inner).map(near).fold(f64::INFINITY, f64::min);
    pinched(depth, least).map_or(Ok(()), |why| Err(too_deep(run, depth, &why)))
}

/// That a band is nowhere as deep as it should be, where it is as little deep as that, mm.
pub(crate) fn pinched(depth: Length, least: f64) -> Option<String> {
    (depth.mm() - least > BAND_ACCURACY)
        .then(|| format!("it bends so tightly that the band would be only {least:.1} mm deep in places"))
}

fn places(inner: &LinesBeside) -> impl Iterator<Item = Point> + '_ {
    inner
        .curves
        .iter()
        .flat_map(|curve| curve.points_evenly((curve.length() / STEP).ceil().max(1.0) as usize))
}

/// Refuses an inner line that leaves the pieces.
fn refuse_outside(run: &ClosedRun, inner: &LinesBeside, depth: Length) -> Result<(), Refusal> {
    let laid: Vec<&LaidAlong> = run.sides.iter().flat_map(|side| &side.laid).collect();
    let mut parts: Vec<(&LaidAlong, Outline)> = Vec::new();
    for one in laid {
        if !parts.iter().any(|(other, _)| other.part == one.part) {
            let curves = one.piece.edges().iter().map(|edge| edge.curve.moved(&one.motion));
            parts.push((one, Outline::welded_within(curves, crate::tolerance::WELD)?));
        }
    }
    for point in places(inner) {
        let is_inside = |(_, outline): &(&LaidAlong, Outline)| {
            outline.contains(point) || outline.distance(point) <= ON_OUTLINE
        };
        if parts.iter().any(is_inside) {
            continue;
        }
        let nearest = parts.iter().min_by(|a, b| a.1.distance(point).total_cmp(&b.1.distance(point)));
        let why = nearest.map_or_else(String::new, |(laid, _)| {
            let at = laid.piece.nearest_on_outline(laid.motion.inverse().apply(point));
            format!("its inner line would leave by `{}`", laid.piece.edge_ref(at.edge))
        });
        return Err(too_deep(run, depth, &why));
    }
    Ok(())
}

fn too_deep(run: &ClosedRun, depth: Length, why: &str) -> Refusal {
    let links = run.sides.iter().flat_map(|side| &side.links);
    let along: Vec<String> = links.map(|link| EdgeRef::to_string(&link.edge_ref())).collect();
    Refusal::new(
        RefusalKind::BadWidth,
        along.join(" "),
        format!("{depth} is too deep along the edges: {why}"),
        "give less depth, or name fewer edges",
    )
    .about(depth)
}
