//! Seams: which runs of edges are sewn together, and which end meets which.

use crate::pattern::{EdgeEnd, EdgeRef};
use crate::units::Length;

/// How a seam stands in its pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SeamId(pub(crate) usize);

/// In which direction an edge is walked when its seam is sewn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Travel {
    /// As its outline runs: clockwise as drawn.
    Clockwise,
    /// Against it.
    Anticlockwise,
}

/// An end of the walk along a run or a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkEnd {
    /// Where it starts.
    Start,
    /// Where it ends.
    End,
}

impl WalkEnd {
    /// Both, in order.
    pub const BOTH: [WalkEnd; 2] = [WalkEnd::Start, WalkEnd::End];

    /// The other end.
    #[must_use]
    pub fn other(self) -> WalkEnd {
        match self {
            WalkEnd::Start => WalkEnd::End,
            WalkEnd::End => WalkEnd::Start,
        }
    }
}

impl EdgeEnd {
    /// How an edge is walked away from its end.
    #[must_use]
    pub fn away(self) -> Travel {
        match self {
            EdgeEnd::First => Travel::Clockwise,
            EdgeEnd::Last => Travel::Anticlockwise,
        }
    }
}

impl Travel {
    /// The other way.
    #[must_use]
    pub fn other(self) -> Travel {
        match self {
            Travel::Clockwise => Travel::Anticlockwise,
            Travel::Anticlockwise => Travel::Clockwise,
        }
    }

    /// The end of an edge at which its walk starts or ends.
    #[must_use]
    pub fn end_at(self, end: WalkEnd) -> EdgeEnd {
        match end {
            WalkEnd::Start => self.enters_at(),
            WalkEnd::End => self.leaves_at(),
        }
    }

    /// The end of an edge at which it is entered when it is walked.
    #[must_use]
    pub fn enters_at(self) -> EdgeEnd {
        self.other().leaves_at()
    }

    /// The end of an edge at which it is left when it is walked.
    #[must_use]
    pub fn leaves_at(self) -> EdgeEnd {
        match self {
            Travel::Clockwise => EdgeEnd::Last,
            Travel::Anticlockwise => EdgeEnd::First,
        }
    }
}

/// One edge of a run, and how it is walked. On a mirrored copy the direction is still that of the drawn
/// outline.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RunEdge {
    /// The edge.
    pub edge: EdgeRef,
    /// The direction in which it is walked.
    pub travel: Travel,
}

/// Edges sewn one after another, in sewing order. Never empty.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Run(Vec<RunEdge>);

impl Run {
    /// A run of edges; none where there are none.
    #[must_use]
    pub fn new(edges: Vec<RunEdge>) -> Option<Run> {
        (!edges.is_empty()).then_some(Run(edges))
    }

    /// The edges, in sewing order.
    #[must_use]
    pub fn edges(&self) -> &[RunEdge] {
        &self.0
    }

    /// The names of the edges, in sewing order.
    pub(super) fn edge_refs(&self) -> Vec<EdgeRef> {
        self.0.iter().map(|run| run.edge.clone()).collect()
    }

    /// The first and the last edge, which may be the same.
    #[must_use]
    pub fn first_and_last(&self) -> (&RunEdge, &RunEdge) {
        (&self.0[0], &self.0[self.0.len() - 1])
    }

    /// The edge at an end of the run.
    #[must_use]
    pub fn edge_at(&self, end: WalkEnd) -> &RunEdge {
        let (first, last) = self.first_and_last();
        match end {
            WalkEnd::Start => first,
            WalkEnd::End => last,
        }
    }

    pub(super) fn edges_mut(&mut self) -> &mut [RunEdge] {
        &mut self.0
    }

    /// Whether it holds the edge, on whichever copy.
    #[must_use]
    pub fn holds(&self, edge: &EdgeRef) -> bool {
        self.0.iter().any(|run| run.edge.same_edge(edge))
    }

    /// The same run sewn from its other end.
    #[must_use]
    pub fn reversed(&self) -> Run {
        Run(self
            .0
            .iter()
            .rev()
            .map(|run| RunEdge { edge: run.edge.clone(), travel: run.travel.other() })
            .collect())
    }

    /// The same run on the other copies of its pieces.
    #[must_use]
    pub fn mirrored(&self) -> Run {
        Run(self.0.iter().map(|run| RunEdge { edge: run.edge.mirrored(), travel: run.travel }).collect())
    }

