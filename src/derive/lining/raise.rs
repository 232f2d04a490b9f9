//! The underarm of a lining, raised on body and sleeve alike, so that the lining goes over the allowances of the armhole seam.
//!
//! Where cap and armhole are sewn in one run, that run begins and ends at the underarm. There both sides go up along the
//! seams that end there, and less and less on the way to a place some centimetres off:
//!
//! ```text
//!        │                 │
//!         ╲    raised       ╲ ___
//!          ╲____   ──>           │ by
//!               │ side           │ side
//! ```
//!
//! The sleeve is raised by what shortens its cap as much as the armhole is shortened: the ease stays as it was.

use crate::advice;
use crate::curve::{Curve, Point, Vec2, fit_through, left_of};
use crate::derive::lining::draft::Draft;
use crate::pattern::words::{ARMHOLE, CAP, says};
use crate::pattern::{
    EdgeEnd, EdgeId, Field, Operation, Pattern, Piece, Refusal, RefusalKind, Run, RunEdge, Seam, Side,
    Travel, Walk,
};
use crate::tolerance::{RAISED_ACCURACY, RAISED_REACH, SAME_CUT};
use crate::units::Length;

/// What share of the body's height a sleeve is raised by at least, and the other way round: beyond, the two are not alike.
const LEAST_RAISED: f64 = 0.5;

/// How far apart the places are through which a raised edge is drawn, mm.
const STEP: f64 = 2.0;

/// Raises the underarm on all edges of a piece that are sewn in an armhole seam; why not, where it has none.
///
/// # Errors
///
/// Refuses a raise that cannot be drawn.
pub(super) fn raise(
    pattern: &Pattern,
    source: &Piece,
    draft: &mut Draft,
    by: Length,
) -> Result<Option<Refusal>, Refusal> {
    if by.mm() <= 0.0 {
        return Err(wrong(source, by, format!("the underarm cannot be raised by {by}")));
    }
    let mut raised = 0;
    for seam in pattern.seams() {
        let Some(cap) = cap_side(seam) else { continue };
        for side in Side::BOTH {
            let run = seam.side(side);
            if !run.edges().iter().any(|run| run.edge.piece == *source.name()) {
                continue;
            }
            let armhole = raised_side(pattern, seam.side(cap.other()), by.mm())?;
            let found = match side == cap {
                false => armhole,
                true => raised_cap(pattern, run, shortened(&armhole), by.mm())?,
            };
            for edge in found.iter().filter(|edge| edge.piece.name() == source.name()) {
                apply(draft, edge)?;
                raised += 1;
            }
        }
    }
    let nowhere =
        || wrong(source, by, "no edge of the piece is sewn where an armhole meets a cap".to_owned());
    Ok((raised == 0).then(nowhere))
}

fn wrong(source: &Piece, by: Length, what: String) -> Refusal {
    let way_out = advice!(
        "raise linings of a body and of its sleeve, whose edges are called armhole and cap (",
        Operation::SetEdge.with(Field::Name, "armhole"),
        "), by 6mm to 13mm"
    );
    Refusal::new(RefusalKind::BadField, source.name(), what, way_out).about(by)
}

/// The side of a seam that is a sleeve's cap, where the other is an armhole.
fn cap_side(seam: &Seam) -> Option<Side> {
    let says = |side: Side, words: &[&str]| {
        seam.side(side).edges().iter().all(|run| says(run.edge.edge.as_str(), words))
    };
    Side::BOTH.into_iter().find(|side| says(*side, &CAP) && says(side.other(), &ARMHOLE))
}

/// An edge as it is when raised.
struct Raised<'a> {
    piece: &'a Piece,
    edge: EdgeId,
    curve: Curve,
    /// Walk distances on the old edge between which it lies as before; none of it where they are equal.
    kept: (f64, f64),
    /// By how much its two corners go up along the edges that end there, with those edges.
    ends: [Option<(EdgeId, f64)>; 2],
    /// Where the places of the old edge lie.
    places: Places,
}

/// Where a raised edge's places lie.
struct Places {
    old: Curve,
    /// The new start, and the new end, each drawn up to the kept stretch.
    zones: [Option<Curve>; 2],
    displaced: Vec<(f64, Point)>,
}

