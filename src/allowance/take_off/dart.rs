//! Finding the mouths of darts behind a cutting line.
//!
//! Where the legs are drawn, each run on crosses the cutting line where its cap begins and the seamline at the mouth.
//! Where only a cap is drawn, it gives the legs: the leg on the side pressed to halves the angle between the line that
//! arrives at the cap and the cap itself, since one was folded over the other there; the fold stands square on the
//! middle of the cap's ends.
//!
//! ```text
//!                 apex
//!            leg ╱  │  ╲ leg
//!   ───line─────╲  fold ╱─────line───
//!   ──inside──●  ╲  │  ╱  ●──inside──
//!          mouth  ╲ │ ╱  mouth
//! ```

use crate::allowance::beside::{arm, leaving_arm};
use crate::allowance::cap::{DartMouth, cap, out_of_mouth};
use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::inside::inside;
use crate::allowance::take_off::run_on::{Ahead, RunOn};
use crate::allowance::take_off::seamline::PartEnd;
use crate::allowance::take_off::span::{EdgeSpan, kinks};
use crate::allowance::take_off::{DartKnownBy, DartShown, DrawnDart};
use crate::curve::{Curve, Joint, Motion, Point, Vec2, left_of, offset};
use crate::pattern::EdgeEnd;
use crate::tolerance::{
    CAP_REACH, LEG_CHORD, MITRE_REACH, MOUTH_OFF, SHAPE_FITS, TAKE_OFF_ACCURACY, WEDGE_TURN, WELD,
};

/// A dart on an edge.
#[derive(Clone, Debug)]
pub(super) struct Open<'a> {
    pub dart: &'a DrawnDart,
    /// The end of the edge's part before the mouth.
    pub leave: PartEnd,
    /// The start of the part after it.
    pub enter: PartEnd,
    pub legs: Option<(Curve, Curve)>,
    pub known_by: DartKnownBy,
    pub toward: Option<EdgeEnd>,
}

/// The darts on an edge, clockwise.
pub(super) fn open_on<'a>(span: &EdgeSpan, darts: &'a [DrawnDart]) -> Result<Vec<Open<'a>>, TakeOffError> {
    let own = darts.iter().filter(|dart| dart.edge == span.edge.name);
    let (told, outside): (Vec<_>, Vec<_>) = own.partition(|dart| dart.shown != DartShown::Outside);
    let mut open: Vec<Open<'a>> = Vec::new();
    for dart in told {
        open.push(match &dart.shown {
            DartShown::Legs(a, b) => by_legs(span, dart, (a, b))?,
            DartShown::Mouth(a, b) => by_mouth(span, dart, (*a, *b))?,
            DartShown::Outside => continue,
        });
    }
    let mut from = 0.0;
    for dart in outside {
        let free =
            |at: f64| at > from && !open.iter().any(|o| o.leave.on_line <= at && at <= o.enter.on_line);
        let seen: Vec<Joint> = kinks(&span.line).filter(|kink| free(kink.at)).collect();
        let found = wedge(span, dart, &seen).or_else(|| by_cap(span, dart, &seen));
        let found = found.ok_or_else(|| no_dart(span, dart))?;
        from = found.enter.on_line;
        open.push(found);
    }
    open.sort_by(|a, b| a.leave.on_line.total_cmp(&b.leave.on_line));
    Ok(open)
}

fn no_dart(span: &EdgeSpan, dart: &DrawnDart) -> TakeOffError {
    TakeOffError::NoDart { dart: dart.name.clone(), edge: span.edge.name.clone() }
}

/// The lines inside before and after a dart, run on.
struct DartSides {
    before: RunOn,
    after: RunOn,
}

impl DartSides {
    fn of(span: &EdgeSpan, leave: f64, enter: f64) -> Option<DartSides> {
        let reach = CAP_REACH + MITRE_REACH * span.depth();
        let length = span.line.length();
        let before = span.line.stretch((leave - reach).max(0.0), leave).ok()?;
        let after = span.line.stretch(enter, (enter + reach).min(length)).ok()?;
        let (before, after) = (inside(&before, &span.edge).ok()?, inside(&after, &span.edge).ok()?);
        Some(DartSides {
            before: RunOn::of(&before, 0.0, reach, Ahead::Bent),
            after: RunOn::of(&after, reach, 0.0, Ahead::Bent),
        })
    }
}

