//! Which seams hold an edge, and which corners of pieces come together when the seams are sewn.

use std::collections::{HashMap, HashSet};

use crate::pattern::{
    Copy, EdgeEnd, EdgeId, EdgeName, EdgeRef, Finish, Pattern, Piece, PieceName, Run, RunEdge, SeamId, Side,
    Travel,
};

/// A corner of a copy of a piece. A corner on the fold is the same on both halves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Vertex<'a> {
    pub piece: &'a PieceName,
    /// The edge that leaves it, clockwise.
    pub leaving: EdgeId,
    pub copy: Copy,
    pub on_fold: bool,
}

impl Vertex<'_> {
    fn flipped(self, flip: Copy) -> Self {
        match (self.on_fold, flip) {
            (true, _) => Vertex { copy: Copy::Drawn, ..self },
            (false, Copy::Drawn) => self,
            (false, Copy::Mirrored) => Vertex { copy: self.copy.other(), ..self },
        }
    }
}

/// How one copy is turned into another: [`Copy::Mirrored`] where the two differ.
fn flip_between(a: Copy, b: Copy) -> Copy {
    if a == b { Copy::Drawn } else { Copy::Mirrored }
}

/// Where an edge stands in a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Held {
    pub seam: SeamId,
    pub side: Side,
    /// Counted along the run.
    pub at: usize,
}

/// An end of an edge on a copy of its piece.
#[derive(Clone, Debug)]
pub(super) struct EdgeTip<'a> {
    pub piece: &'a Piece,
    pub edge: EdgeId,
    pub copy: Copy,
    pub end: EdgeEnd,
}

impl<'a> EdgeTip<'a> {
    /// An end of an edge of a run; nothing where the edge does not exist.
    fn of(pattern: &'a Pattern, run_edge: &RunEdge, end: EdgeEnd) -> Option<EdgeTip<'a>> {
        let piece = pattern.find(&run_edge.edge.piece)?;
        let edge = piece.find_edge(&run_edge.edge.edge)?;
        Some(EdgeTip { piece, edge, copy: run_edge.edge.copy, end })
    }

    /// The tip at which a run begins.
    pub fn starting(pattern: &'a Pattern, run: &Run) -> Option<EdgeTip<'a>> {
        run.edges().first().and_then(|edge| EdgeTip::of(pattern, edge, entered_at(edge.travel)))
    }

    /// The tip at which a run ends.
    pub fn ending(pattern: &'a Pattern, run: &Run) -> Option<EdgeTip<'a>> {
        run.edges().last().and_then(|edge| EdgeTip::of(pattern, edge, left_at(edge.travel)))
    }

    pub fn vertex(&self) -> Vertex<'a> {
        let leaving = match self.end {
            EdgeEnd::First => self.edge,
            EdgeEnd::Last => self.piece.next(self.edge),
        };
        let arriving = self.piece.previous(leaving);
        let on_fold = [leaving, arriving].iter().any(|id| self.piece.edge(*id).finish == Finish::Fold);
        let copy = if on_fold { Copy::Drawn } else { self.copy };
        Vertex { piece: self.piece.name(), leaving, copy, on_fold }
    }

    /// The end of the neighbouring edge that meets this one.
    pub fn neighbour(&self) -> EdgeTip<'a> {
        let (edge, end) = match self.end {
            EdgeEnd::First => (self.piece.previous(self.edge), EdgeEnd::Last),
            EdgeEnd::Last => (self.piece.next(self.edge), EdgeEnd::First),
        };
        EdgeTip { edge, end, ..self.clone() }
    }

    pub fn name(&self) -> EdgeRef {
        EdgeRef {
            piece: self.piece.name().clone(),
            edge: self.piece.edge(self.edge).name.clone(),
            copy: self.copy,
        }
    }

    pub fn finish(&self) -> Finish {
        self.piece.edge(self.edge).finish
    }

    /// Whether this is an end of an edge of a run at which the run enters it, or leaves it.
    fn is(&self, run_edge: &RunEdge, end: EdgeEnd) -> bool {
        let edge = self.piece.edge(self.edge);
        self.end == end && run_edge.edge.piece == *self.piece.name() && run_edge.edge.edge == edge.name
    }
}

/// The end at which an edge is entered when it is walked.
pub(super) fn entered_at(travel: Travel) -> EdgeEnd {
    match travel {
        Travel::Clockwise => EdgeEnd::First,
        Travel::Anticlockwise => EdgeEnd::Last,
    }
}

/// The end at which an edge is left when it is walked.
pub(super) fn left_at(travel: Travel) -> EdgeEnd {
    entered_at(travel.other())
}

/// Which seams hold an edge, and which corners come together: made once for a pattern.
pub(super) struct SeamIndex<'a> {
    pub pattern: &'a Pattern,
    holds: HashMap<(&'a PieceName, &'a EdgeName), Vec<Held>>,
    meet: HashSet<(Vertex<'a>, Vertex<'a>)>,
}

