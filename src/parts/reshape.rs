//! Moving or turning the end of an edge, so that the change fades along it.
//!
//! ```text
//!     kept bit for bit      fades        end
//!     ────────────────┼───────────────── o
//!                                    `·· x
//! ```

use crate::curve::{Curve, Point, Vec2, fit_through, right_of};
use crate::parts::in_the_way::dart_opens;
use crate::pattern::{Edge, EdgeEnd, EdgeId, NotchName, Piece, Refusal, RefusalKind};
use crate::tolerance::{CORNER_IN_EDGE, RESHAPE_ACCURACY, SAME_CUT, SAME_POINT};

/// How far apart the places are that carry a displacement, mm.
const STEP: f64 = 2.0;

/// The fewest such places on a smooth stretch.
const LEAST_PLACES: usize = 8;

/// The shortest stretch on which an edge is turned, mm.
const LEAST_REACH: f64 = 5.0;

/// The greatest share of the reach by which an end may be moved: beyond 1 / 1.875, the steepest slope of the fading,
/// cloth would be pushed past itself.
const MOST_MOVED: f64 = 0.5;

/// Moves an end of an edge to a point; the displacement fades to nothing within `reach` mm, or at the other end where
/// the edge is shorter. Directions at both ends of the stretch that changes are kept, and beyond it the edge stays bit
/// for bit. What changes is fitted within [`RESHAPE_ACCURACY`].
///
/// # Errors
///
/// Refuses a displacement that is more than half of the stretch on which it fades.
pub(crate) fn reshape_end(curve: &Curve, end: EdgeEnd, to: Point, reach: f64) -> Result<Curve, Refusal> {
    let from = end_point(curve, end);
    let by = to - from;
    let reach = reach.min(curve.length());
    if by.hypot() <= SAME_POINT {
        return Ok(with_end(curve, end, to)?);
    }
    if by.hypot() > MOST_MOVED * reach {
        return Err(Refusal::new(
            RefusalKind::Geometry,
            "edge",
            format!("its end would move by {:.1} mm, but it can only change over {reach:.1} mm", by.hypot()),
            "make the change smaller, or make the edge longer",
        ));
    }
    let faded = |away: f64| Displacement {
        by: fading(away / reach) * by,
        slope: fading_slope(away / reach) / reach * by,
    };
    let changed = changed(curve, end, reach, faded)?;
    Ok(with_end(&changed, end, to)?)
}

/// Turns an end of an edge about its end point until it lies along a direction, given as the edge leaves the point; the
/// turn fades to nothing within `reach` mm. As [`reshape_end`] otherwise.
///
/// # Errors
///
/// Refuses a turn by a right angle or more.
pub(crate) fn turn_end(curve: &Curve, end: EdgeEnd, leaving: Vec2, reach: f64) -> Result<Curve, Refusal> {
    let now = leaving_direction(curve, end);
    let sideways = right_of(now);
    let (along, across) = (leaving.dot(now), leaving.dot(sideways));
    if along <= 0.0 {
        return Err(Refusal::new(
            RefusalKind::Geometry,
            "edge",
            "its end would turn by a right angle or more",
            "redraw the edge",
        ));
    }
    let slope = across / along * sideways;
    let reach = reach.min(curve.length());
    if reach <= LEAST_REACH {
        return Err(Refusal::new(
            RefusalKind::Geometry,
            "edge",
            format!("its end would turn, but it can only change over {reach:.1} mm"),
            "move away what stands near the end, or redraw the edge",
        ));
    }
    let turned = |away: f64| {
        let share = away / reach;
        Displacement {
            by: away * fading(share) * slope,
            slope: (fading(share) + share * fading_slope(share)) * slope,
        }
    };
    let to = end_point(curve, end);
    Ok(with_end(&changed(curve, end, reach, turned)?, end, to)?)
}

/// An edge that is longer at one of its ends, along its own direction there, or shorter where `by` is under zero, mm.
///
/// # Errors
///
/// Refuses to take off all of the edge.
pub(crate) fn longer_at(curve: &Curve, end: EdgeEnd, by: f64) -> Result<Curve, Refusal> {
    let length = curve.length();
    let changed = match (end, by > 0.0) {
        (EdgeEnd::First, true) => curve.run_on(by, 0.0),
        (EdgeEnd::Last, true) => curve.run_on(0.0, by),
        (EdgeEnd::First, false) => curve.stretch(-by, length)?,
        (EdgeEnd::Last, false) => curve.stretch(0.0, length + by)?,
    };
    match curve.is_straight(SAME_POINT) {
        true => Ok(Curve::line(changed.start(), changed.end())?),
        false => Ok(changed),
    }
}