/// The crossing of two lines that is nearest to a point, as the walk distance on the second.
fn crossing_near(line: &Curve, other: &Curve, point: Point) -> Option<(Point, f64)> {
    let off = |at: Point| (at - point).hypot();
    let found = line.crossings(other).into_iter().min_by(|a, b| off(a.point).total_cmp(&off(b.point)))?;
    Some((found.point, found.other_at))
}

/// Where the line before a dart is left: at a place, or at a kink shortly before it.
fn leave_at(span: &EdgeSpan, at: f64) -> f64 {
    let shortly = |kink: &Joint| kink.at < at && kink.at > at - span.depth();
    kinks(&span.line).find(shortly).map_or(at, |kink| kink.at)
}

fn enter_at(span: &EdgeSpan, at: f64) -> f64 {
    let shortly = |kink: &Joint| kink.at > at && kink.at < at + span.depth();
    kinks(&span.line).rev().find(shortly).map_or(at, |kink| kink.at)
}

fn by_legs<'a>(
    span: &EdgeSpan,
    dart: &'a DrawnDart,
    legs: (&Curve, &Curve),
) -> Result<Open<'a>, TakeOffError> {
    if span.line.nearest(legs.0.end()).distance <= MOUTH_OFF {
        let seen: Vec<Joint> = kinks(&span.line).collect();
        return wedge(span, dart, &seen).ok_or_else(|| no_dart(span, dart));
    }
    let most = MITRE_REACH * span.depth() + LEG_CHORD;
    let crossed = |leg: &Curve| {
        let ray = Curve::line(leg.point_at(LEG_CHORD), leg.start() + most * out_of_mouth(leg)).ok()?;
        crossing_near(&ray, &span.line, leg.start() + span.depth() * out_of_mouth(leg))
    };
    let (Some(mut a), Some(mut b)) = (crossed(legs.0), crossed(legs.1)) else {
        return Err(no_dart(span, dart));
    };
    let (mut first, mut second) = legs;
    if a.1 > b.1 {
        (a, b, first, second) = (b, a, second, first);
    }
    let (leave, enter) = (leave_at(span, a.1), enter_at(span, b.1));
    let sides = DartSides::of(span, leave, enter).ok_or_else(|| no_dart(span, dart))?;
    let first = to_mouth(span, dart, first, &sides.before.line, a.0)?;
    let second = to_mouth(span, dart, second, &sides.after.line, b.0)?;
    let mut open = Open {
        dart,
        leave: PartEnd::mouth(leave, first.start()),
        enter: PartEnd::mouth(enter, second.start()),
        legs: Some((first, second)),
        known_by: DartKnownBy::Legs,
        toward: None,
    };
    open.toward = pressed(span, &sides, &open).map(|(toward, _)| toward);
    Ok(open)
}

/// A leg begun at the seamline, however far it was drawn.
fn to_mouth(
    span: &EdgeSpan,
    dart: &DrawnDart,
    leg: &Curve,
    seamline: &Curve,
    on_cut: Point,
) -> Result<Curve, TakeOffError> {
    let run_on = leg.run_on(MITRE_REACH * span.depth() + MOUTH_OFF, 0.0);
    let off = |off: f64| TakeOffError::MouthOff {
        dart: dart.name.clone(),
        edge: span.edge.name.clone(),
        at: leg.start(),
        off,
    };
    let apart = || seamline.nearest(leg.start()).distance;
    let (at, on_leg) = crossing_near(seamline, &run_on, on_cut).ok_or_else(|| off(apart()))?;
    let through = (on_cut - at).hypot();
    let on_the_way = (leg.start() - at).hypot() + (leg.start() - on_cut).hypot() - through;
    if on_the_way > 2.0 * MOUTH_OFF {
        return Err(off(apart()));
    }
    if (leg.start() - at).hypot() <= WELD {
        return Ok(leg.clone());
    }
    let rest = run_on.stretch(on_leg, run_on.length());
    rest.and_then(|rest| rest.with_ends(at, leg.end())).map_err(|_| off(apart()))
}

