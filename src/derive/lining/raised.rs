//! The edges of an armhole or a cap as they are when the underarm is raised.

use std::cell::OnceCell;
use std::sync::Arc;

use crate::curve::{Curve, Point, Vec2, fit_through, left_of};
use crate::pattern::{
    EdgeEnd, EdgeId, EdgeName, Pattern, Piece, PieceName, Refusal, Run, RunEdge, Travel, Walk,
};
use crate::tolerance::{RAISED_ACCURACY, RAISED_REACH, SAME_CUT};

/// How far apart the places are through which a raised edge is drawn, mm.
const STEP: f64 = 2.0;

/// How an armhole or a cap is raised.
#[derive(Clone, Copy, Debug)]
pub(super) struct Raise {
    /// By how much at the underarm, mm.
    height: f64,
    /// Over what share of the seam's length at its start, and at its end.
    reach: [f64; 2],
}

impl Raise {
    pub(super) fn by(height: f64) -> Raise {
        Raise { height, reach: [RAISED_REACH; 2] }
    }

    /// By so much, and over a share more at the start than at the end.
    pub(super) fn shifted(height: f64, share: f64) -> Raise {
        Raise { height, reach: [RAISED_REACH * (1.0 + share), RAISED_REACH * (1.0 - share)] }
    }
}

/// An edge as it is when raised.
#[derive(Clone, Debug)]
pub(super) struct Raised {
    pub(super) piece: PieceName,
    pub(super) edge: EdgeName,
    /// By how much its two corners go up along the edges that end there, with those edges.
    pub(super) ends: [Option<(EdgeName, f64)>; 2],
    pub(super) line: Arc<Line>,
    /// Where its notches go otherwise than their places do, from and to.
    pub(super) notches: Vec<(f64, f64)>,
}

impl Raised {
    /// Where what stands on the old edge stands on the raised one.
    pub(super) fn place(&self, place: f64) -> f64 {
        let notch = self.notches.iter().find(|(from, _)| (from - place).abs() <= SAME_CUT);
        notch.map_or_else(|| self.line.place(place), |(_, to)| *to)
    }
}

/// The line of a raised edge, and where the places of the old one lie on it.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) old: Curve,
    pub(super) curve: Curve,
    /// Walk distances on the old edge between which it lies as before; none of it where they are equal.
    pub(super) kept: (f64, f64),
    /// The new start, and the new end, each drawn up to the kept stretch.
    pub(super) zones: [Option<Curve>; 2],
    displaced: Vec<(f64, Point)>,
    /// By how much it is shorter toward the start of the seam, and toward its end.
    shorter: [f64; 2],
}

impl Line {
    /// Where a place of the old edge lies on the raised one.
    pub(super) fn place(&self, place: f64) -> f64 {
        let (from, to) = self.kept;
        let lengths = [0, 1].map(|i| self.zones[i].as_ref().map_or(0.0, Curve::length));
        if (from..=to).contains(&place) && to > from {
            return lengths[0] + place - from;
        }
        let total = self.curve.length();
        let station = self.displaced.windows(2).find(|pair| place <= pair[1].0);
        let Some([(a, p), (b, q)]) = station.map(|pair| [pair[0], pair[1]]) else { return total };
        let point = p.lerp(q, (place - a) / (b - a));
        let near = |zone: &Option<Curve>| zone.as_ref().map_or(0.0, |zone| zone.nearest(point).at);
        if place <= from { near(&self.zones[0]) } else { total - lengths[1] + near(&self.zones[1]) }
    }
}

/// By how much a side of the seam is shorter toward its start, and toward its end.
pub(super) fn shortened(side: &[Raised]) -> [f64; 2] {
    [0, 1].map(|end| side.iter().map(|raised| raised.line.shorter[end]).sum())
}

