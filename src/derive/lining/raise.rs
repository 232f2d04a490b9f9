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

use std::cell::OnceCell;
use std::sync::Arc;

use crate::advice;
use crate::curve::{Curve, Point, Vec2, fit_through, left_of};
use crate::derive::lining::draft::Draft;
use crate::pattern::words::{ARMHOLE, CAP, says};
use crate::pattern::{
    EdgeEnd, EdgeId, EdgeName, Field, Operation, Pattern, Piece, PieceName, Refusal, RefusalKind, Run,
    RunEdge, Seam, Side, Travel, Walk,
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
            let found = match side == cap {
                false => raised_armhole(pattern, run, source, by.mm())?,
                true => raised_cap(pattern, seam, cap, by.mm())?,
            };
            for edge in found.iter().filter(|edge| edge.piece == *source.name()) {
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
#[derive(Clone, Debug)]
struct Raised {
    piece: PieceName,
    edge: EdgeName,
    /// By how much its two corners go up along the edges that end there, with those edges.
    ends: [Option<(EdgeName, f64)>; 2],
    line: Arc<Line>,
}

/// The line of a raised edge, and where the places of the old one lie on it.
#[derive(Debug)]
struct Line {
    old: Curve,
    curve: Curve,
    /// Walk distances on the old edge between which it lies as before; none of it where they are equal.
    kept: (f64, f64),
    /// The new start, and the new end, each drawn up to the kept stretch.
    zones: [Option<Curve>; 2],
    displaced: Vec<(f64, Point)>,
}

fn shortened(side: &[Raised]) -> f64 {
    side.iter().map(|raised| raised.line.old.length() - raised.line.curve.length()).sum()
}

/// The edges of a piece in the armhole, raised.
fn raised_armhole(pattern: &Pattern, run: &Run, source: &Piece, by: f64) -> Result<Vec<Raised>, Refusal> {
    let edges = edges_of(pattern, run)?;
    let own = edges.iter().filter(|edge| edge.piece.name() == source.name());
    own.map(|edge| edge.raised(pattern, by)).collect()
}

/// The cap of a seam, raised so that it is shortened as much as the armhole is.
fn raised_cap(pattern: &Pattern, seam: &Seam, cap: Side, by: f64) -> Result<Vec<Raised>, Refusal> {
    /// Steps of the search: each makes the miss some ten times smaller.
    const STEPS: usize = 12;
    let all = |edges: &[EdgeOf], by: f64| {
        edges.iter().map(|edge| edge.raised(pattern, by)).collect::<Result<Vec<_>, _>>()
    };
    let shorter = shortened(&all(&edges_of(pattern, seam.side(cap.other()))?, by)?);
    let edges = edges_of(pattern, seam.side(cap))?;
    let (mut before, mut height) = ((0.0, 0.0), by);
    let mut found = all(&edges, height)?;
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
        found = all(&edges, height)?;
    }
    Ok(found)
}

/// The edges of a side of the seam.
fn edges_of<'a, 'r>(pattern: &'a Pattern, run: &'r Run) -> Result<Vec<EdgeOf<'a, 'r>>, Refusal> {
    let whole = Walk::of(pattern, run)?.length();
    let mut before = 0.0;
    let mut found = Vec::new();
    for run_edge in run.edges() {
        let (piece, edge) = pattern.edge(&run_edge.edge)?;
        let length = piece.sewn_length(edge);
        found.push(EdgeOf { run, piece, edge, run_edge, before, length, whole, stations: OnceCell::new() });
        before += length;
    }
    Ok(found)
}

/// An edge within its side of the seam.
struct EdgeOf<'a, 'r> {
    run: &'r Run,
    piece: &'a Piece,
    edge: EdgeId,
    run_edge: &'r RunEdge,
    /// Walk distance at which it begins.
    before: f64,
    /// How much of it is sewn.
    length: f64,
    whole: f64,
    stations: OnceCell<Vec<Station>>,
}

/// What a raised line is reckoned from, to the last bit.
#[derive(PartialEq, Eq, Hash)]
struct LineOf(Vec<u64>);

/// A place of an edge through which its raised line is drawn.
struct Station {
    at: f64,
    point: Point,
    /// By what share of the height it goes up.
    share: f64,
}

impl EdgeOf<'_, '_> {
    /// How far a place of the edge is from the nearer end of the seam.
    fn off(&self, at: f64) -> f64 {
        let sewn = self.piece.to_sewn(self.edge, at);
        let walked = match self.run_edge.travel {
            Travel::Clockwise => self.before + sewn,
            Travel::Anticlockwise => self.before + self.length - sewn,
        };
        walked.min(self.whole - walked).max(0.0)
    }

    /// By what share of the height a place goes up: in whole at the underarm, not at all at the reach, without a corner at
    /// either.
    fn share(&self, at: f64) -> f64 {
        let share = (self.off(at) / (RAISED_REACH * self.whole)).min(1.0);
        1.0 - share * share * (3.0 - 2.0 * share)
    }

    /// The places, the same for whatever height.
    fn stations(&self) -> &[Station] {
        self.stations.get_or_init(|| {
            let curve = &self.piece.edge(self.edge).curve;
            let total = curve.length();
            let count = (total / STEP).ceil().max(8.0) as usize;
            let station = |at: f64| Station { at, point: curve.point_at(at), share: self.share(at) };
            (0..=count).map(|i| station(total * i as f64 / count as f64)).collect()
        })
    }

    fn raised(&self, pattern: &Pattern, by: f64) -> Result<Raised, Refusal> {
        let total = self.piece.edge(self.edge).curve.length();
        let ways = [self.way(EdgeEnd::First)?, self.way(EdgeEnd::Last)?];
        let heights = [0.0, total].map(|at| by * self.share(at));
        let ups = ways.map(|way| way.0);
        let question = self.line_of(ups, by);
        let known = pattern.reckoned_of_lines(question, || self.line(ups, heights, by).ok().map(Arc::new));
        let line = known.map_or_else(|| self.line(ups, heights, by).map(Arc::new), Ok)?;
        let name = |id: EdgeId| self.piece.edge(id).name.clone();
        let ends =
            [0, 1].map(|i| ways[i].1.filter(|_| heights[i] > 0.0).map(|beside| (name(beside), heights[i])));
        Ok(Raised { piece: self.piece.name().clone(), edge: name(self.edge), ends, line })
    }

    /// All that the raised line is reckoned from, to the last bit.
    fn line_of(&self, ups: [Vec2; 2], by: f64) -> LineOf {
        let EdgeOf { run: _, piece, edge, run_edge, before, length, whole, stations: _ } = self;
        let measures = [by, *before, *length, *whole, ups[0].x, ups[0].y, ups[1].x, ups[1].y];
        let mut bits: Vec<u64> = measures.into_iter().map(f64::to_bits).collect();
        bits.push(u64::from(run_edge.travel == Travel::Clockwise));
        bits.extend(piece.edge(*edge).curve.exactly());
        let mouths = piece.mouths_on(&piece.edge(*edge).name);
        bits.extend(mouths.iter().flat_map(|(_, mouth)| [mouth.from.to_bits(), mouth.to.to_bits()]));
        LineOf(bits)
    }

    fn line(&self, ups: [Vec2; 2], heights: [f64; 2], by: f64) -> Result<Line, Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let total = curve.length();
        let stations = self.stations();
        let still = |station: &&Station| station.share <= 0.0;
        let (first, last) = (stations.iter().find(still), stations.iter().rev().find(still));
        let kept = first.zip(last).map(|(first, last)| (first.at, last.at));
        let displaced: Vec<(f64, Point)> = stations
            .iter()
            .map(|station| {
                let way = match kept {
                    Some((first, _)) if station.at <= first => ups[0],
                    Some(_) => ups[1],
                    None => ups[0].lerp(ups[1], station.at / total),
                };
                (station.at, station.point + way * (by * station.share))
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
                (from > 0.0 || heights[0] >= by).then(|| curve.tangent_at(from)),
                (to < total || heights[1] >= by).then(|| curve.tangent_before(to)),
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
        let curve_now = whole.unwrap_or_else(|| curve.clone());
        Ok(Line { old: curve.clone(), curve: curve_now, kept: (from, to), zones, displaced })
    }

    /// The way up at an end of the edge, and the edge that goes up with it: along the seam that ends there; where the next edge
    /// belongs to the armhole as well, square to this one.
    fn way(&self, end: EdgeEnd) -> Result<(Vec2, Option<EdgeId>), Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let beside = self.piece.beside(self.edge, end);
        let square = left_of(if end == EdgeEnd::First { curve.start_tangent() } else { curve.end_tangent() });
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
    let name = &raised.edge;
    // Where the lining ends at a facing before, there is nothing to raise.
    let Some(at) = draft.find(name).filter(|at| *draft.curve(*at) == raised.line.old) else {
        return Ok(());
    };
    let total = raised.line.curve.length();
    let (from, to) = raised.line.kept;
    let lengths = [0, 1].map(|i| raised.line.zones[i].as_ref().map_or(0.0, Curve::length));
    let lies_at = |place: f64| {
        let station = raised.line.displaced.windows(2).find(|pair| place <= pair[1].0);
        let Some([(a, p), (b, q)]) = station.map(|pair| [pair[0], pair[1]]) else { return total };
        let point = p.lerp(q, (place - a) / (b - a));
        let near = |zone: &Option<Curve>| zone.as_ref().map_or(0.0, |zone| zone.nearest(point).at);
        if place <= from {
            near(&raised.line.zones[0])
        } else {
            total - lengths[1] + near(&raised.line.zones[1])
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
    draft.redraw_between(at, raised.line.curve.clone(), new_kept.map(|_| (from, to)), lengths[0], map)?;
    for (end, beside) in [EdgeEnd::First, EdgeEnd::Last].into_iter().zip(&raised.ends) {
        let Some((beside, height)) = beside else { continue };
        let Some(beside) = draft.find(beside) else { continue };
        match end {
            EdgeEnd::First => draft.extend(beside, 0.0, *height)?,
            EdgeEnd::Last => draft.extend(beside, *height, 0.0)?,
        }
    }
    Ok(())
}
