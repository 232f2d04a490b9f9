//! One fair line across the end of a seam, where pieces were joined beside it.
//!
//! ```text
//!            old seam  new seam
//!     ── A ───.   │     │   .──── B ──        a waist that climbs to the old seam, falls over the strip
//!              ` ·│· ․ ․│․ ·                  and climbs again beyond the new seam
//!
//!     ── A ─ ─ ─ ─│─ ─ ─│─ ─ ─ ─ B ──         is drawn from A to B in one line
//! ```
//!
//! Shaping that is carried from an old seam to a new one turns the strip between them. The lines that met the old seam
//! then turn twice: at the old seam, and the other way at the new one. Both pieces are laid flat at the end of the new
//! seam and the line is drawn once over both. The seam ends where it is crossed, as far along either side, so that both
//! sides stay as long as each other; and there the line is shifted along the seam until it is as long as it was.

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, PathSeg};

use crate::curve::{Curve, Vec2, left_of, right_of, turn_between};
use crate::parts::reshape::{Redrawn, end_point, leaving_direction, longer_at};
use crate::pattern::{
    CornerShape, EdgeEnd, EdgeId, EdgeRef, EdgeTip, Finish, Pattern, Refusal, SeamId, Side, WalkEnd,
};
use crate::recut::seam_end::{SideEnd, draw_all_anew, reach, tell_lengths};
use crate::recut::{Notice, Work};
use crate::tolerance::{CHECKED_ANGLE, MOST_MOVED_TRUED, SAME_CUT};
use crate::truing::{beyond, run_end, run_start};
use crate::units::Length;

/// The least that a line is drawn anew beyond the last corner in it, mm.
const LEAST_BEYOND: f64 = 15.0;

/// How far it is drawn anew, as multiples of how far off that corner is, and of what that is at least, mm. Of these the one
/// serves best after which the line need be shifted least to be as long as it was: a line has a shape of its own.
const BEYOND: [f64; 4] = [2.0, 3.0, 4.0, 6.0];
const LEAST_STRIP: f64 = 15.0;

/// How much farther than the seam's end would go the place is sought where the line is as long as it was, mm.
const SOUGHT_BESIDE: f64 = 2.0;

/// How often the place where the seam ends is sought, halving.
const HALVINGS: usize = 50;

/// The ends of a seam at which the edges that meet it run on in one another when it is sewn, as near as the checks look: they do
/// not turn, or end at a fold, and no point is meant there.
///
/// # Errors
///
/// Refuses edges that do not exist.
pub(super) fn lines_that_run_on(work: &Work, id: SeamId) -> Result<Vec<WalkEnd>, Refusal> {
    let ends = WalkEnd::BOTH.into_iter().map(|at| Ok((at, both_ends(work, id, at)?)));
    let ends: Vec<_> = ends.collect::<Result<_, Refusal>>()?;
    Ok(ends.into_iter().filter(|(_, ends)| run_on(ends)).map(|(at, _)| at).collect())
}

fn run_on(ends: &[SideEnd; 2]) -> bool {
    let is_point = |end: &SideEnd| {
        end.finish() == Finish::Fold
            || end.piece.set_corner(end.edge, end.neighbour) == Some(&CornerShape::Point)
    };
    ends[0].kink_with(&ends[1]).to_degrees().abs() <= CHECKED_ANGLE
        && ends[0].finish() == ends[1].finish()
        && !ends.iter().any(is_point)
}

fn both_ends(work: &Work, id: SeamId, at: WalkEnd) -> Result<[SideEnd; 2], Refusal> {
    let seam = work.pattern.seam(id);
    let end = |side: Side| SideEnd::of(&work.pattern, seam.side(side), at);
    Ok([end(Side::First)?, end(Side::Second)?])
}