/// The direction in which an edge leaves one of its end points.
pub(crate) fn leaving_direction(curve: &Curve, end: EdgeEnd) -> Vec2 {
    match end {
        EdgeEnd::First => curve.start_tangent(),
        EdgeEnd::Last => -curve.end_tangent(),
    }
}

/// The point at an end of an edge.
pub(crate) fn end_point(curve: &Curve, end: EdgeEnd) -> Point {
    match end {
        EdgeEnd::First => curve.start(),
        EdgeEnd::Last => curve.end(),
    }
}

fn with_end(curve: &Curve, end: EdgeEnd, to: Point) -> Result<Curve, crate::curve::CurveError> {
    match end {
        EdgeEnd::First => curve.with_ends(to, curve.end()),
        EdgeEnd::Last => curve.with_ends(curve.start(), to),
    }
}

/// One at zero, nothing at one and beyond, with no slope and no bending at either: `1 − 10 u³ + 15 u⁴ − 6 u⁵`.
fn fading(u: f64) -> f64 {
    let u = u.clamp(0.0, 1.0);
    1.0 - u.powi(3) * (10.0 - 15.0 * u + 6.0 * u * u)
}

fn fading_slope(u: f64) -> f64 {
    let u = u.clamp(0.0, 1.0);
    -30.0 * (u * (1.0 - u)).powi(2)
}

/// By how much a place is displaced, and how that grows with the distance away from the end.
struct Displacement {
    by: Vec2,
    slope: Vec2,
}

/// The curve with a displacement, given by the distance from one of its ends, on the stretch within `reach` of that
/// end. Corners inside the stretch stay corners.
fn changed(
    curve: &Curve,
    end: EdgeEnd,
    reach: f64,
    change: impl Fn(f64) -> Displacement,
) -> Result<Curve, Refusal> {
    let away = match end {
        EdgeEnd::First => curve.clone(),
        EdgeEnd::Last => curve.reversed(),
    };
    let corner = |at: f64| at > SAME_CUT && at < reach - SAME_CUT;
    let joints = away.joints();
    let corners = joints.iter().filter(|joint| joint.turn.abs() > CORNER_IN_EDGE && corner(joint.at));
    let mut ends = vec![0.0];
    ends.extend(corners.map(|joint| joint.at));
    ends.push(reach);
    let mut whole: Option<Curve> = None;
    for pair in ends.windows(2) {
        let next = changed_stretch(&away, pair[0], pair[1], &change)?;
        whole = Some(match whole {
            None => next,
            Some(so_far) => so_far.joined(&next)?,
        });
    }
    let Some(mut whole) = whole else { return Ok(curve.clone()) };
    if away.length() - reach > SAME_CUT {
        let kept = away.stretch(reach, away.length())?;
        whole = whole.with_ends(whole.start(), kept.start())?.joined(&kept)?;
    } else {
        whole = whole.with_ends(whole.start(), away.end())?;
    }
    Ok(match end {
        EdgeEnd::First => whole,
        EdgeEnd::Last => whole.reversed(),
    })
}

fn changed_stretch(
    away: &Curve,
    from: f64,
    to: f64,
    change: &impl Fn(f64) -> Displacement,
) -> Result<Curve, Refusal> {
    let count = (((to - from) / STEP).ceil() as usize).max(LEAST_PLACES);
    let at = |i: usize| from + (to - from) * i as f64 / count as f64;
    let points: Vec<Point> = (0..=count).map(|i| away.point_at(at(i)) + change(at(i)).by).collect();
    let start = away.tangent_at(from) + change(from).slope;
    let end = away.tangent_before(to) + change(to).slope;
    let straight = Curve::line(points[0], points[count]).ok().filter(|line| {
        points.iter().all(|point| line.nearest(*point).distance <= SAME_POINT)
            && [start, end].iter().all(|way| way.cross(line.start_tangent()).abs() <= SAME_POINT)
    });
    match straight {
        Some(line) => Ok(line),
        None => Ok(fit_through(&points, Some(start), Some(end), RESHAPE_ACCURACY)?),
    }
}