fn shortened(side: &[Raised]) -> f64 {
    side.iter().map(|raised| raised.places.old.length() - raised.curve.length()).sum()
}

/// The cap, raised so that it is shortened by so much.
fn raised_cap<'a>(
    pattern: &'a Pattern,
    run: &Run,
    shorter: f64,
    by: f64,
) -> Result<Vec<Raised<'a>>, Refusal> {
    /// Steps of the search: each makes the miss some ten times smaller.
    const STEPS: usize = 12;
    let (mut before, mut height) = ((0.0, 0.0), by);
    let mut found = raised_side(pattern, run, height)?;
    for _ in 0..STEPS {
        let now = shortened(&found);
        if (now - shorter).abs() < SAME_CUT {
            break;
        }
        // The secant through the last two heights.
        let steep = (now - before.1) / (height - before.0);
        before = (height, now);
        height = (height + (shorter - now) / steep).clamp(by * LEAST_RAISED, by / LEAST_RAISED);
        if height == before.0 {
            break;
        }
        found = raised_side(pattern, run, height)?;
    }
    Ok(found)
}

/// All edges of a side of the seam, raised at its two ends.
fn raised_side<'a>(pattern: &'a Pattern, run: &Run, by: f64) -> Result<Vec<Raised<'a>>, Refusal> {
    let whole = Walk::of(pattern, run)?.length();
    let reach = RAISED_REACH * whole;
    let mut before = 0.0;
    let mut found = Vec::new();
    for run_edge in run.edges() {
        let (piece, edge) = pattern.edge(&run_edge.edge)?;
        let length = piece.sewn_length(edge);
        let side = SideOf { run, piece, edge, run_edge, before, whole, reach, by };
        found.push(side.raised(length)?);
        before += length;
    }
    Ok(found)
}

/// An edge within its side of the seam.
struct SideOf<'a, 'r> {
    run: &'r Run,
    piece: &'a Piece,
    edge: EdgeId,
    run_edge: &'r RunEdge,
    /// Walk distance at which it begins.
    before: f64,
    whole: f64,
    reach: f64,
    by: f64,
}