/// Draws the line across an end of a seam anew in one, where it turns there or beside it, by more than is seen; where
/// there is no room for that it stays, and the checks tell of the turn.
///
/// # Errors
///
/// Refuses edges that do not exist.
pub(super) fn fair_across(work: &mut Work, id: SeamId, at: WalkEnd) -> Result<(), Refusal> {
    let ends = both_ends(work, id, at)?;
    if ends[0].piece.name() == ends[1].piece.name() {
        return Ok(());
    }
    let Some(sides) = both(ends.iter().map(RunAway::of)) else { return Ok(()) };
    let across = ends[0].kink_with(&ends[1]).to_degrees();
    let turns = sides.iter().any(|side| side.last_corner().is_some());
    if (!turns && across.abs() <= CHECKED_ANGLE) || is_met_in_ring(&work.pattern, &sides) {
        return Ok(());
    }
    let strip = sides.iter().filter_map(RunAway::last_corner).fold(LEAST_STRIP, f64::max);
    let is_sewn =
        sides.iter().flat_map(RunAway::names).any(|edge| work.pattern.seams_of(&edge).next().is_some());
    let length = if is_sewn { LengthKept::Always } else { LengthKept::WherePossible };
    let ways = BEYOND.iter().filter_map(|times| {
        let sides = both(sides.iter().map(|side| side.drawn_over(times * strip)))?;
        drawn_in_one(&sides, length).map(|(drawn, shifted)| (sides, drawn, shifted))
    });
    let best = ways.min_by(|one, other| one.2.total_cmp(&other.2));
    let Some((sides, drawn, _)) = best else { return Ok(()) };
    let changes: Option<Vec<_>> = sides.iter().zip(&drawn).map(|(side, new)| side.redrawn(new)).collect();
    let Some(changes) = changes else { return Ok(()) };
    let pieces: Vec<_> = ends.iter().map(|end| &end.piece).zip(changes).collect();
    // Where a mouth stands in the way the line stays, and the checks tell of its turn.
    if draw_all_anew(work, &pieces).is_ok() {
        let edges = [&ends[0], &ends[1]].map(|end| end.name_of(end.neighbour));
        work.tell(Notice::DrawnInOne { edges, run_on: Length::from_mm(-drawn[0].1) });
        for (piece, redrawn) in &pieces {
            tell_lengths(work, piece, &redrawn[1..]);
        }
    }
    Ok(())
}

/// Whether a line is sewn all round, as an armhole, from a corner on that lies in it: there the sleeve's own seam comes to it, and
/// fits the corner as it was.
fn is_met_in_ring(pattern: &Pattern, sides: &[RunAway; 2]) -> bool {
    let runs = sides.iter().flat_map(RunAway::names).flat_map(|edge| {
        let sewn = pattern.seams_of(&edge).map(|id| pattern.seam(id));
        sewn.filter_map(|seam| Some(seam.side(seam.side_of(&edge)?))).collect::<Vec<_>>()
    });
    runs.filter_map(|run| run_start(run).zip(run_end(run))).any(|(start, end)| {
        let lies_in_it = [&start, &end].iter().any(|tip| sides.iter().any(|side| side.has_corner_at(tip)));
        lies_in_it && are_together(pattern, &start, &end)
    })
}

/// Whether two ends of a run come together: at one corner of a piece, or by a seam.
fn are_together(pattern: &Pattern, start: &EdgeTip, end: &EdgeTip) -> bool {
    beyond(pattern, start).zip(beyond(pattern, end)).is_some_and(|((before, _), (after, _))| {
        let mut seams = pattern.seams_of(&before.0).map(|id| pattern.seam(id));
        before == *end || seams.any(|seam| seam.edges().any(|run| run.edge == after.0))
    })
}

fn both<T>(found: impl Iterator<Item = Option<T>>) -> Option<[T; 2]> {
    found.collect::<Option<Vec<T>>>()?.try_into().ok()
}

/// The line that leaves an end of a seam on one of its pieces: the neighbour and the edges that it goes on in.
#[derive(Clone, Debug)]
struct RunAway<'a> {
    end: &'a SideEnd,
    /// The edges, from the seam on, and how far along the line each ends.
    edges: Vec<(EdgeId, f64)>,
    /// The line from the seam on, as far as it may be drawn anew.
    line: Curve,
}