fn by_mouth<'a>(
    span: &EdgeSpan,
    dart: &'a DrawnDart,
    mouth: (Point, Point),
) -> Result<Open<'a>, TakeOffError> {
    let near = |point: Point| span.line.nearest(point).at;
    let (a, b) = if near(mouth.0) <= near(mouth.1) { mouth } else { (mouth.1, mouth.0) };
    let (from, to) = (near(a), near(b));
    let about = |kink: &Joint| kink.at > from - span.depth() && kink.at < to + span.depth();
    let seen: Vec<f64> = kinks(&span.line).filter(about).map(|kink| kink.at).collect();
    // A cap has three points at least; fewer kinks are of the apex alone, and the line runs smoothly into the cap.
    let (leave, enter) = match (seen.first(), seen.last()) {
        (Some(first), Some(last)) if seen.len() > 2 => (*first, *last),
        (Some(first), Some(last)) => (first.min(from), last.max(to)),
        _ => (from, to),
    };
    let sides = DartSides::of(span, leave, enter).ok_or_else(|| no_dart(span, dart))?;
    let on_seamline = |line: &Curve, point: Point| {
        let near = line.nearest(point);
        let off = near.distance;
        let (dart, edge) = (dart.name.clone(), span.edge.name.clone());
        if off <= WELD {
            Ok(point)
        } else if off <= MOUTH_OFF {
            Ok(near.point)
        } else {
            Err(TakeOffError::MouthOff { dart, edge, at: point, off })
        }
    };
    let (first, second) = (on_seamline(&sides.before.line, a)?, on_seamline(&sides.after.line, b)?);
    Ok(Open {
        dart,
        leave: PartEnd::mouth(leave, first),
        enter: PartEnd::mouth(enter, second),
        legs: None,
        known_by: DartKnownBy::Mouth,
        toward: None,
    })
}

/// A wedge cut into the line: the sharpest turn inward between two outward ones.
fn wedge<'a>(span: &EdgeSpan, dart: &'a DrawnDart, seen: &[Joint]) -> Option<Open<'a>> {
    let tip = (0..seen.len()).find(|index| seen[*index].turn < -WEDGE_TURN)?;
    let before = seen[..tip].iter().rev().find(|kink| kink.turn > WEDGE_TURN / 2.0)?.at;
    let after = seen[tip + 1..].iter().find(|kink| kink.turn > WEDGE_TURN / 2.0)?.at;
    let first = span.line.stretch(before, seen[tip].at).ok()?;
    let second = span.line.stretch(seen[tip].at, after).ok()?.reversed();
    let sides = DartSides::of(span, before, after)?;
    let begun = |leg: &Curve, seamline: &Curve| {
        let (at, on_leg) = crossing_near(seamline, leg, leg.start())?;
        leg.stretch(on_leg, leg.length()).ok()?.with_ends(at, leg.end()).ok()
    };
    let legs = (begun(&first, &sides.before.line)?, begun(&second, &sides.after.line)?);
    Some(Open {
        dart,
        leave: PartEnd::mouth(before, legs.0.start()),
        enter: PartEnd::mouth(after, legs.1.start()),
        legs: Some(legs),
        known_by: DartKnownBy::Wedge,
        toward: None,
    })
}

/// The cap that is laid best on the line, of all that three of its kinks could be the points of.
fn by_cap<'a>(span: &EdgeSpan, dart: &'a DrawnDart, seen: &[Joint]) -> Option<Open<'a>> {
    let mut best: Option<(f64, Open<'a>)> = None;
    for first in 0..seen.len() {
        for last in first + 2..seen.len() {
            if seen[last].at - seen[first].at > CAP_REACH + 2.0 * MITRE_REACH * span.depth() {
                break;
            }
            for side in [EdgeEnd::First, EdgeEnd::Last] {
                let Some((off, open)) = capped(span, dart, (seen[first].at, seen[last].at), side) else {
                    continue;
                };
                if off <= SHAPE_FITS && best.as_ref().is_none_or(|(least, _)| off < *least) {
                    best = Some((off, open));
                }
            }
        }
    }
    best.map(|(_, open)| open)
}