    /// The edges' names, a space between them, as they stand in `data-sewn-to`.
    #[must_use]
    pub fn names(&self) -> String {
        self.0.iter().map(|run| run.edge.to_string()).collect::<Vec<_>>().join(" ")
    }
}

/// One of the two sides of a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The first.
    First,
    /// The second.
    Second,
}

impl Side {
    /// Both sides.
    pub const BOTH: [Side; 2] = [Side::First, Side::Second];

    /// The other side.
    #[must_use]
    pub fn other(self) -> Side {
        match self {
            Side::First => Side::Second,
            Side::Second => Side::First,
        }
    }
}

/// Two runs of edges sewn together; the start of the first meets the start of the second.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// One side.
    pub first: Run,
    /// The other.
    pub second: Run,
    /// By how much the first side is meant to be longer than the second; negative where the second is.
    pub ease: Length,
}

impl Seam {
    /// A side of it.
    #[must_use]
    pub fn side(&self, side: Side) -> &Run {
        match side {
            Side::First => &self.first,
            Side::Second => &self.second,
        }
    }

    /// The side that holds an edge. An edge sewn to its own mirrored copy is on both; the first is meant.
    #[must_use]
    pub fn side_of(&self, edge: &EdgeRef) -> Option<Side> {
        Side::BOTH.into_iter().find(|side| self.side(*side).holds(edge))
    }

    /// The edges of both sides, those of the first before those of the second.
    pub fn edges(&self) -> impl Iterator<Item = &RunEdge> {
        self.first.edges().iter().chain(self.second.edges())
    }

    /// The edges of both sides, to be named otherwise.
    pub(crate) fn edges_mut(&mut self) -> impl Iterator<Item = &mut RunEdge> {
        self.first.edges_mut().iter_mut().chain(self.second.edges_mut())
    }

    /// Whether it joins edges of one piece to their own mirrored copies.
    #[must_use]
    pub fn is_to_own_mirror(&self) -> bool {
        self.first.edges().len() == self.second.edges().len()
            && self
                .first
                .edges()
                .iter()
                .zip(self.second.edges())
                .all(|(a, b)| a.edge.same_edge(&b.edge) && a.edge.copy != b.edge.copy)
    }

    /// Whether another seam joins the same edges with the same ends together, whichever side and end is named first.
    #[must_use]
    pub fn is_same(&self, other: &Seam) -> bool {
        let sides = [other.clone(), other.swapped()];
        sides.iter().any(|other| self.lies_as(other) && self.ease.mm() == other.ease.mm())
    }

    /// Whether the first sides are sewn of the same edges, and the second too, with the same ends together.
    fn lies_as(&self, other: &Seam) -> bool {
        (self.first == other.first && self.second == other.second)
            || (self.first == other.first.reversed() && self.second == other.second.reversed())
    }

    /// Another seam as this one names it, where both join the same ends of the same edges: with the same side first. A
    /// seam and its mirror image are one seam of a garment with two halves. Their ease may differ.
    #[must_use]
    pub fn named_alike(&self, other: &Seam) -> Option<Seam> {
        let images = [other.clone(), other.mirrored()];
        images.iter().flat_map(|image| [image.clone(), image.swapped()]).find(|other| self.lies_as(other))
    }

    /// The same seam with its sides named the other way round.
    #[must_use]
    pub fn swapped(&self) -> Seam {
        Seam {
            first: self.second.clone(),
            second: self.first.clone(),
            ease: Length::from_mm(-self.ease.mm()),
        }
    }

    /// The same seam on the other copies of its pieces.
    #[must_use]
    pub fn mirrored(&self) -> Seam {
        Seam { first: self.first.mirrored(), second: self.second.mirrored(), ease: self.ease }
    }

    /// The same seam walked from its other end.
    #[must_use]
    pub fn reversed(&self) -> Seam {
        Seam { first: self.first.reversed(), second: self.second.reversed(), ease: self.ease }
    }

    /// The seam with each side where it lies now; none where one of them lies nowhere.
    pub(crate) fn on(&self, now: impl Fn(&Run) -> Option<Run>) -> Option<Seam> {
        Some(Seam { first: now(&self.first)?, second: now(&self.second)?, ease: self.ease })
    }

    /// What the seam is called in messages: `front.side + back.side`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{} + {}", self.first.names(), self.second.names())
    }
}