impl<'a> RunAway<'a> {
    fn of(end: &'a SideEnd) -> Option<RunAway<'a>> {
        let (piece, from) = (&end.piece, end.neighbour_end());
        let (mut edges, mut line): (Vec<(EdgeId, f64)>, Option<Curve>) = (Vec::new(), None);
        let mut edge = end.neighbour;
        let room = loop {
            let curve = leaving(&piece.edge(edge).curve, from);
            let walked = edges.last().map_or(0.0, |(_, to)| *to);
            let (length, room) = (curve.length(), reach(piece, edge, from));
            line = Some(match line {
                None => curve,
                Some(line) => line.joined(&curve).ok()?,
            });
            edges.push((edge, walked + length));
            let next = piece.beside(edge, from.other());
            let goes_on = match from {
                EdgeEnd::First => piece.goes_on(edge),
                EdgeEnd::Last => piece.goes_on(next),
            };
            let is_short = room >= length / 2.0 - SAME_CUT;
            if !goes_on || !is_short || edges.iter().any(|(known, _)| *known == next) || next == end.edge {
                break walked + room;
            }
            edge = next;
        };
        Some(RunAway { end, edges, line: line?.stretch(0.0, room).ok()? })
    }

    fn names(&self) -> impl Iterator<Item = EdgeRef> {
        self.edges.iter().map(|(edge, _)| self.end.name_of(*edge))
    }

    /// Whether an end of an edge is a corner of the line, at the seam or beyond it.
    fn has_corner_at(&self, (edge, end): &EdgeTip) -> bool {
        let place = self.names().position(|name| name.same_edge(edge));
        place.is_some_and(|place| *end == self.end.neighbour_end() || place + 1 < self.edges.len())
    }

    /// How far along the line its last corner is, that is seen.
    fn last_corner(&self) -> Option<f64> {
        let joints = self.line.joints();
        let seen = joints.iter().filter(|joint| joint.turn.to_degrees().abs() > CHECKED_ANGLE);
        seen.map(|joint| joint.at).fold(None, |last, at| Some(last.map_or(at, |last: f64| last.max(at))))
    }

    /// The same, no farther than so much beyond its last corner; none where there is no room there.
    fn drawn_over(&self, beyond: f64) -> Option<RunAway<'a>> {
        let corner = self.last_corner().unwrap_or(0.0);
        let room = self.line.length();
        if room - corner < LEAST_BEYOND {
            return None;
        }
        let line = self.line.stretch(0.0, room.min(corner + beyond)).ok()?;
        Some(RunAway { line, ..self.clone() })
    }

    /// Where a line of the seam leaves its end, into the piece, and the way square to it on which the piece lies.
    fn axes(&self, seam: &Curve) -> (Vec2, Vec2) {
        let into = leaving_direction(seam, self.end.end);
        let beside = match self.end.end {
            EdgeEnd::First => right_of(into),
            EdgeEnd::Last => left_of(into),
        };
        (into, beside)
    }

    /// The seam's edge where it ends so far along it: over zero within, under zero run on.
    fn seam(&self, at: f64) -> Option<Curve> {
        longer_at(&self.end.piece.edge(self.end.edge).curve, self.end.end, -at).ok()
    }

    /// The line from where the seam ends to where it is kept, leaving the seam's direction by an angle.
    fn drawn(&self, shape: &LeavingShape, at: f64) -> Option<Curve> {
        let seam = self.seam(at)?;
        let start = end_point(&seam, self.end.end);
        let (into, beside) = self.axes(&seam);
        let way = shape.way.x * beside + shape.way.y * into;
        let (end, onward) = (self.line.end(), self.line.end_tangent());
        let cubic = CubicBez::new(start, start + way * shape.handles.0, end - onward * shape.handles.1, end);
        Curve::new([PathSeg::Cubic(cubic)]).ok()
    }

