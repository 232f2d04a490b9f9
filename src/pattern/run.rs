//! Walking a run of edges as it is sewn: mouths of darts are skipped.

use crate::curve::{Point, Vec2};
use crate::pattern::{
    Copy, EdgeId, EdgeRef, NotchCount, NotchName, Pattern, Piece, Refusal, Run, Seam, Travel,
};
use crate::tolerance::MET_ALONG;

/// A run laid out along its sewn length.
#[derive(Clone, Debug)]
pub struct Walk<'a> {
    stretches: Vec<RunStretch<'a>>,
    length: f64,
}

/// A sewn stretch of an edge in a run.
#[derive(Clone, Debug)]
struct RunStretch<'a> {
    piece: &'a Piece,
    edge: EdgeId,
    copy: Copy,
    travel: Travel,
    /// Walk distance in the run at which it starts.
    start: f64,
    /// Walk distances on the edge's curve at which it starts and ends, in the order of travel.
    from: f64,
    to: f64,
}

/// A place on a run.
#[derive(Clone, Copy, Debug)]
pub struct WalkPoint<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// The edge of it.
    pub edge: EdgeId,
    /// Which copy of the piece.
    pub copy: Copy,
    /// Walk distance along the edge's curve from its first corner.
    pub at: f64,
    /// Where it is on the sheet, on the drawn copy.
    pub point: Point,
    /// The direction of travel there, on the drawn copy.
    pub direction: Vec2,
}

/// A notch on a run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunNotch {
    /// The edge it stands on.
    pub edge: EdgeRef,
    /// Its name.
    pub name: NotchName,
    /// Single or double.
    pub count: NotchCount,
    /// Walk distance from the start of the run.
    pub at: f64,
}

impl<'a> Walk<'a> {
    /// Lays out a run.
    ///
    /// # Errors
    ///
    /// Refuses an edge that does not exist.
    pub fn of(pattern: &'a Pattern, run: &Run) -> Result<Walk<'a>, Refusal> {
        let mut walk = Walk { stretches: Vec::new(), length: 0.0 };
        for run_edge in run.edges() {
            let (piece, edge) = pattern.edge(&run_edge.edge)?;
            let mut sewn = piece.sewn_stretches(edge);
            if run_edge.travel == Travel::Anticlockwise {
                sewn = sewn.into_iter().rev().map(|(from, to)| (to, from)).collect();
            }
            for (from, to) in sewn {
                walk.stretches.push(RunStretch {
                    piece,
                    edge,
                    copy: run_edge.edge.copy,
                    travel: run_edge.travel,
                    start: walk.length,
                    from,
                    to,
                });
                walk.length += (to - from).abs();
            }
        }
        Ok(walk)
    }

    /// The sewn length of the run.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// The place at a walk distance from the start; clamped to the run. At a joint it is the place after it.
    #[must_use]
    pub fn at(&self, distance: f64) -> Option<WalkPoint<'a>> {
        let after = self.stretches.partition_point(|stretch| stretch.start <= distance);
        let stretch = self.stretches.get(after.saturating_sub(1))?;
        Some(stretch.at((distance - stretch.start).max(0.0)))
    }

