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

/// How much further than straight up a corner goes at most along a cut that runs nearly along the armhole.
const MOST_OUT: f64 = 3.0;

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
    pub(super) line: Arc<RaisedLine>,
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
pub(super) struct RaisedLine {
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

impl RaisedLine {
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
        let (up, stations) = ([Vec2::ZERO; 2], OnceCell::new());
        found.push(EdgeOf { run, piece, edge, run_edge, before, length, whole, up, stations });
        before += length;
    }
    let count = found.len();
    for end in 0..2 {
        let at = |place: usize| if end == 0 { place } else { count - 1 - place };
        for place in 0..count {
            let to = &found[at(place)];
            let up = match place.checked_sub(1) {
                None => to.beside(to.toward(end))?.0,
                Some(last) => to.carried(&found[at(last)], end)?,
            };
            found[at(place)].up[end] = up;
        }
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
    /// Up at the start of the seam, and at its end, as it is on this piece when all are laid edge to edge.
    up: [Vec2; 2],
    stations: OnceCell<Vec<RaisedPlace>>,
}

/// What a raised line is reckoned from, to the last bit.
#[derive(PartialEq, Eq, Hash)]
pub(super) struct LineOf(Vec<u64>);

/// A place of an edge through which its raised line is drawn.
pub(super) struct RaisedPlace {
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
        less_and_less((self.off / raise.reach[self.end]).min(1.0))
    }
}

/// From one to nothing as a share goes from nothing to one, without a corner at either.
fn less_and_less(share: f64) -> f64 {
    1.0 - share * share * (3.0 - 2.0 * share)
}

/// An end of an edge when its seam is raised.
#[derive(Clone, Copy)]
struct RaisedCorner {
    /// By how much the seam goes up there, mm.
    height: f64,
    /// The edge beside it that goes up with it, and by how much that becomes longer, mm.
    beside: Option<(EdgeId, f64)>,
    /// How far along the edge the corner is further than straight up, so that it stays on the edge beside it, mm.
    slides: f64,
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
    fn stations(&self) -> &[RaisedPlace] {
        self.stations.get_or_init(|| {
            let curve = &self.piece.edge(self.edge).curve;
            let total = curve.length();
            let count = (total / STEP).ceil().max(8.0) as usize;
            let station = |at: f64| RaisedPlace { at, point: curve.point_at(at), lies: self.lies(at) };
            // The last is the end itself: a sum that is rounded may lie beyond it.
            let places = (0..count).map(|i| total * i as f64 / count as f64);
            places.chain([total]).map(station).collect()
        })
    }

    pub(super) fn raised(&self, pattern: &Pattern, raise: Raise) -> Result<Raised, Refusal> {
        let corners = self.corners(raise)?;
        let question = self.line_of(&corners, raise);
        let known = pattern.reckoned_of_lines(question, || self.line(&corners, raise).ok().map(Arc::new));
        let line = known.map_or_else(|| self.line(&corners, raise).map(Arc::new), Ok)?;
        let name = |id: EdgeId| self.piece.edge(id).name.clone();
        let ends = corners.map(|corner| corner.beside.filter(|(_, further)| *further > 0.0));
        let ends = ends.map(|beside| beside.map(|(beside, further)| (name(beside), further)));
        Ok(Raised {
            piece: self.piece.name().clone(),
            edge: name(self.edge),
            ends,
            line,
            notches: Vec::new(),
        })
    }

    /// All that the raised line is reckoned from, to the last bit.
    fn line_of(&self, corners: &[RaisedCorner; 2], raise: Raise) -> LineOf {
        let EdgeOf { run: _, piece, edge, run_edge, before, length, whole, up, stations: _ } = self;
        let Raise { height, reach } = raise;
        let slides = corners.map(|corner| corner.slides);
        let measures = [height, reach[0], reach[1], *before, *length, *whole, slides[0], slides[1]];
        let measures = measures.into_iter().chain(up.iter().flat_map(|up| [up.x, up.y]));
        let mut bits: Vec<u64> = measures.map(f64::to_bits).collect();
        bits.push(u64::from(run_edge.travel == Travel::Clockwise));
        bits.extend(piece.edge(*edge).curve.exactly());
        let mouths = piece.mouths_on(&piece.edge(*edge).name);
        bits.extend(mouths.iter().flat_map(|(_, mouth)| [mouth.from.to_bits(), mouth.to.to_bits()]));
        LineOf(bits)
    }