/// An edge drawn anew over the same cloth, changed near one end only.
pub(crate) struct Redrawn {
    pub edge: EdgeId,
    pub curve: Curve,
    /// The end near which it changed: distances are kept from the other one.
    pub changed_at: EdgeEnd,
}

/// A piece with some edges drawn anew, and the notches that no longer have a place. Notches keep their distance from
/// the end that did not change, and so do mouths of darts.
///
/// # Errors
///
/// Refuses where the mouth of a dart lies in what changes, and an outline that is none.
pub(crate) fn redraw(piece: &Piece, redrawn: &[Redrawn]) -> Result<(Piece, Vec<NotchName>), Refusal> {
    let mut edges: Vec<Edge> = piece.edges().to_vec();
    for new in redrawn {
        edges[new.edge.0].curve = new.curve.clone();
    }
    let mut made = piece.with_edges(edges)?;
    let mut lost = Vec::new();
    for new in redrawn {
        let old = &piece.edge(new.edge).curve;
        let grown = new.curve.length() - old.length();
        let carry = |at: f64| match new.changed_at {
            EdgeEnd::First => at + grown,
            EdgeEnd::Last => at,
        };
        let name = &piece.edge(new.edge).name;
        let length = made.edge(new.edge).curve.length();
        for notch in made.notches.iter_mut().filter(|notch| notch.edge == *name) {
            let at = carry(notch.at);
            if at < -SAME_CUT || at > length + SAME_CUT {
                lost.push(notch.name.clone());
            }
            notch.at = at.clamp(0.0, length);
        }
        for dart in &mut made.darts {
            dart.carry_mouth(name, |at, leg| {
                let off = new.curve.point_at(carry(at)).distance(leg.start());
                if off <= SAME_CUT { Some(carry(at)) } else { None }
            })
            .map_err(|dart| in_the_way(piece, name, &dart))?;
        }
    }
    made.notches.retain(|notch| !lost.contains(&notch.name));
    Ok((made, lost))
}

fn in_the_way(piece: &Piece, edge: &crate::pattern::EdgeName, dart: &crate::pattern::DartName) -> Refusal {
    let what = format!("dart `{dart}` opens where the edge would change");
    dart_opens(piece, dart, format!("{}.{edge}", piece.name()), what)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::PathSeg;

    fn bowed() -> Curve {
        let p = Point::new;
        let cubic = kurbo::CubicBez::new(p(0.0, 0.0), p(80.0, -12.0), p(160.0, -12.0), p(240.0, 6.0));
        Curve::new([PathSeg::Cubic(cubic)]).unwrap()
    }

    #[test]
    fn an_end_that_is_moved_keeps_its_direction_and_the_far_part_of_the_edge() {
        for end in [EdgeEnd::First, EdgeEnd::Last] {
            let old = bowed();
            let to = end_point(&old, end) + Vec2::new(1.5, 4.0);
            let new = reshape_end(&old, end, to, 100.0).unwrap();
            assert_eq!(end_point(&new, end), to);
            assert!(leaving_direction(&new, end).cross(leaving_direction(&old, end)).abs() < 1e-4);
            let kept = match end {
                EdgeEnd::First => (old.stretch(101.0, old.length()), new.length() - old.length() + 101.0),
                EdgeEnd::Last => (old.stretch(0.0, old.length() - 101.0), 0.0),
            };
            let (kept, from) = (kept.0.unwrap(), kept.1);
            let same = new.stretch(from, from + kept.length()).unwrap();
            assert!(same.distance_to(&kept) < 1e-6);
            assert!(new.joints().iter().all(|joint| joint.turn.abs() < 1e-4));
        }
    }

    #[test]
    fn an_end_that_is_turned_stays_in_its_place() {
        let old = bowed();
        let wish = Vec2::new(-1.0, 0.02).normalize();
        let new = turn_end(&old, EdgeEnd::Last, wish, 80.0).unwrap();
        assert_eq!(new.end(), old.end());
        assert!(leaving_direction(&new, EdgeEnd::Last).cross(wish).abs() < 1e-4);
        assert!(new.distance_to(&old) > 0.5);
    }

    #[test]
    fn an_end_moved_farther_than_the_edge_can_fade_is_refused() {
        assert!(reshape_end(&bowed(), EdgeEnd::Last, Point::new(240.0, 90.0), 100.0).is_err());
    }
}