impl<'a> SideOf<'a, '_> {
    /// How far a place of the edge is from the nearer end of the seam.
    fn off(&self, at: f64, length: f64) -> f64 {
        let sewn = self.piece.to_sewn(self.edge, at);
        let walked = match self.run_edge.travel {
            Travel::Clockwise => self.before + sewn,
            Travel::Anticlockwise => self.before + length - sewn,
        };
        walked.min(self.whole - walked).max(0.0)
    }

    /// By how much a place goes up: in whole at the underarm, not at all at the reach, without a corner at either.
    fn height(&self, at: f64, length: f64) -> f64 {
        let share = (self.off(at, length) / self.reach).min(1.0);
        self.by * (1.0 - share * share * (3.0 - 2.0 * share))
    }

    fn raised(&self, length: f64) -> Result<Raised<'a>, Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let total = curve.length();
        let count = (total / STEP).ceil().max(8.0) as usize;
        let stations: Vec<f64> = (0..=count).map(|i| total * i as f64 / count as f64).collect();
        let still = |at: &&f64| self.height(**at, length) <= 0.0;
        let (first, last) = (stations.iter().find(still), stations.iter().rev().find(still));
        let kept = first.zip(last).map(|(first, last)| (*first, *last));
        let ways = [self.way(EdgeEnd::First)?, self.way(EdgeEnd::Last)?];
        let heights = [self.height(0.0, length), self.height(total, length)];
        let displaced: Vec<(f64, Point)> = stations
            .iter()
            .map(|at| {
                let way = match kept {
                    Some((first, _)) if *at <= first => ways[0].0,
                    Some(_) => ways[1].0,
                    None => ways[0].0.lerp(ways[1].0, at / total),
                };
                (*at, curve.point_at(*at) + way * self.height(*at, length))
            })
            .collect();
        let drawn = |from: f64, to: f64| -> Result<Option<Curve>, Refusal> {
            let through: Vec<Point> = displaced
                .iter()
                .filter(|(at, _)| (from..=to).contains(at))
                .map(|(_, point)| *point)
                .collect();
            if to - from <= SAME_CUT || through.len() < 2 {
                return Ok(None);
            }
            let tangents = [
                (from > 0.0 || heights[0] >= self.by).then(|| curve.tangent_at(from)),
                (to < total || heights[1] >= self.by).then(|| curve.tangent_before(to)),
            ];
            Ok(Some(fit_through(&through, tangents[0], tangents[1], RAISED_ACCURACY)?))
        };
        let (from, to) = kept.unwrap_or((total, total));
        let zones = [drawn(0.0, from)?, drawn(to, total)?];
        let middle = (to - from > SAME_CUT).then(|| curve.stretch(from, to)).transpose()?;
        let mut whole: Option<Curve> = None;
        for part in [&zones[0], &middle, &zones[1]].into_iter().flatten() {
            whole = Some(match whole {
                None => part.clone(),
                Some(so_far) => so_far.joined_within(part, crate::tolerance::JOINT)?,
            });
        }
        let ends = [0, 1].map(|i| ways[i].1.filter(|_| heights[i] > 0.0).map(|beside| (beside, heights[i])));
        Ok(Raised {
            piece: self.piece,
            edge: self.edge,
            curve: whole.unwrap_or_else(|| curve.clone()),
            kept: (from, to),
            ends,
            places: Places { old: curve.clone(), zones, displaced },
        })
    }

    /// The way up at an end of the edge, and the edge that goes up with it: along the seam that ends there; where the next edge
    /// belongs to the armhole as well, square to this one.
    fn way(&self, end: EdgeEnd) -> Result<(Vec2, Option<EdgeId>), Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let (beside, square) = match end {
            EdgeEnd::First => (self.piece.previous(self.edge), left_of(curve.start_tangent())),
            EdgeEnd::Last => (self.piece.next(self.edge), left_of(curve.end_tangent())),
        };
        let name = &self.piece.edge(beside).name;
        let own = |run: &RunEdge| run.edge.piece == *self.piece.name() && run.edge.edge == *name;
        if self.run.edges().iter().any(own) {
            return Ok((square.normalize(), None));
        }
        let along = match end {
            EdgeEnd::First => self.piece.edge(beside).curve.end_tangent(),
            EdgeEnd::Last => -self.piece.edge(beside).curve.start_tangent(),
        };
        Ok((along.normalize(), Some(beside)))
    }
}

fn apply(draft: &mut Draft, raised: &Raised) -> Result<(), Refusal> {
    let name = &raised.piece.edge(raised.edge).name;
    // Where the lining ends at a facing before, there is nothing to raise.
    let Some(at) = draft.find(name).filter(|at| *draft.curve(*at) == raised.places.old) else {
        return Ok(());
    };
    let (old, total) = (raised.places.old.length(), raised.curve.length());
    let (from, to) = raised.kept;
    let lengths = [0, 1].map(|i| raised.places.zones[i].as_ref().map_or(0.0, Curve::length));
    let lies_at = |place: f64| {
        let station = raised.places.displaced.windows(2).find(|pair| place <= pair[1].0);
        let Some([(a, p), (b, q)]) = station.map(|pair| [pair[0], pair[1]]) else { return total };
        let point = p.lerp(q, (place - a) / (b - a));
        let near = |zone: &Option<Curve>| zone.as_ref().map_or(0.0, |zone| zone.nearest(point).at);
        if place <= from {
            near(&raised.places.zones[0])
        } else {
            total - lengths[1] + near(&raised.places.zones[1])
        }
    };
    let map = |place: f64| {
        Some(if (from..=to).contains(&place) && to > from {
            lengths[0] + place - from
        } else {
            lies_at(place)
        })
    };
    let new_kept = (to - from > SAME_CUT).then_some((lengths[0], lengths[0] + to - from));
    draft.redraw_between(at, raised.curve.clone(), new_kept.map(|_| (from, to)), lengths[0], map)?;
    debug_assert!(old > 0.0);
    for (end, beside) in [EdgeEnd::First, EdgeEnd::Last].into_iter().zip(raised.ends) {
        let Some((beside, height)) = beside else { continue };
        let Some(beside) = draft.find(&raised.piece.edge(beside).name) else { continue };
        match end {
            EdgeEnd::First => draft.extend(beside, 0.0, height)?,
            EdgeEnd::Last => draft.extend(beside, height, 0.0)?,
        }
    }
    Ok(())
}