fn capped<'a>(
    span: &EdgeSpan,
    dart: &'a DrawnDart,
    (from, to): (f64, f64),
    side: EdgeEnd,
) -> Option<(f64, Open<'a>)> {
    let line = &span.line;
    let (leave, enter) = (leave_at(span, from), enter_at(span, to));
    let (a, b) = (line.point_at(from), line.point_at(to));
    let across = (b - a).normalize();
    let fold = Motion::mirror_in(a.midpoint(b), a.midpoint(b) + left_of(across)).ok()?;
    let halved = |arriving: Vec2, leaving: Vec2| {
        let leg = (leaving - arriving).normalize();
        if leg.dot(left_of(across)) < 0.0 { -leg } else { leg }
    };
    let (first_out, second_out) = match side {
        EdgeEnd::First => {
            let out = halved(line.tangent_before(from), line.tangent_at(from));
            (out, fold.apply_vec(out))
        }
        EdgeEnd::Last => {
            let out = halved(-line.tangent_at(to), -line.tangent_before(to));
            (fold.apply_vec(out), out)
        }
    };
    let sides = DartSides::of(span, leave, enter)?;
    let reach = MITRE_REACH * span.depth();
    let mouth = |at: Point, out: Vec2, seamline: &Curve| {
        let leg = Curve::line(at + out, at - reach * out).ok()?;
        crossing_near(seamline, &leg, at).map(|(point, _)| point)
    };
    let ends = (mouth(a, first_out, &sides.before.line)?, mouth(b, second_out, &sides.after.line)?);
    let turn = first_out.cross(second_out);
    if turn.abs() <= f64::EPSILON {
        return None;
    }
    let tip = ends.0 - (ends.1 - ends.0).cross(second_out) / -turn * first_out;
    let legs = (Curve::line(ends.0, tip).ok()?, Curve::line(ends.1, tip).ok()?);
    let mut open = Open {
        dart,
        leave: PartEnd::mouth(leave, ends.0),
        enter: PartEnd::mouth(enter, ends.1),
        legs: Some(legs),
        known_by: DartKnownBy::Cap,
        toward: Some(side),
    };
    let (toward, off) = pressed(span, &sides, &open)?;
    open.toward = Some(toward);
    Some((off, open))
}

/// To which side a dart is pressed, and how far the points of that cap are off the drawn line.
fn pressed(span: &EdgeSpan, sides: &DartSides, open: &Open<'_>) -> Option<(EdgeEnd, f64)> {
    let legs = open.legs.as_ref()?;
    let before = up_to(&sides.before.line, open.leave.at)?;
    let after = up_to(&sides.after.line.reversed(), open.enter.at)?.reversed();
    let depth = span.depth();
    let beside = |line: &Curve| offset(line, depth, TAKE_OFF_ACCURACY).ok();
    let first = arm(beside(&before)?, before.end_tangent(), depth);
    let second = leaving_arm(beside(&after)?.reversed(), after.start_tangent(), depth);
    let outs = (out_of_mouth(&legs.0), out_of_mouth(&legs.1));
    let ends = (open.leave.at, open.enter.at);
    let off = |points: [Point; 3]| {
        points.iter().map(|point| span.line.nearest(*point).distance).fold(0.0, f64::max)
    };
    let toward_first = cap(&DartMouth { ends, legs: outs }, &first, &second);
    let turned = DartMouth { ends: (ends.1, ends.0), legs: (outs.1, outs.0) };
    let toward_last = cap(&turned, &second, &first);
    let caps = [(EdgeEnd::First, toward_first), (EdgeEnd::Last, toward_last)];
    let fits = caps.into_iter().filter_map(|(side, made)| Some((side, off(made?.1))));
    fits.filter(|(_, off)| *off <= SHAPE_FITS).min_by(|a, b| a.1.total_cmp(&b.1))
}

fn up_to(line: &Curve, point: Point) -> Option<Curve> {
    line.stretch(0.0, line.nearest(point).at).ok()?.with_ends(line.start(), point).ok()
}
