//! From the lines beside the edges and the corners found to the seamline.

use crate::allowance::take_off::Unknown;
use crate::allowance::take_off::corner::FoundCorner;
use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::inside::inside;
use crate::allowance::take_off::run_on::{Ahead, RunOn, doubt};
use crate::allowance::take_off::span::{EdgeSpan, kinks};
use crate::curve::{Curve, Point, right_of};
use crate::tolerance::{ENDS_MEET, MITRE_REACH, MOUTH_OFF, RUN_ON_UNSURE, SEAMLINE_UNSURE, TAKE_OFF_STEP};

/// A part of an edge between two corners or mouths.
pub(super) struct SeamlinePart {
    pub line: Curve,
    /// What was taken for the line beside it.
    pub beside: Curve,
    /// Stretches that the cutting line does not tell, as walk distances on the line.
    pub unknown: Vec<(f64, f64, Unknown)>,
}

/// Where a part begins or ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct PartEnd {
    /// Walk distance on the drawn line.
    pub on_line: f64,
    /// The point of the seamline.
    pub at: Point,
    /// How far from the point the line inside, run on, may pass, mm.
    within: f64,
}

impl PartEnd {
    pub fn leaving(corner: &FoundCorner) -> PartEnd {
        PartEnd { on_line: corner.leave, at: corner.at, within: ENDS_MEET }
    }

    pub fn entering(corner: &FoundCorner) -> PartEnd {
        PartEnd { on_line: corner.enter, at: corner.at, within: ENDS_MEET }
    }

    /// An end at a mouth, which is drawn by hand.
    pub fn mouth(on_line: f64, at: Point) -> PartEnd {
        PartEnd { on_line, at, within: MOUTH_OFF }
    }
}

/// The allowances of an edge's neighbours, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Depths {
    pub before: f64,
    pub after: f64,
}

/// The part of an edge's seamline between two places.
///
/// # Errors
///
/// [`TakeOffError::TooDeep`] where the line bends too sharply for the allowance, [`TakeOffError::NothingLeft`] where the
/// neighbours leave nothing of it.
pub(super) fn part(
    span: &EdgeSpan,
    start: PartEnd,
    end: PartEnd,
    depths: Depths,
) -> Result<SeamlinePart, TakeOffError> {
    let nothing = || TakeOffError::NothingLeft {
        edge: span.edge.name.clone(),
        drawn: span.line.length(),
        before: depths.before,
        allowance: span.depth(),
        after: depths.after,
    };
    let beside = span.line.stretch(start.on_line, end.on_line).map_err(|_| nothing())?;
    let line = inside(&beside, &span.edge)?;
    let reach = 2.0 * MITRE_REACH * depths.before.max(depths.after).max(span.depth());
    let placed = |ahead: &Ahead| {
        let whole = RunOn::of(&line, reach, reach, *ahead);
        whole.places_of(start, end).map(|places| (whole, places))
    };
    let (whole, (from, to)) = Ahead::EITHER.iter().find_map(placed).ok_or_else(nothing)?;
    let cut = whole.line.stretch(from, to).map_err(|_| nothing())?;
    let made = cut.with_ends(start.at, end.at).map_err(|_| nothing())?;
    let own = ((whole.own.0 - from).max(0.0), (whole.own.1 - from).min(made.length()));
    check_room(span, &beside, &made, own)?;
    let mut unknown = Vec::new();
    if doubt(&line.reversed(), own.0) > RUN_ON_UNSURE {
        unknown.push((0.0, own.0, Unknown::Corner));
    }
    unknown.extend(hollows(span, &beside, &made));
    if doubt(&line, made.length() - own.1) > RUN_ON_UNSURE {
        unknown.push((own.1, made.length(), Unknown::Corner));
    }
    Ok(SeamlinePart { line: made, beside, unknown })
}

impl RunOn {
    /// The places of two points that ought to lie on the line, one after the other. Where they are one point, as on a
    /// piece of a single edge, they are looked for on one half each.
    fn places_of(&self, start: PartEnd, end: PartEnd) -> Option<(f64, f64)> {
        let (whole, middle) = (self.line.length(), self.own.0.midpoint(self.own.1));
        let place = |end: PartEnd, from: f64, to: f64| {
            let near = self.line.stretch(from, to).ok()?.nearest(end.at);
            (near.distance <= end.within).then_some(from + near.at)
        };
        let places = if (end.at - start.at).hypot() <= ENDS_MEET {
            (place(start, 0.0, middle)?, place(end, middle, whole)?)
        } else {
            (place(start, 0.0, whole)?, place(end, 0.0, whole)?)
        };
        (places.0 < places.1).then_some(places)
    }
}

/// Refuses a seamline that comes nearer to its cutting line than the allowance: the line bends too sharply for it.
fn check_room(span: &EdgeSpan, beside: &Curve, made: &Curve, own: (f64, f64)) -> Result<(), TakeOffError> {
    let depth = span.depth();
    let count = ((own.1 - own.0) / TAKE_OFF_STEP).ceil().max(1.0);
    let places = (0..=count as usize).map(|step| own.0 + (own.1 - own.0) * step as f64 / count);
    let near = places.map(|at| beside.nearest(made.point_at(at)));
    let Some(worst) = near.min_by(|a, b| a.distance.total_cmp(&b.distance)) else { return Ok(()) };
    if worst.distance >= depth - SEAMLINE_UNSURE {
        return Ok(());
    }
    let (room, at) = sharpest(beside).filter(|(room, _)| *room < depth).unwrap_or((worst.distance, worst.at));
    Err(TakeOffError::TooDeep {
        edge: span.edge.name.clone(),
        allowance: depth,
        room,
        at: beside.point_at(at),
    })
}

/// The least radius with which a line bends inward, and where.
fn sharpest(line: &Curve) -> Option<(f64, f64)> {
    let count = (line.length() / TAKE_OFF_STEP).ceil().max(1.0);
    let places = (0..=count as usize).map(|step| line.length() * step as f64 / count);
    let bends = places.map(|at| (line.curvature_at(at), at)).filter(|(bend, _)| *bend > 0.0);
    bends.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(bend, at)| (1.0 / bend, at))
}

/// The stretches behind kinks that turn inward: there the lines of both sides were cut where they crossed.
fn hollows(span: &EdgeSpan, beside: &Curve, made: &Curve) -> Vec<(f64, f64, Unknown)> {
    let depth = span.depth();
    let hidden = kinks(beside).filter(|kink| kink.turn < 0.0).filter_map(|kink| {
        let at = beside.point_at(kink.at);
        let inward = |along: crate::curve::Vec2| right_of(along);
        let from = made.nearest(at + depth * inward(beside.tangent_before(kink.at))).at;
        let to = made.nearest(at + depth * inward(beside.tangent_at(kink.at))).at;
        let rise = (to - from) / 2.0 * (kink.turn / 2.0).sin().abs();
        (rise > SEAMLINE_UNSURE).then_some((from, to, Unknown::Hollow))
    });
    hidden.collect()
}