    fn line(&self, corners: &[RaisedCorner; 2], raise: Raise) -> Result<RaisedLine, Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let total = curve.length();
        let stations = self.stations();
        let by = raise.height;
        let still = |station: &&RaisedPlace| station.lies.share(raise) <= 0.0;
        let (first, last) = (stations.iter().find(still), stations.iter().rev().find(still));
        let kept = first.zip(last).map(|(first, last)| (first.at, last.at));
        let displaced: Vec<(f64, Point)> = stations
            .iter()
            .map(|station| {
                let up = self.up[station.lies.end] * (by * station.lies.share(raise));
                let slid: f64 =
                    [(0, kept.map_or(total, |kept| kept.0)), (1, kept.map_or(0.0, |kept| kept.1))]
                        .into_iter()
                        .map(|(end, still)| {
                            let corner = if end == 0 { 0.0 } else { total };
                            let off = ((station.at - corner) / (still - corner)).clamp(0.0, 1.0);
                            corners[end].slides * less_and_less(off)
                        })
                        .sum();
                (station.at, station.point + up + curve.tangent_at(station.at) * slid)
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
                (from > 0.0 || corners[0].height >= by).then(|| curve.tangent_at(from)),
                (to < total || corners[1].height >= by).then(|| curve.tangent_before(to)),
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
        Ok(RaisedLine { old: curve.clone(), curve: curve_now, kept: (from, to), zones, displaced, shorter })
    }

    fn corners(&self, raise: Raise) -> Result<[RaisedCorner; 2], Refusal> {
        Ok([self.corner(EdgeEnd::First, raise)?, self.corner(EdgeEnd::Last, raise)?])
    }

    /// At a cut through the armhole both parts go out along the cut by as much as the whole would there: where the line raised
    /// straight up meets the cut.
    fn corner(&self, end: EdgeEnd, raise: Raise) -> Result<RaisedCorner, Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let (at, tangent) = match end {
            EdgeEnd::First => (0.0, curve.start_tangent()),
            EdgeEnd::Last => (curve.length(), curve.end_tangent()),
        };
        let lies = self.lies(at);
        let height = raise.height * lies.share(raise);
        let (along, beside) = self.beside(end)?;
        let Some(beside) = beside else { return Ok(RaisedCorner { height, beside: None, slides: 0.0 }) };
        let (up, tangent) = (self.up[lies.end] * height, tangent.normalize());
        let further = (up.cross(tangent) / along.cross(tangent)).clamp(0.0, MOST_OUT * height);
        let slides = (along * further - up).dot(tangent);
        Ok(RaisedCorner { height, beside: Some((beside, further)), slides })
    }

    /// The end of the edge that is nearer to the start of the seam, 0, or to its end, 1.
    fn toward(&self, end: usize) -> EdgeEnd {
        match (end, self.run_edge.travel) {
            (0, Travel::Clockwise) | (1, Travel::Anticlockwise) => EdgeEnd::First,
            _ => EdgeEnd::Last,
        }
    }

    /// Up on this piece, as it is on that of the edge before it when both are laid together along the edges beside their corner.
    fn carried(&self, from: &EdgeOf<'_, '_>, end: usize) -> Result<Vec2, Refusal> {
        let up = from.up[end];
        if self.piece.name() == from.piece.name() && self.run_edge.travel == from.run_edge.travel {
            return Ok(up);
        }
        let (there, here) = (from.beside(from.toward(1 - end))?.0, self.beside(self.toward(end))?.0);
        let hand = if self.run_edge.travel == from.run_edge.travel { 1.0 } else { -1.0 };
        Ok(here * up.dot(there) + left_of(here) * (hand * up.dot(left_of(there))))
    }

    /// The way out of the piece at an end of the edge, and the edge beside it that goes that way: along the seam that ends there;
    /// where the next edge belongs to the armhole as well, square to both, halfway where they turn.
    fn beside(&self, end: EdgeEnd) -> Result<(Vec2, Option<EdgeId>), Refusal> {
        let curve = &self.piece.edge(self.edge).curve;
        let (beside, tangent) = match end {
            EdgeEnd::First => (self.piece.previous(self.edge), curve.start_tangent()),
            EdgeEnd::Last => (self.piece.next(self.edge), curve.end_tangent()),
        };
        let name = &self.piece.edge(beside).name;
        let own = |run: &RunEdge| run.edge.piece == *self.piece.name() && run.edge.edge == *name;
        if self.run.edges().iter().any(own) {
            let beyond = match end {
                EdgeEnd::First => self.piece.edge(beside).curve.end_tangent(),
                EdgeEnd::Last => self.piece.edge(beside).curve.start_tangent(),
            };
            return Ok((left_of(tangent.normalize() + beyond.normalize()).normalize(), None));
        }
        let along = match end {
            EdgeEnd::First => self.piece.edge(beside).curve.end_tangent(),
            EdgeEnd::Last => -self.piece.edge(beside).curve.start_tangent(),
        };
        Ok((along.normalize(), Some(beside)))
    }
}
