//! Smoothing an edge where it goes on across the end of a seam, or in the next edge of its piece.
//!
//! ```text
//!            seam
//!     ─────── │ ───────        the two neighbours meet in a kink: each turns by half of it,
//!            `·´               the corner stays where it is
//! ```

use crate::curve::turn_between;
use crate::parts::reshape::{Redrawn, leaving_direction, turn_end};
use crate::pattern::{
    EdgeEnd, EdgeId, EdgeRef, Finish, Piece, Refusal, RefusalKind, Seam, SeamId, Side, Walk, WalkEnd,
};
use crate::recut::seam_end::{SideEnd, draw_anew, reach};
use crate::recut::{Notice, WhyNothing, Work};
use crate::tolerance::{KINK_SEEN, MOST_SMOOTHED};
use crate::units::Length;

/// Turns an edge that meets the end of a seam, and its continuation on the other side, until the two run on without a
/// kink when the seam is sewn; of an edge of the seam itself the corner with the edge that it goes on in, as where pieces
/// were joined. The turn fades along each; the corner stays.
///
/// # Errors
///
/// Refuses an edge that does not meet an end of the seam, a fold, and a kink over [`MOST_SMOOTHED`].
pub(super) fn smooth_joint(work: &mut Work, seam: &Seam, edge: &EdgeRef) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(edge)?;
    let corner = [id, piece.previous(id)].into_iter().find(|before| piece.goes_on(*before));
    if let (true, Some(before)) = (seam.edges().any(|run| run.edge.same_edge(edge)), corner) {
        let piece = piece.clone();
        return smooth_corner(work, &piece, before).and_then(|()| keep_eased(work, seam, edge));
    }
    let (own, other) = find(work, seam, edge)?;
    for end in [&own, &other] {
        if end.finish() == Finish::Fold {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                end.name_of(end.neighbour),
                "a fold must stay straight",
                "name an edge that goes on across the seam",
            ));
        }
    }
    let kink = own.kink_with(&other);
    if !may_turn(work, edge, kink.to_degrees())? {
        return Ok(());
    }
    turn_both(work, &own, other, kink)
}

/// Draws the hem smooth where it runs on across an end of a new seam: each side turns by half of the kink, the corner
/// stays. A kink over [`MOST_SMOOTHED`], as of a slit's corner, is left as it is.
///
/// # Errors
///
/// Refuses edges that do not exist, and a hem too short to turn.
pub(super) fn smooth_hem(work: &mut Work, id: SeamId) -> Result<(), Refusal> {
    let seam = work.pattern.seam(id).clone();
    for at in WalkEnd::BOTH {
        let end = |work: &Work, side: Side| SideEnd::of(&work.pattern, seam.side(side), at);
        let (first, second) = (end(work, Side::First)?, end(work, Side::Second)?);
        let kink = first.kink_with(&second);
        let seen = KINK_SEEN..=MOST_SMOOTHED;
        let is_hem = [&first, &second].iter().all(|end| end.finish() == Finish::Hem);
        if is_hem && seen.contains(&kink.to_degrees().abs()) {
            turn_both(work, &first, second, kink)?;
        }
    }
    Ok(())
}

/// Turns the neighbours on both sides of a seam's end, each by half of a kink; where both are one corner, of a piece that
/// is sewn to its own mirrored copy, once.
fn turn_both(work: &mut Work, own: &SideEnd, other: SideEnd, kink: f64) -> Result<(), Refusal> {
    turn_neighbour(work, own, kink / 2.0)?;
    let same_corner =
        own.piece.name() == other.piece.name() && own.neighbour == other.neighbour && own.end == other.end;
    if same_corner {
        return Ok(());
    }
    let other = SideEnd { piece: work.piece(other.piece.name())?, ..other };
    turn_neighbour(work, &other, kink / 2.0)
}

