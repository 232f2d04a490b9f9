//! Edges that follow one another along a garment: round a corner of a piece, or across a seam.

use crate::curve::{Vec2, turn_between};
use crate::parts::join::sewn_as_one;
use crate::parts::reshape::leaving_direction;
use crate::parts::seam_side::Mirrored;
use crate::pattern::{
    Copy, EdgeEnd, EdgeId, EdgeRef, Pattern, Piece, Refusal, RefusalKind, Seam, Side, Travel, settle,
};
use crate::tolerance::CHECKED_ANGLE;

/// An edge of a chain.
#[derive(Clone, Debug)]
pub(super) struct ChainLink<'a> {
    pub piece: &'a Piece,
    pub edge: EdgeId,
    pub copy: Copy,
    /// How it is walked; against the outline where the piece lies turned over.
    pub travel: Travel,
    /// How it follows the one before.
    pub joint: LinkJoint,
}

/// How an edge follows the one before it in a chain.
#[derive(Clone, Debug)]
pub(super) enum LinkJoint {
    /// It is the first.
    None,
    /// Round a corner of the piece.
    Corner,
    /// On along the piece: the edge was divided, and both parts are sewn as one.
    On,
    /// Across a seam that begins there: the edge that ends on the piece before, and on this one.
    Seam { before: EdgeId, after: EdgeId },
}

/// An edge with the end at which it is entered or left.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tip<'a> {
    pub piece: &'a Piece,
    pub edge: EdgeId,
    pub copy: Copy,
    pub end: EdgeEnd,
}

impl<'a> Tip<'a> {
    /// How the edge is walked away from there.
    pub(super) fn away(&self) -> Travel {
        self.end.away()
    }

    /// The other end of the edge.
    pub(super) fn other_end(&self) -> Tip<'a> {
        Tip { end: self.end.other(), ..*self }
    }

    /// The direction in which the edge leaves it there.
    pub(super) fn along(&self) -> Vec2 {
        leaving_direction(&self.piece.edge(self.edge).curve, self.end)
    }

    /// The other edge at that corner of the piece.
    pub(super) fn neighbour(&self) -> Tip<'a> {
        Tip { edge: self.piece.beside(self.edge, self.end), end: self.end.other(), ..*self }
    }
}

impl<'a> ChainLink<'a> {
    /// Where the walk leaves the edge.
    pub(super) fn leaves(&self) -> Tip<'a> {
        Tip { piece: self.piece, edge: self.edge, copy: self.copy, end: self.travel.leaves_at() }
    }

    /// Where the walk comes onto it.
    pub(super) fn enters(&self) -> Tip<'a> {
        Tip { end: self.travel.enters_at(), ..self.leaves() }
    }

    /// The edge with its piece and copy.
    pub(super) fn edge_ref(&self) -> EdgeRef {
        EdgeRef { copy: self.copy, ..self.piece.edge_ref(self.edge) }
    }
}

/// The ends of edges with which one comes together when a seam is sewn that ends there.
pub(super) fn sewn_together<'a>(pattern: &'a Pattern, tip: &Tip<'a>) -> Vec<Tip<'a>> {
    let edge = EdgeRef { copy: tip.copy, ..tip.piece.edge_ref(tip.edge) };
    let mut found = Vec::new();
    for id in pattern.seams_of(&edge) {
        let seam = pattern.seam(id);
        for image in [seam.clone(), seam.mirrored()] {
            found
                .extend(Side::BOTH.iter().filter_map(|side| partner(pattern, &image, *side, &edge, tip.end)));
        }
    }
    found
}

fn partner<'a>(
    pattern: &'a Pattern,
    seam: &Seam,
    side: Side,
    edge: &EdgeRef,
    end: EdgeEnd,
) -> Option<Tip<'a>> {
    let (own, other) = (seam.side(side).first_and_last(), seam.side(side.other()).first_and_last());
    let (found, at) = if own.0.edge == *edge && own.0.travel.enters_at() == end {
        (other.0, other.0.travel.enters_at())
    } else if own.1.edge == *edge && own.1.travel.leaves_at() == end {
        (other.1, other.1.travel.leaves_at())
    } else {
        return None;
    };
    let piece = pattern.find(&found.edge.piece)?;
    Some(Tip { piece, edge: piece.find_edge(&found.edge.edge)?, copy: found.edge.copy, end: at })
}