/// The edges of a side of the seam.
pub(super) fn edges_of<'a, 'r>(pattern: &'a Pattern, run: &'r Run) -> Result<Vec<EdgeOf<'a, 'r>>, Refusal> {
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
pub(super) struct EdgeOf<'a, 'r> {
    run: &'r Run,
    pub(super) piece: &'a Piece,
    pub(super) edge: EdgeId,
    pub(super) run_edge: &'r RunEdge,
    /// Walk distance at which it begins.
    before: f64,
    /// How much of it is sewn.
    length: f64,
    pub(super) whole: f64,
    stations: OnceCell<Vec<Station>>,
}

/// What a raised line is reckoned from, to the last bit.
#[derive(PartialEq, Eq, Hash)]
pub(super) struct LineOf(Vec<u64>);

/// A place of an edge through which its raised line is drawn.
pub(super) struct Station {
    at: f64,
    point: Point,
    lies: InSeam,
}

/// Where a place lies in its seam.
#[derive(Clone, Copy)]
pub(super) struct InSeam {
    /// How far it is from the nearer end, as a share of the seam's length.
    pub(super) off: f64,
    /// Which that is: 0 the start, 1 the end.
    pub(super) end: usize,
}

impl InSeam {
    /// By what share of the height it goes up: in whole at the underarm, not at all at the reach, without a corner at either.
    fn share(self, raise: Raise) -> f64 {
        let share = (self.off / raise.reach[self.end]).min(1.0);
        1.0 - share * share * (3.0 - 2.0 * share)
    }
}

impl EdgeOf<'_, '_> {
    pub(super) fn lies(&self, at: f64) -> InSeam {
        let sewn = self.piece.to_sewn(self.edge, at);
        let walked = match self.run_edge.travel {
            Travel::Clockwise => self.before + sewn,
            Travel::Anticlockwise => self.before + self.length - sewn,
        };
        let left = self.whole - walked;
        let (off, end) = if walked <= left { (walked, 0) } else { (left, 1) };
        InSeam { off: off.max(0.0) / self.whole, end }
    }

    /// The places, the same for whatever height.
    fn stations(&self) -> &[Station] {
        self.stations.get_or_init(|| {
            let curve = &self.piece.edge(self.edge).curve;
            let total = curve.length();
            let count = (total / STEP).ceil().max(8.0) as usize;
            let station = |at: f64| Station { at, point: curve.point_at(at), lies: self.lies(at) };
            (0..=count).map(|i| station(total * i as f64 / count as f64)).collect()
        })
    }

    pub(super) fn raised(&self, pattern: &Pattern, raise: Raise) -> Result<Raised, Refusal> {
        let total = self.piece.edge(self.edge).curve.length();
        let ways = [self.way(EdgeEnd::First)?, self.way(EdgeEnd::Last)?];
        let heights = [0.0, total].map(|at| raise.height * self.lies(at).share(raise));
        let ups = ways.map(|way| way.0);
        let question = self.line_of(ups, raise);
        let known = pattern.reckoned_of_lines(question, || self.line(ups, heights, raise).ok().map(Arc::new));
        let line = known.map_or_else(|| self.line(ups, heights, raise).map(Arc::new), Ok)?;
        let name = |id: EdgeId| self.piece.edge(id).name.clone();
        let ends =
            [0, 1].map(|i| ways[i].1.filter(|_| heights[i] > 0.0).map(|beside| (name(beside), heights[i])));
        Ok(Raised {
            piece: self.piece.name().clone(),
            edge: name(self.edge),
            ends,
            line,
            notches: Vec::new(),
        })
    }

    /// All that the raised line is reckoned from, to the last bit.
    fn line_of(&self, ups: [Vec2; 2], raise: Raise) -> LineOf {
        let EdgeOf { run: _, piece, edge, run_edge, before, length, whole, stations: _ } = self;
        let Raise { height, reach } = raise;
        let measures =
            [height, reach[0], reach[1], *before, *length, *whole, ups[0].x, ups[0].y, ups[1].x, ups[1].y];
        let mut bits: Vec<u64> = measures.into_iter().map(f64::to_bits).collect();
        bits.push(u64::from(run_edge.travel == Travel::Clockwise));
        bits.extend(piece.edge(*edge).curve.exactly());
        let mouths = piece.mouths_on(&piece.edge(*edge).name);
        bits.extend(mouths.iter().flat_map(|(_, mouth)| [mouth.from.to_bits(), mouth.to.to_bits()]));
        LineOf(bits)
    }

    fn line(&self, ups: [Vec2; 2], heights: [f64; 2], raise: Raise) -> Result<Line, Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let total = curve.length();
        let stations = self.stations();
        let by = raise.height;
        let still = |station: &&Station| station.lies.share(raise) <= 0.0;
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
                (station.at, station.point + way * (by * station.lies.share(raise)))
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
        let mut shorter = [0.0; 2];
        for (zone, (start, end)) in zones.iter().zip([(0.0, from), (to, total)]) {
            let now = zone.as_ref().map_or(end - start, Curve::length);
            shorter[self.lies(f64::midpoint(start, end)).end] += end - start - now;
        }
        let middle = (to - from > SAME_CUT).then(|| curve.stretch(from, to)).transpose()?;
        let mut whole: Option<Curve> = None;
        for part in [&zones[0], &middle, &zones[1]].into_iter().flatten() {
            whole = Some(match whole {
                None => part.clone(),
                Some(so_far) => so_far.joined_within(part, crate::tolerance::JOINT)?,
            });
        }
        let curve_now = whole.unwrap_or_else(|| curve.clone());
        Ok(Line { old: curve.clone(), curve: curve_now, kept: (from, to), zones, displaced, shorter })
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
