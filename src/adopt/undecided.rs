//! Seams of which nothing tells the ends that meet, and the ways in which they can be laid.

use std::fmt;

use crate::pattern::{
    AdvicePart, EdgeEnd, EdgeName, EdgeRef, Joins, Pattern, Refusal, Remedy, Run, SewnFrom, WalkEnd, orient,
};
use crate::toml_file::TextFault;

/// A seam of a map of which nothing tells the ends that meet.
#[derive(Clone, Debug)]
pub struct UndecidedSeam {
    /// Its place among the seams of the map, counted from nothing.
    pub seam: usize,
    /// What is wrong, at its place in the map.
    pub fault: TextFault,
    /// How it can be laid, the likelier way first.
    pub ways: Vec<LaidWay>,
}

/// A way to lay the two sides of a seam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidWay {
    /// What the map says of a seam that is laid so.
    pub from: SewnFrom,
    /// The ends of its first and its second side that meet.
    pub meeting: [MeetingEnd; 2],
    /// Both sides, their starts together.
    pub(super) laid: (Run, Run),
}

/// An end of one side of a seam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeetingEnd {
    edge: EdgeRef,
    at: EndKnownBy,
}

/// By what an end of an edge is known.
#[derive(Clone, Debug, PartialEq, Eq)]
enum EndKnownBy {
    /// The edge that it meets.
    Beside(EdgeName),
    /// Where it lies as it is drawn, where both ends meet edges of one name.
    Drawn(&'static str),
}

/// As `front.side at hem`.
impl fmt::Display for MeetingEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.at {
            EndKnownBy::Beside(edge) => write!(f, "{} at {edge}", self.edge),
            EndKnownBy::Drawn(end) => write!(f, "{} at its {end} end", self.edge),
        }
    }
}

/// The ways in which a seam can be laid that is refused because nothing tells its ends; none where it is refused for
/// another reason.
pub(super) fn seam_ways(
    pattern: &Pattern,
    joins: &Joins,
    (first, second): (&[EdgeRef], &[EdgeRef]),
    refusal: &Refusal,
) -> Vec<LaidWay> {
    let ends = refusal.way_out.parts().iter().find_map(|part| match part {
        AdvicePart::Remedy(Remedy::SayFrom { ends, .. }) => Some(ends),
        _ => None,
    });
    let way = |from: &SewnFrom| {
        let laid = orient(pattern, joins, first, second, Some(from)).ok()?;
        let meeting = [start(pattern, &laid.0)?, start(pattern, &laid.1)?];
        Some(LaidWay { from: from.clone(), meeting, laid })
    };
    ends.into_iter().flatten().filter_map(way).collect()
}

/// The end at which a run is begun.
fn start(pattern: &Pattern, run: &Run) -> Option<MeetingEnd> {
    let begun = run.edge_at(WalkEnd::Start);
    let (piece, id) = pattern.edge(&begun.edge).ok()?;
    let beside = |end: WalkEnd| &piece.edge(piece.beside(id, begun.travel.end_at(end))).name;
    let [own, other] = [WalkEnd::Start, WalkEnd::End].map(beside);
    let at = if own == other {
        let curve = &piece.edge(id).curve;
        let [here, there] = [WalkEnd::Start, WalkEnd::End].map(|end| match begun.travel.end_at(end) {
            EdgeEnd::First => curve.start(),
            EdgeEnd::Last => curve.end(),
        });
        let way = there - here;
        EndKnownBy::Drawn(match (way.y.abs() >= way.x.abs(), way.y > 0.0, way.x > 0.0) {
            (true, true, _) => "upper",
            (true, false, _) => "lower",
            (false, _, true) => "left",
            (false, _, false) => "right",
        })
    } else {
        EndKnownBy::Beside(own.clone())
    };
    Some(MeetingEnd { edge: begun.edge.clone(), at })
}
