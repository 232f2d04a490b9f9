//! A lining that ends above the hem.

use crate::advice;
use crate::curve::{Curve, Point, left_of, offset, turn_between};
use crate::derive::lining::draft::LiningDraft;
use crate::derive::turned::turned_at_ends;
use crate::pattern::{Field, Finish, Operation, Refusal, RefusalKind};
use crate::tolerance::{FACING_ACCURACY, SAME_CUT};
use crate::units::Length;

/// Draws all hems of a draft further up; why not, where it has none.
///
/// # Errors
///
/// Refuses a dart that opens there, and a line that does not meet the edges beside the hem.
pub(super) fn shorten(draft: &mut LiningDraft, by: Length) -> Result<Option<Refusal>, Refusal> {
    let is_hem = |draft: &LiningDraft, at: usize| draft.edges[at].edge.finish == Finish::Hem;
    if by.mm() <= SAME_CUT {
        return Err(wrong(draft, by, format!("a lining cannot end {by} above the hem")));
    }
    let firsts: Vec<_> = (0..draft.edges.len())
        .filter(|at| is_hem(draft, *at) && !is_hem(draft, draft.previous(*at)))
        .map(|at| draft.edges[at].edge.name.clone())
        .collect();
    if firsts.is_empty() {
        return Ok(Some(wrong(draft, by, "the piece has no hem".to_owned())));
    }
    for first in firsts {
        let Some(first) = draft.find(&first) else { continue };
        let mut hems = vec![first];
        while is_hem(draft, draft.next(hems[hems.len() - 1])) && hems.len() < draft.edges.len() {
            hems.push(draft.next(hems[hems.len() - 1]));
        }
        shorten_run(draft, &hems, by)?;
    }
    Ok(None)
}

fn wrong(draft: &LiningDraft, by: Length, what: String) -> Refusal {
    let way_out = advice!(
        "give 12mm to 25mm on pieces with a hem, or make a hem of the edge: ",
        Operation::SetEdge.with(Field::Finish, "hem")
    );
    Refusal::new(RefusalKind::BadField, draft.base().name(), what, way_out).about(by)
}

/// Hems that follow one another.
fn shorten_run(draft: &mut LiningDraft, hems: &[usize], by: Length) -> Result<(), Refusal> {
    let opens = |at: &usize| {
        let name = &draft.edges[*at].edge.name;
        draft.darts.iter().any(|dart| dart.mouth().is_some_and(|mouth| mouth.edge == *name))
    };
    if hems.iter().any(opens) {
        return Err(wrong(draft, by, "a dart opens on its hem".to_owned()));
    }
    let mut joined: Option<Curve> = None;
    let mut joints = Vec::new();
    for at in hems {
        let curve = draft.curve(*at);
        joined = Some(match joined {
            None => curve.clone(),
            Some(so_far) => {
                joints.push(curve.start() - left_of(curve.start_tangent()) * by.mm());
                so_far.joined(curve)?
            }
        });
    }
    let Some(joined) = joined else { return Ok(()) };
    // Where an edge leaves the hem at a slant, the line beside it goes on to it.
    let far = 4.0 * by.mm();
    let inside = offset(&joined, -by.mm(), FACING_ACCURACY)?;
    let line = inside.run_on(far, far);
    let (before, after) = (draft.previous(hems[0]), draft.next(hems[hems.len() - 1]));
    let nearest = |curve: &Curve, end: f64| {
        let met = line.crossings(curve).into_iter();
        met.min_by(|a, b| (a.other_at - end).abs().total_cmp(&(b.other_at - end).abs()))
    };
    let start = nearest(draft.curve(before), draft.curve(before).length());
    let end = nearest(draft.curve(after), 0.0);
    let (Some(start), Some(end)) = (start, end) else {
        return Err(wrong(draft, by, format!("{by} above its hem the piece has no edges beside it")));
    };
    // Where the hem is square to the edge beside it, the line ends there by itself.
    let own = |at: f64| {
        let ends = [far, far + inside.length()];
        ends.into_iter().find(|end| (at - end).abs() <= FACING_ACCURACY).unwrap_or(at)
    };
    if end.at - start.at <= SAME_CUT {
        return Err(wrong(draft, by, format!("nothing of its hem is left {by} above it")));
    }
    // The edges beside it may bend on the way: the hem is drawn square to them as it was at its old place.
    let turned = {
        let (beside, next) = (draft.curve(before), draft.curve(after));
        (
            turn_between(beside.end_tangent(), beside.tangent_before(start.other_at)),
            turn_between(next.start_tangent(), next.tangent_at(end.other_at)),
        )
    };
    draft.trim(before, 0.0, start.other_at)?;
    let whole = draft.curve(after).length();
    draft.trim(after, end.other_at, whole)?;
    let whole = line.stretch(own(start.at), own(end.at))?;
    let line = turned_at_ends(&whole, turned, whole.length() * TURNED_OVER)?;
    let (start, end) = (
        RedrawnHemEnd { at: 0.0, point: start.point },
        RedrawnHemEnd { at: line.length(), point: end.point },
    );
    let mut cuts = vec![start.at];
    cuts.extend(joints.into_iter().map(|joint| line.nearest(joint).at));
    cuts.push(end.at);
    for (at, cut) in hems.iter().zip(cuts.windows(2)) {
        let mut curve = line.stretch(cut[0], cut[1])?;
        if cut[0] == start.at {
            curve = curve.with_ends(start.point, curve.end())?;
        }
        if cut[1] == end.at {
            curve = curve.with_ends(curve.start(), end.point)?;
        }
        let (old, new) = (draft.curve(*at).clone(), curve.clone());
        draft.redraw_between(*at, curve, None, 0.0, |place| Some(new.nearest(old.point_at(place)).at))?;
    }
    Ok(())
}

/// Over how much of its length a hem is drawn anew where it is turned at its end.
const TURNED_OVER: f64 = 1.0 / 3.0;

/// An end of a hem that is drawn anew.
struct RedrawnHemEnd {
    at: f64,
    point: Point,
}
