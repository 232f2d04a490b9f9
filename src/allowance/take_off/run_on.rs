//! How a line runs on where a cutting line does not reach.

use kurbo::{CubicBez, PathSeg, Vec2};

use crate::curve::{Crossing, Curve, Point, turn_between};
use crate::tolerance::{BEND_CHANGE, BEND_KEPT, BEND_SEEN, ENDS_MEET, NEARBY, PARALLEL, SHARPEST_RUN_ON};

/// A line run on at both ends with the bend it has there.
pub(super) struct RunOn {
    pub line: Curve,
    /// The walk distances between which it is the line itself.
    pub own: (f64, f64),
}

/// How a line runs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ahead {
    /// With the bend it ends in.
    Bent,
    /// Straight, where bent it would turn away from what it is to meet.
    Straight,
}

impl Ahead {
    pub const EITHER: [Ahead; 2] = [Ahead::Bent, Ahead::Straight];
}

impl RunOn {
    pub fn of(line: &Curve, before: f64, after: f64, ahead: Ahead) -> RunOn {
        let on = |line: &Curve, reach: f64| match ahead {
            Ahead::Bent => bent_on(line, reach),
            Ahead::Straight => line.run_on(0.0, reach),
        };
        let backward = on(&line.reversed(), before).reversed();
        let from = backward.length() - line.length();
        RunOn { line: on(&backward, after), own: (from, from + line.length()) }
    }
}

/// By how much a line that runs on so far beyond its end may be off, mm: its bend is taken to go on changing as it last
/// did, and at least by its own size over its radius, or over [`BEND_KEPT`] where that is shorter.
pub(super) fn doubt(line: &Curve, reach: f64) -> f64 {
    let bend = end_bend(line);
    let before = line.length() - BEND_CHANGE;
    let change = if before > 0.0 { (bend - line.curvature_at(before)).abs() / BEND_CHANGE } else { 0.0 };
    let own = bend.abs() * bend.abs().max(1.0 / BEND_KEPT);
    own.max(change) * reach.max(0.0).powi(3) / 6.0
}

/// The curvature with which a line ends, 1/mm.
fn end_bend(line: &Curve) -> f64 {
    let length = line.length();
    let last = line.segments().last().and_then(|segment| Curve::new([*segment]).ok());
    if last.is_some_and(|last| last.length() >= BEND_SEEN) {
        return line.curvature_at(length);
    }
    let seen = BEND_SEEN.min(length);
    let (from, to) = (line.tangent_at(length - seen), line.end_tangent());
    turn_between(from, to).0 / seen
}

/// The line run on along the circle that it ends on, no further round than a quarter; straight where that circle is too
/// tight to be a seamline's.
fn bent_on(line: &Curve, reach: f64) -> Curve {
    let bend = end_bend(line);
    if bend.abs() * reach <= PARALLEL || bend.abs() * SHARPEST_RUN_ON > 1.0 {
        return line.run_on(0.0, reach);
    }
    let quarter = std::f64::consts::FRAC_PI_2 / bend.abs();
    let round = reach.min(quarter);
    let (along, out) = (line.end_tangent(), Vec2::new(-line.end_tangent().y, line.end_tangent().x));
    let angle = bend * round / 2.0;
    let handle = 4.0 / 3.0 * (angle / 4.0).tan() / bend;
    let turned = |angle: f64| {
        (
            angle.cos() * along + angle.sin() * out,
            line.end() + (angle.sin() * along + (1.0 - angle.cos()) * out) / bend,
        )
    };
    let places = [turned(0.0), turned(angle), turned(2.0 * angle)];
    let arc = places.windows(2).map(|pair| {
        let ((from_along, from), (to_along, to)) = (pair[0], pair[1]);
        PathSeg::Cubic(CubicBez::new(from, from + handle * from_along, to - handle * to_along, to))
    });
    let whole = Curve::new(line.segments().iter().copied().chain(arc));
    whole.unwrap_or_else(|_| line.clone()).run_on(0.0, reach - round)
}

/// Two lines brought to their meeting.
pub(super) struct MetLines {
    pub at: Point,
    /// The first line up to there.
    pub first: Curve,
    /// The second from there.
    pub second: Curve,
    /// By how much each may be off where it ran on, mm.
    pub doubt: f64,
}

/// Where two lines meet nearest to the end of the first and the start of the second, each run on so far at most.
pub(super) fn met(before: &Curve, after: &Curve, reach: f64) -> Option<MetLines> {
    let (end, start) = (before.end(), after.start());
    if (end - start).hypot() <= ENDS_MEET {
        let at = end.midpoint(start);
        let first = before.with_ends(before.start(), at).ok()?;
        return Some(MetLines { at, first, second: after.with_ends(at, after.end()).ok()?, doubt: 0.0 });
    }
    let run_on = |ahead: &Ahead| met_ahead(before, after, reach, *ahead);
    met_nearby(before, after).or_else(|| Ahead::EITHER.iter().find_map(run_on))
}

fn met_ahead(before: &Curve, after: &Curve, reach: f64, ahead: Ahead) -> Option<MetLines> {
    let (first, second) = (RunOn::of(before, 0.0, reach, ahead), RunOn::of(after, reach, 0.0, ahead));
    let off =
        |crossing: &Crossing| (crossing.at - first.own.1).abs() + (crossing.other_at - second.own.0).abs();
    let found = first.line.crossings(&second.line).into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let beyond = (found.at - first.own.1, second.own.0 - found.other_at);
    let (up_to, from) = (
        first.line.stretch(0.0, found.at).ok()?,
        second.line.stretch(found.other_at, second.line.length()).ok()?,
    );
    Some(MetLines {
        at: found.point,
        first: up_to.with_ends(before.start(), found.point).ok()?,
        second: from.with_ends(found.point, after.end()).ok()?,
        doubt: doubt(before, beyond.0).max(doubt(&after.reversed(), beyond.1)),
    })
}

/// The meeting of two lines that end within [`NEARBY`] of it, where their tangents cross. Lines that run almost straight
/// on into one another have no other crossing that could be trusted.
fn met_nearby(before: &Curve, after: &Curve) -> Option<MetLines> {
    let (along, back) = (before.end_tangent(), -after.start_tangent());
    let apart = after.start() - before.end();
    let det = along.cross(back);
    let (ahead, behind) = (apart.cross(back) / det, apart.cross(along) / det);
    if !(ahead.abs() <= NEARBY && behind.abs() <= NEARBY) {
        return None;
    }
    let at = before.end() + ahead * along;
    let cut = |line: &Curve, by: f64| {
        let kept = line.stretch(0.0, line.length() - by.max(0.0)).ok()?;
        if by < 0.0 {
            kept.run_on(0.0, -by).with_ends(line.start(), at).ok()
        } else {
            kept.with_ends(line.start(), at).ok()
        }
    };
    let first = cut(before, -ahead)?;
    let second = cut(&after.reversed(), -behind)?.reversed();
    Some(MetLines { at, first, second, doubt: 0.0 })
}
