//! Laying one seamline on another.

use crate::curve::{Curve, Motion, Point, Radians, Vec2, turn_between};
use crate::parts::seam_side::{BothSides, Mirrored};
use crate::pattern::{Refusal, RefusalKind, WalkEnd};
use crate::tolerance::{COINCIDE, LAY_STEP};

/// A stretch on which two seamlines coincide, as walk distances on the base.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Together {
    pub from: f64,
    pub to: f64,
}

/// How the other piece is laid on the base.
#[derive(Clone, Debug)]
pub(crate) struct LaidOnBase {
    pub motion: Motion,
    /// Where the seamlines lie together.
    pub together: Together,
    /// Walk distance on the other seamline less that on the base, where they lie together.
    pub ahead: f64,
}

/// A seamline in points at even walk distances from its start.
struct Sampled {
    points: Vec<Point>,
    tangents: Vec<Vec2>,
}

impl Sampled {
    /// Points a step apart, the first at `from`.
    fn of(curve: &Curve, from: f64, count: usize) -> Sampled {
        let at = |i: usize| from + i as f64 * LAY_STEP;
        Sampled {
            points: (0..count).map(|i| curve.point_at(at(i))).collect(),
            tangents: (0..count).map(|i| curve.tangent_at(at(i))).collect(),
        }
    }
}

/// The motion that mirrors where a piece must be turned over, and none where not.
fn turned_over(mirrored: Mirrored) -> Motion {
    match mirrored {
        Mirrored::No => Motion::identity(),
        Mirrored::Yes => Motion::turned_over(),
    }
}

/// Lays the other seamline on the base so that the longest stretch of the two lies together: every pair of equal walk
/// distances from either end is tried with tangents laid on one another, and the best is settled by least squares.
///
/// # Errors
///
/// Refuses seamlines that lie together nowhere.
pub(crate) fn lay_on(sides: &BothSides) -> Result<LaidOnBase, Refusal> {
    let over = turned_over(sides.mirrored);
    let (base, other) = (&sides.base.curve, sides.other.curve.moved(&over));
    let shorter = base.length().min(other.length());
    let ahead_at_end = other.length() - base.length();
    let mut best: Option<LaidOnBase> = None;
    let count = (shorter / LAY_STEP).floor() as usize + 1;
    let end_from = (base.length() - shorter, other.length() - shorter);
    for (base_from, other_from, ahead) in [(0.0, 0.0, 0.0), (end_from.0, end_from.1, ahead_at_end)] {
        let a = Sampled::of(base, base_from, count);
        let b = Sampled::of(&other, other_from, count);
        let Some((motion, first, last)) = best_motion(&a, &b) else { continue };
        let together =
            Together { from: base_from + first as f64 * LAY_STEP, to: base_from + last as f64 * LAY_STEP };
        let longer = best.as_ref().is_none_or(|best| {
            together.to - together.from > best.together.to - best.together.from + LAY_STEP / 2.0
        });
        if longer {
            best = Some(LaidOnBase { motion, together, ahead });
        }
    }
    let mut laid = best.ok_or_else(|| {
        Refusal::new(
            RefusalKind::Overlap,
            format!("{} + {}", sides.base.edge_ref(), sides.other.edge_ref()),
            "the two seamlines lie together nowhere",
            "check that the seam names the right edges",
        )
    })?;
    laid.together = grown(base, &other.moved(&laid.motion), laid.together, laid.ahead);
    laid.motion = over.then(&laid.motion);
    Ok(laid)
}

/// The motion that lays the longest stretch of `b` on `a`, and the first and last point of that stretch.
fn best_motion(a: &Sampled, b: &Sampled) -> Option<(Motion, usize, usize)> {
    let mut best: Option<(Motion, usize, usize)> = None;
    let count = a.points.len();
    for i in 0..count {
        let reach = best.as_ref().map_or(0, |(_, first, last)| last - first);
        if reach + 1 >= count {
            break;
        }
        let turn = turn_between(b.tangents[i], a.tangents[i]).0;
        let turned = Motion::turn_about(b.points[i], Radians(turn));
        let motion = turned.then(&Motion::shift(a.points[i] - b.points[i]));
        let (first, last) = stretch_together(a, b, &motion, i);
        if best.is_none() || last - first > reach {
            let motion = settled(a, b, first, last).unwrap_or(motion);
            let (first, last) = stretch_together(a, b, &motion, i);
            best = Some((motion, first, last));
        }
    }
    best
}

fn stretch_together(a: &Sampled, b: &Sampled, motion: &Motion, at: usize) -> (usize, usize) {
    let near = |i: &usize| motion.apply(b.points[*i]).distance(a.points[*i]) <= COINCIDE;
    let last = (at..a.points.len()).take_while(near).last().unwrap_or(at);
    let first = (0..=at).rev().take_while(near).last().unwrap_or(at);
    (first, last)
}

/// The turn and shift that lay the points of `b` nearest to those of `a`.
fn settled(a: &Sampled, b: &Sampled, first: usize, last: usize) -> Option<Motion> {
    if last <= first {
        return None;
    }
    let (a, b) = (&a.points[first..=last], &b.points[first..=last]);
    Some(Motion::fitted(&a.iter().copied().zip(b.iter().copied()).collect::<Vec<_>>()))
}

/// The stretch together, run on in fine steps to where the seamlines part.
fn grown(base: &Curve, other: &Curve, together: Together, ahead: f64) -> Together {
    let near = |s: f64| base.point_at(s).distance(other.point_at(s + ahead)) <= COINCIDE;
    let fine = LAY_STEP / 16.0;
    let (low, high) = ((-ahead).max(0.0), base.length().min(other.length() - ahead));
    let mut grown = together;
    while grown.to < high && near((grown.to + fine).min(high)) {
        grown.to = (grown.to + fine).min(high);
    }
    while grown.from > low && near((grown.from - fine).max(low)) {
        grown.from = (grown.from - fine).max(low);
    }
    grown
}

/// Lays the other seamline on the base matched at one end, turned so that the chords to the other ends agree.
///
/// # Errors
///
/// Refuses a seam that comes back to where it starts.
pub(crate) fn lay_by_chord(sides: &BothSides, end: WalkEnd) -> Result<Motion, Refusal> {
    let over = turned_over(sides.mirrored);
    let (base, other) = (&sides.base.curve, sides.other.curve.moved(&over));
    let ends = |curve: &Curve| match end {
        WalkEnd::Start => (curve.start(), curve.end()),
        WalkEnd::End => (curve.end(), curve.start()),
    };
    Ok(over.then(&Motion::carry(ends(&other), ends(base))?))
}
