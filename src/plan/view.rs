//! A piece seen with its grain upright: what runs along and across, and places above and below.

use crate::curve::{Curve, Point, Vec2, left_of};
use crate::pattern::{Amount, EdgeId, Finish, On, Piece, Place};
use crate::tolerance::{BEYOND_REACH, NAMED_TO, PLAN_FLATTENING, SHORTEST_WAY_THROUGH};
use crate::units::Length;

/// A piece with the directions along its grain and across it.
#[derive(Clone, Copy, Debug)]
pub(super) struct UprightPiece<'a> {
    pub(super) piece: &'a Piece,
    pub(super) along: Vec2,
    pub(super) across: Vec2,
}

impl<'a> UprightPiece<'a> {
    pub(super) fn of(piece: &'a Piece) -> UprightPiece<'a> {
        let along = piece.grain_or_down();
        UprightPiece { piece, along, across: left_of(along) }
    }

    pub(super) fn x(&self, point: Point) -> f64 {
        point.to_vec2().dot(self.across)
    }

    pub(super) fn y(&self, point: Point) -> f64 {
        point.to_vec2().dot(self.along)
    }

    /// From where to where the seamline reaches in a direction.
    fn reach(&self, direction: Vec2) -> (f64, f64) {
        let points = self.piece.edges().iter().flat_map(|edge| edge.curve.flattened(PLAN_FLATTENING));
        points
            .map(|point| point.to_vec2().dot(direction))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
    }

    /// From where to where it reaches across, mm.
    pub(super) fn breadth(&self) -> (f64, f64) {
        self.reach(self.across)
    }

    /// From where to where it reaches along, mm.
    pub(super) fn length(&self) -> (f64, f64) {
        self.reach(self.along)
    }

    /// Whether an edge runs mainly along the grain.
    pub(super) fn runs_along(&self, id: EdgeId) -> bool {
        let curve = &self.piece.edge(id).curve;
        let chord = curve.end() - curve.start();
        chord.dot(self.along).abs() >= chord.dot(self.across).abs()
    }

    /// Whether a curve runs mainly along the grain.
    pub(super) fn curve_runs_along(&self, curve: &Curve) -> bool {
        let chord = curve.end() - curve.start();
        chord.dot(self.along).abs() >= chord.dot(self.across).abs()
    }

    pub(super) fn middle(&self, id: EdgeId) -> Point {
        let curve = &self.piece.edge(id).curve;
        curve.point_at(curve.length() / 2.0)
    }

    /// Where the line along the grain at a distance across leaves the outline: first and last along it.
    pub(super) fn ends_along(&self, x: f64) -> Option<(On, On)> {
        self.ends(self.across, self.along, x)
    }

    /// Where the line across the grain at a distance along leaves the outline: first and last across it.
    pub(super) fn ends_across(&self, y: f64) -> Option<(On, On)> {
        self.ends(self.along, self.across, y)
    }

    fn ends(&self, off: Vec2, way: Vec2, at: f64) -> Option<(On, On)> {
        let (low, high) = self.reach(way);
        let foot = (off * at).to_point();
        let line = Curve::line(foot + way * (low - BEYOND_REACH), foot + way * (high + BEYOND_REACH)).ok()?;
        let crossings = self.piece.outline().crossings_with(&line);
        let on = |crossing: &crate::curve::EdgeCrossing| On { edge: EdgeId(crossing.edge), at: crossing.at };
        let first = crossings.iter().min_by(|a, b| a.line_at.total_cmp(&b.line_at))?;
        let last = crossings.iter().max_by(|a, b| a.line_at.total_cmp(&b.line_at))?;
        (last.line_at - first.line_at > SHORTEST_WAY_THROUGH).then(|| (on(first), on(last)))
    }

    /// The place as a user would name it; none on a fold.
    pub(super) fn place(&self, on: On) -> Option<Place> {
        let edge = self.piece.edge(on.edge);
        if edge.finish == Finish::Fold {
            return None;
        }
        let sewn = (self.piece.to_sewn(on.edge, on.at) / NAMED_TO).round() * NAMED_TO;
        let most = self.piece.sewn_length(on.edge);
        Some(Place::OnEdge {
            edge: edge.name.clone(),
            along: Amount::Length(named(sewn.clamp(0.0, most))),
            from: None,
        })
    }
}

/// A length as it is written in a recipe: to a tenth of a millimetre.
pub(super) fn named(mm: f64) -> Length {
    Length::from_mm((mm / NAMED_TO).round() * NAMED_TO)
}

/// As [`named`], never more than it is.
pub(super) fn named_within(mm: f64) -> Length {
    Length::from_mm((mm / NAMED_TO).floor() * NAMED_TO)
}
