//! Seams of which the sheet names every corner at which an edge is entered: nothing is left to be found out.

use crate::pattern::{EdgeEnd, EdgeRef, Refusal, RefusalKind, Remedy, Run, RunEdge, Seam, SewnFrom, Travel};

/// The corners at which the edges of a run are entered, in sewing order.
#[must_use]
pub fn corners_entered(run: &Run) -> SewnFrom {
    SewnFrom::Corners(run.edges().iter().map(|run| run.travel.enters_at()).collect())
}

/// A run whose edges are entered at the corners named.
///
/// # Errors
///
/// Refuses another number of corners than of edges.
pub fn entered_at(edges: &[EdgeRef], ends: &[EdgeEnd]) -> Result<Run, Refusal> {
    let run = edges.iter().zip(ends).map(|(edge, end)| RunEdge { edge: edge.clone(), travel: end.away() });
    let at = || edges.first().map_or_else(|| "seam".to_owned(), EdgeRef::to_string);
    let wrong = |what: String| {
        Refusal::new(
            RefusalKind::BadSeam,
            at(),
            what,
            "name one corner for each edge of the run, in sewing order",
        )
    };
    if edges.len() != ends.len() {
        return Err(wrong(format!(
            "`from` names {} corners, but the run has {} edges",
            ends.len(),
            edges.len()
        )));
    }
    Run::new(run.collect()).ok_or_else(|| wrong("a side of the seam has no edges".to_owned()))
}

/// Lays a seam of which only the second side's corners are named: a single first edge is walked clockwise from its first
/// corner, and edges sewn to their own mirrored copies are walked as those are.
///
/// # Errors
///
/// Refuses other seams of several edges, which must name the corners on both sides.
pub(super) fn laid_by_corners(
    first: &[EdgeRef],
    second: &[EdgeRef],
    ends: &[EdgeEnd],
) -> Result<(Run, Run), Refusal> {
    let second = entered_at(second, ends)?;
    if let [only] = first {
        return Ok((entered_at(std::slice::from_ref(only), &[EdgeEnd::First])?, second));
    }
    let mirrored = second.mirrored();
    if mirrored.edge_refs() == first {
        return Ok((mirrored, second));
    }
    Err(Refusal::new(
        RefusalKind::BadSeam,
        second.names(),
        "the other side of the seam does not say at which corners its own edges are entered",
        Remedy::SayCorners,
    ))
}

/// The same seam, walked so that what names only the second side's corners says all of it; none where both sides must
/// name them.
#[must_use]
pub fn said_by_corners(seam: &Seam) -> Option<(Seam, SewnFrom)> {
    let starts_clockwise = seam.first.first_and_last().0.travel == Travel::Clockwise;
    let seam = match starts_clockwise {
        true => seam.clone(),
        false => seam.reversed(),
    };
    let from = corners_entered(&seam.second);
    let SewnFrom::Corners(ends) = &from else { return None };
    let read = laid_by_corners(&seam.first.edge_refs(), &seam.second.edge_refs(), ends).ok()?;
    (read.0 == seam.first && read.1 == seam.second).then_some((seam, from))
}