/// The edges in the order in which they follow one another, clockwise round the first piece; where they go round, from the
/// one named first.
///
/// # Errors
///
/// Refuses an unknown edge, one that is named twice, and edges that do not follow one another.
pub(super) fn chain<'a>(pattern: &'a Pattern, along: &[EdgeRef]) -> Result<Vec<ChainLink<'a>>, Refusal> {
    // On a piece that was opened out `side/m` is an edge that is drawn.
    let along: Vec<EdgeRef> = along.iter().map(|edge| settle(pattern, edge)).collect();
    let along = along.as_slice();
    let mut firsts = Vec::new();
    for (i, edge) in along.iter().enumerate() {
        let (piece, id) = pattern.edge(edge)?;
        if along[..i].contains(edge) {
            return Err(Refusal::new(
                RefusalKind::BadField,
                edge,
                "the edge is named twice",
                "name each edge of the run once",
            )
            .about(edge));
        }
        firsts.push(ChainLink {
            piece,
            edge: id,
            copy: edge.copy,
            travel: Travel::Clockwise,
            joint: LinkJoint::None,
        });
    }
    let mut longest: Vec<ChainLink> = Vec::new();
    for first in firsts {
        let found = chained(pattern, first, along);
        if found.len() == along.len() {
            return Ok(found);
        }
        if found.len() > longest.len() {
            longest = found;
        }
    }
    Err(not_in_a_row(along, &longest))
}

fn not_in_a_row(along: &[EdgeRef], found: &[ChainLink]) -> Refusal {
    let left = along.iter().find(|edge| !found.iter().any(|link| link.edge_ref() == **edge));
    let at = left.or(along.first()).map_or_else(|| "along".to_owned(), EdgeRef::to_string);
    let after = found.last().map_or_else(String::new, |link| format!(" after {}", link.edge_ref()));
    Refusal::new(
        RefusalKind::BadField,
        at,
        format!("the edge does not follow{after}: neither round a corner nor across a seam that ends there"),
        "name edges that go on in one another, as front.neck and back.neck across the shoulder, or make two facings",
    )
}

fn chained<'a>(pattern: &'a Pattern, first: ChainLink<'a>, along: &[EdgeRef]) -> Vec<ChainLink<'a>> {
    let mut found = vec![first];
    while found.len() < along.len() {
        let Some(last) = found.last() else { break };
        let next = nexts(pattern, last).into_iter().find(|next| {
            let edge = next.edge_ref();
            along.contains(&edge) && !found.iter().any(|link| link.edge_ref() == edge)
        });
        let Some(next) = next else { break };
        found.push(next);
    }
    found
}

/// Whether an edge goes on in its neighbour as if it had been divided there: without a corner, cut, finished and sewn alike.
fn runs_on<'a>(pattern: &Pattern, last: &ChainLink<'a>, next: &Tip<'a>) -> bool {
    let (own, other) = (last.piece.edge(last.edge), next.piece.edge(next.edge));
    let ends = match last.travel {
        Travel::Clockwise => (own.curve.end_tangent(), other.curve.start_tangent()),
        Travel::Anticlockwise => (-own.curve.start_tangent(), -other.curve.end_tangent()),
    };
    let edge = |id: EdgeId| EdgeRef { copy: last.copy, ..last.piece.edge_ref(id) };
    let (first, second) = match last.travel {
        Travel::Clockwise => (edge(last.edge), edge(next.edge)),
        Travel::Anticlockwise => (edge(next.edge), edge(last.edge)),
    };
    turn_between(ends.0, ends.1).degrees().abs() <= CHECKED_ANGLE
        && (own.finish, own.open, own.lap) == (other.finish, other.open, other.lap)
        && own.cut_allowance() == other.cut_allowance()
        && sewn_as_one(pattern, &first, &second, Mirrored::No)
}

/// What may follow an edge.
fn nexts<'a>(pattern: &'a Pattern, last: &ChainLink<'a>) -> Vec<ChainLink<'a>> {
    let beside = last.leaves().neighbour();
    let joint = if runs_on(pattern, last, &beside) { LinkJoint::On } else { LinkJoint::Corner };
    let corner =
        ChainLink { piece: last.piece, edge: beside.edge, copy: last.copy, travel: beside.away(), joint };
    let across = sewn_together(pattern, &beside).into_iter().map(|sewn| {
        let next = sewn.neighbour();
        let joint = LinkJoint::Seam { before: beside.edge, after: sewn.edge };
        ChainLink { piece: next.piece, edge: next.edge, copy: next.copy, travel: next.away(), joint }
    });
    std::iter::once(corner).chain(across).collect()
}