    /// The place at a walk distance from the start, clamped to the run. At a joint it is the place before
    /// it.
    #[must_use]
    pub fn before(&self, distance: f64) -> Option<WalkPoint<'a>> {
        let after = self.stretches.partition_point(|stretch| stretch.start < distance);
        let stretch = self.stretches.get(after.saturating_sub(1))?;
        Some(stretch.at((distance - stretch.start).max(0.0)))
    }

    /// The walk distance of a place on an edge of the run, if the edge is part of it. A place inside a
    /// dart's mouth has that of the mouth.
    #[must_use]
    pub fn distance_of(&self, edge: &EdgeRef, at: f64) -> Option<f64> {
        let mut found: Option<(f64, f64)> = None;
        for stretch in &self.stretches {
            let same = stretch.piece.name() == &edge.piece
                && stretch.piece.edge(stretch.edge).name == edge.edge
                && stretch.copy == edge.copy;
            if !same {
                continue;
            }
            let (low, high) = (stretch.from.min(stretch.to), stretch.from.max(stretch.to));
            let on = at.clamp(low, high);
            let off = (at - on).abs();
            if found.is_none_or(|(best, _)| off < best) {
                found = Some((off, stretch.start + (on - stretch.from).abs()));
            }
        }
        found.map(|(_, distance)| distance)
    }

    /// The notches on the run, in the order in which they are met.
    #[must_use]
    pub fn notches(&self) -> Vec<RunNotch> {
        let mut seen: Vec<RunNotch> = Vec::new();
        for stretch in &self.stretches {
            let name = &stretch.piece.edge(stretch.edge).name;
            for notch in stretch.piece.notches.iter().filter(|notch| notch.edge == *name) {
                let edge =
                    EdgeRef { piece: stretch.piece.name().clone(), edge: name.clone(), copy: stretch.copy };
                if seen.iter().any(|other| other.edge == edge && other.name == notch.name) {
                    continue;
                }
                if let Some(at) = self.distance_of(&edge, notch.at) {
                    seen.push(RunNotch { edge, name: notch.name.clone(), count: notch.count, at });
                }
            }
        }
        seen.sort_by(|a, b| a.at.total_cmp(&b.at));
        seen
    }

    /// Walk distances at which one edge of the run, or one side of a folded dart, meets the next.
    #[must_use]
    pub fn joints(&self) -> Vec<f64> {
        self.stretches.iter().skip(1).map(|stretch| stretch.start).collect()
    }
}

impl<'a> RunStretch<'a> {
    fn at(&self, distance: f64) -> WalkPoint<'a> {
        let length = (self.to - self.from).abs();
        let distance = distance.min(length);
        let curve = &self.piece.edge(self.edge).curve;
        let at = match self.travel {
            Travel::Clockwise => self.from + distance,
            Travel::Anticlockwise => self.from - distance,
        };
        let direction = match (self.travel, distance < length) {
            (Travel::Clockwise, true) => curve.tangent_at(at),
            (Travel::Clockwise, false) => curve.tangent_before(at),
            (Travel::Anticlockwise, true) => -curve.tangent_before(at),
            (Travel::Anticlockwise, false) => -curve.tangent_at(at),
        };
        WalkPoint {
            piece: self.piece,
            edge: self.edge,
            copy: self.copy,
            at,
            point: curve.point_at(at),
            direction,
        }
    }
}

/// The edges of the other side of a seam that an edge lies beside when it is sewn, in sewing order.
///
/// # Errors
///
/// Refuses an edge that does not exist.
pub fn met_along(pattern: &Pattern, seam: &Seam, edge: &EdgeRef) -> Result<Vec<EdgeRef>, Refusal> {
    let Some(side) = seam.side_of(edge) else { return Ok(Vec::new()) };
    let stretches = |run: &Run| -> Result<Vec<(EdgeRef, f64, f64)>, Refusal> {
        let mut walked = 0.0;
        let mut found = Vec::new();
        for run in run.edges() {
            let (piece, id) = pattern.edge(&run.edge)?;
            let from = walked;
            walked += piece.sewn_length(id);
            found.push((run.edge.clone(), from, walked));
        }
        Ok(found)
    };
    let (own, other) = (stretches(seam.side(side))?, stretches(seam.side(side.other()))?);
    let whole = |side: &[(EdgeRef, f64, f64)]| side.last().map_or(0.0, |last| last.2);
    let Some((_, from, to)) = own.iter().find(|(other, ..)| other.same_edge(edge)) else {
        return Ok(Vec::new());
    };
    let scale = if whole(&own) > 0.0 { whole(&other) / whole(&own) } else { 1.0 };
    let (from, to) = (from * scale, to * scale);
    let met = other.into_iter().filter(|(_, begins, ends)| ends.min(to) - begins.max(from) > MET_ALONG);
    Ok(met.map(|(edge, ..)| edge).collect())
}