/// Turns two edges of a piece that go on in each other until they run on without a kink, each by half of it.
fn smooth_corner(work: &mut Work, piece: &Piece, before: EdgeId) -> Result<(), Refusal> {
    let after = piece.next(before);
    let (first, second) = (&piece.edge(before).curve, &piece.edge(after).curve);
    let (arriving, leaving) = (first.end_tangent(), second.start_tangent());
    let degrees = turn_between(arriving, leaving).degrees();
    if may_turn(work, &piece.edge_ref(before), degrees)? {
        let along = (arriving + leaving).normalize();
        let turned = |edge, end, leaving| {
            let reach = reach(piece, edge, end);
            let curve = turn_end(&piece.edge(edge).curve, end, leaving, reach)?;
            Ok::<_, Refusal>(Redrawn { edge, curve, changed_at: end })
        };
        let redrawn = [turned(before, EdgeEnd::Last, -along)?, turned(after, EdgeEnd::First, along)?];
        draw_anew(work, piece, &redrawn)?;
    }
    Ok(())
}

/// A seam that is eased takes the change of its length into the ease.
fn keep_eased(work: &mut Work, before: &Seam, edge: &EdgeRef) -> Result<(), Refusal> {
    if before.ease == Length::ZERO {
        return Ok(());
    }
    let length = |side: Side| Walk::of(&work.pattern, before.side(side)).map(|walk| walk.length());
    let ease = length(Side::First)? - length(Side::Second)?;
    let id = work.pattern.seam_named(edge, None)?;
    let mut seam = work.pattern.seam(id).clone();
    seam.ease = Length::from_mm(ease);
    let longer = if ease > 0.0 { &seam.first } else { &seam.second };
    if let Some(run) = longer.edges().first() {
        work.tell(Notice::EaseDeclared { edge: run.edge.clone(), ease: Length::from_mm(ease.abs()) });
    }
    work.pattern.replace_seam(id, seam)
}

/// Whether there is a kink to be smoothed, which is told otherwise.
///
/// # Errors
///
/// Refuses a kink over [`MOST_SMOOTHED`].
fn may_turn(work: &mut Work, edge: &EdgeRef, degrees: f64) -> Result<bool, Refusal> {
    if degrees.abs() > MOST_SMOOTHED {
        return Err(Refusal::new(
            RefusalKind::Geometry,
            edge,
            format!("the edge has a kink of {degrees:.1}° there"),
            format!("a kink up to {MOST_SMOOTHED}° can be smoothed: redraw one of the two edges first"),
        ));
    }
    if degrees.abs() <= KINK_SEEN {
        work.tell(Notice::NothingToDo { at: edge.to_string(), why: WhyNothing::RunsOn });
        return Ok(false);
    }
    Ok(true)
}

/// The end of the seam that the edge meets, on its own side and on the other.
fn find(work: &Work, seam: &Seam, edge: &EdgeRef) -> Result<(SideEnd, SideEnd), Refusal> {
    let mut neighbours = Vec::new();
    for side in Side::BOTH {
        for at in WalkEnd::BOTH {
            let own = SideEnd::of(&work.pattern, seam.side(side), at)?;
            let name = own.name_of(own.neighbour);
            if name.same_edge(edge) {
                return Ok((own, SideEnd::of(&work.pattern, seam.side(side.other()), at)?));
            }
            neighbours.push(name.to_string());
        }
    }
    Err(Refusal::new(
        RefusalKind::BadField,
        edge,
        format!("the edge does not meet an end of the seam {}", seam.name()),
        format!("the edges that do are: {}", neighbours.join(", ")),
    )
    .about(edge))
}

fn turn_neighbour(work: &mut Work, end: &SideEnd, by: f64) -> Result<(), Refusal> {
    let (curve, at) = (&end.piece.edge(end.neighbour).curve, end.neighbour_end());
    let leaving = end.widened(leaving_direction(curve, at), by);
    let curve = turn_end(curve, at, leaving, end.reach())?;
    draw_anew(work, &end.piece, &[Redrawn { edge: end.neighbour, curve, changed_at: at }])
}