    /// The edges that change, with the seam's ended at a place and the line as drawn.
    fn redrawn(&self, (line, at): &(Curve, f64)) -> Option<Vec<Redrawn>> {
        let from = self.end.neighbour_end();
        let grown = line.length() - self.line.length();
        let seam = Redrawn { edge: self.end.edge, curve: self.seam(*at)?, changed_at: self.end.end };
        let mut changes = vec![seam];
        let mut walked = 0.0;
        for (edge, to) in &self.edges {
            let is_last = *to >= self.line.length() - SAME_CUT;
            let curve = if is_last {
                let old = leaving(&self.end.piece.edge(*edge).curve, from);
                let begins = to - old.length();
                let new = line.stretch(walked, line.length()).ok()?;
                let kept = self.line.length() - begins;
                match old.length() - kept > SAME_CUT {
                    true => {
                        let rest = old.stretch(kept, old.length()).ok()?;
                        new.with_ends(new.start(), rest.start()).ok()?.joined(&rest).ok()?
                    }
                    false => new.with_ends(new.start(), old.end()).ok()?,
                }
            } else {
                line.stretch(walked, to + grown).ok()?
            };
            walked = to + grown;
            changes.push(Redrawn { edge: *edge, curve: leaving(&curve, from), changed_at: from });
            if is_last {
                break;
            }
        }
        Some(changes)
    }
}

/// An edge as it leaves one of its ends.
fn leaving(curve: &Curve, end: EdgeEnd) -> Curve {
    match end {
        EdgeEnd::First => curve.clone(),
        EdgeEnd::Last => curve.reversed(),
    }
}

/// Whether the line must be as long as it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LengthKept {
    /// As what is sewn to it is.
    Always,
    /// It is a hem or a free edge.
    WherePossible,
}

/// How a line leaves the seam on one side: its direction, beside the seam and into it, and how long its handles are.
struct LeavingShape {
    way: Vec2,
    handles: (f64, f64),
}

/// Both lines drawn anew, each with how far along the seam it begins; and how far they were shifted to be as long as they were.
fn drawn_in_one(sides: &[RunAway; 2], length: LengthKept) -> Option<([(Curve, f64); 2], f64)> {
    // Both pieces laid flat at the end of the seam, which runs upward from zero: the first to the left, the other right.
    let flat = |side: &RunAway, sign: f64| {
        let (into, beside) = side.axes(&side.end.piece.edge(side.end.edge).curve);
        let at = side.line.end() - side.end.point();
        let way = side.line.end_tangent();
        let turned = |v: Vec2| Vec2::new(sign * v.dot(beside), v.dot(into));
        (turned(at).to_point(), turned(way))
    };
    let ((a, a_way), (b, b_way)) = (flat(&sides[0], -1.0), flat(&sides[1], 1.0));
    // Of a line that bends evenly these are the handles.
    let bend = turn_between(-a_way, b_way).0;
    let handle = a.distance(b) / 1.5 / (1.0 + (bend / 2.0).cos());
    let whole = CubicBez::new(a, a - a_way * handle, b - b_way * handle, b);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if whole.eval(middle).x < 0.0 { low = middle } else { high = middle }
    }
    let crossed = whole.eval(low).y;
    let way = whole.deriv().eval(low).to_vec2().normalize();
    let parts = [whole.subsegment(0.0..low), whole.subsegment(low..1.0)];
    let shapes = [
        LeavingShape {
            way: Vec2::new(way.x, -way.y),
            handles: (parts[0].p3.distance(parts[0].p2), parts[0].p1.distance(parts[0].p0)),
        },
        LeavingShape { way, handles: (parts[1].p1.distance(parts[1].p0), parts[1].p3.distance(parts[1].p2)) },
    ];
    let drawn = |at: f64| {
        let line = |i: usize| sides[i].drawn(&shapes[i], at).map(|line| (line, at));
        Some([line(0)?, line(1)?])
    };
    let wanted: f64 = sides.iter().map(|side| side.line.length()).sum();
    let over =
        |at: f64| drawn(at).map(|lines| lines.iter().map(|(line, _)| line.length()).sum::<f64>() - wanted);
    let at = match (as_long(crossed, over), length) {
        (Some(at), _) => at,
        (None, LengthKept::WherePossible) => crossed,
        (None, LengthKept::Always) => return None,
    };
    drawn(at).filter(|_| at.abs() <= MOST_MOVED_TRUED).map(|lines| (lines, (at - crossed).abs()))
}

/// Where near a place the line is as long as it was.
fn as_long(near: f64, over: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    let most = near.abs() + SOUGHT_BESIDE;
    let (mut low, mut high) = (near - most, near + most);
    let at_low = over(low)?.signum();
    if at_low == over(high)?.signum() {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if over(middle)?.signum() == at_low { low = middle } else { high = middle }
    }
    Some(low)
}