/// Two edges follow one another in a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RunJoint {
    pub seam: SeamId,
    pub side: Side,
    /// The place in the run of the edge after the joint.
    pub after: usize,
}

/// How two edges that come together at the end of a seam go on in other seams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SewnOn {
    /// They follow one another in a run.
    InRun(RunJoint),
    /// They are sewn to edges that come together at the same place.
    ToMeetingEdges,
    /// They do not go on into each other.
    No,
}

impl<'a> SeamIndex<'a> {
    pub fn of(pattern: &'a Pattern) -> SeamIndex<'a> {
        let mut index = SeamIndex { pattern, holds: HashMap::new(), meet: HashSet::new() };
        for id in pattern.seam_ids() {
            let seam = pattern.seam(id);
            for side in Side::BOTH {
                for (at, run) in seam.side(side).edges().iter().enumerate() {
                    let key = (&run.edge.piece, &run.edge.edge);
                    index.holds.entry(key).or_default().push(Held { seam: id, side, at });
                }
            }
            let tips = [EdgeTip::starting, EdgeTip::ending];
            for [a, b] in tips.map(|tip| [&seam.first, &seam.second].map(|run| tip(pattern, run))) {
                if let (Some(a), Some(b)) = (a, b) {
                    index.meet_at(a.vertex(), b.vertex());
                }
            }
        }
        index
    }

    fn meet_at(&mut self, a: Vertex<'a>, b: Vertex<'a>) {
        for flip in [Copy::Drawn, Copy::Mirrored] {
            let (a, b) = (a.flipped(flip), b.flipped(flip));
            self.meet.insert((a, b));
            self.meet.insert((b, a));
        }
    }

    /// Where an edge stands in the seams, on whichever copy.
    pub fn held(&self, piece: &'a PieceName, edge: &'a EdgeName) -> &[Held] {
        self.holds.get(&(piece, edge)).map_or(&[], Vec::as_slice)
    }

    fn held_tip(&self, tip: &EdgeTip<'a>) -> &[Held] {
        self.held(tip.piece.name(), &tip.piece.edge(tip.edge).name)
    }

    /// How two neighbours of a seam's end go on into each other.
    pub fn sewn_on(&self, a: &EdgeTip<'a>, b: &EdgeTip<'a>) -> SewnOn {
        if let Some(joint) = self.joint_in_run(a, b).or_else(|| self.joint_in_run(b, a)) {
            return SewnOn::InRun(joint);
        }
        let partners = |tip: &EdgeTip<'a>| -> Vec<Vertex<'a>> {
            self.held_tip(tip).iter().filter_map(|held| self.partner_of(tip, *held)).collect()
        };
        let (of_a, of_b) = (partners(a), partners(b));
        let (own_a, own_b) = (a.vertex(), b.vertex());
        let meeting = of_a.iter().any(|p| {
            of_b.iter().any(|q| {
                let sewn_together = *p == own_b || *q == own_a;
                !sewn_together && (self.meet.contains(&(*p, *q)) || (p == q && p.on_fold))
            })
        });
        if meeting { SewnOn::ToMeetingEdges } else { SewnOn::No }
    }

    /// The joint of a run at which it leaves the one edge and enters the other.
    fn joint_in_run(&self, from: &EdgeTip<'a>, to: &EdgeTip<'a>) -> Option<RunJoint> {
        self.held_tip(from).iter().find_map(|held| {
            let run = self.pattern.seam(held.seam).side(held.side).edges();
            let (before, after) = (run.get(held.at)?, run.get(held.at + 1)?);
            let follows = from.is(before, left_at(before.travel)) && to.is(after, entered_at(after.travel));
            let same_copies =
                flip_between(before.edge.copy, from.copy) == flip_between(after.edge.copy, to.copy);
            (follows && same_copies).then_some(RunJoint {
                seam: held.seam,
                side: held.side,
                after: held.at + 1,
            })
        })
    }

    /// The corner that meets this end of an edge when a seam that holds the edge is sewn, if the run ends there.
    fn partner_of(&self, tip: &EdgeTip<'a>, held: Held) -> Option<Vertex<'a>> {
        let seam = self.pattern.seam(held.seam);
        let run = seam.side(held.side).edges();
        let run_edge = run.get(held.at)?;
        let other = seam.side(held.side.other());
        let partner = if held.at == 0 && tip.is(run_edge, entered_at(run_edge.travel)) {
            EdgeTip::starting(self.pattern, other)
        } else if held.at + 1 == run.len() && tip.is(run_edge, left_at(run_edge.travel)) {
            EdgeTip::ending(self.pattern, other)
        } else {
            None
        };
        partner.map(|partner| partner.vertex().flipped(flip_between(run_edge.edge.copy, tip.copy)))
    }
}
