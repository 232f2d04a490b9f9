//! Smoothing an edge where it goes on across the end of a seam.
//!
//! ```text
//!            seam
//!     ─────── │ ───────        the two neighbours meet in a kink: each turns by half of it,
//!            `·´               the corner stays where it is
//! ```

use crate::pattern::{EdgeRef, Finish, Refusal, RefusalKind, Seam, Side};
use crate::recut::reshape::{Redrawn, leaving_direction, turn_end};
use crate::recut::seam_end::{SeamEnd, WalkEnd, draw_anew};
use crate::recut::{Told, Work};
use crate::tolerance::{KINK_SEEN, MOST_SMOOTHED};

/// Turns an edge that meets the end of a seam, and its continuation on the other side, until the two run on without a
/// kink when the seam is sewn. The turn fades along each; the corner stays.
///
/// # Errors
///
/// Refuses an edge that does not meet an end of the seam, a fold, and a kink over [`MOST_SMOOTHED`].
pub(super) fn smooth_joint(work: &mut Work, seam: &Seam, edge: &EdgeRef) -> Result<(), Refusal> {
    work.pattern.edge(edge)?;
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
    let kink = std::f64::consts::PI - own.inner_angle() - other.inner_angle();
    let degrees = kink.to_degrees();
    if degrees.abs() > MOST_SMOOTHED {
        return Err(Refusal::new(
            RefusalKind::Geometry,
            edge,
            format!("the edge has a kink of {degrees:.1}° across the seam"),
            format!("a kink up to {MOST_SMOOTHED}° can be smoothed: redraw one of the two edges first"),
        ));
    }
    if degrees.abs() <= KINK_SEEN {
        let why = "it runs on across the seam without a kink".to_owned();
        work.tell(Told::NothingToDo { at: edge.to_string(), why });
        return Ok(());
    }
    turn_neighbour(work, &own, kink / 2.0)?;
    let same_corner =
        own.piece.name() == other.piece.name() && own.neighbour == other.neighbour && own.end == other.end;
    if same_corner {
        return Ok(());
    }
    let other = SeamEnd { piece: work.piece(other.piece.name())?, ..other };
    turn_neighbour(work, &other, kink / 2.0)
}

/// The end of the seam that the edge meets, on its own side and on the other.
fn find(work: &Work, seam: &Seam, edge: &EdgeRef) -> Result<(SeamEnd, SeamEnd), Refusal> {
    let mut neighbours = Vec::new();
    for side in Side::BOTH {
        for at in WalkEnd::BOTH {
            let own = SeamEnd::of(&work.pattern, seam.side(side), at)?;
            let name = own.name_of(own.neighbour);
            if name.same_edge(edge) {
                return Ok((own, SeamEnd::of(&work.pattern, seam.side(side.other()), at)?));
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

fn turn_neighbour(work: &mut Work, end: &SeamEnd, by: f64) -> Result<(), Refusal> {
    let (curve, at) = (&end.piece.edge(end.neighbour).curve, end.neighbour_end());
    let leaving = end.widened(leaving_direction(curve, at), by);
    let curve = turn_end(curve, at, leaving, end.reach())?;
    draw_anew(work, &end.piece, &[Redrawn { edge: end.neighbour, curve, changed_at: at }])
}
