//! Seamlines that are drawn only where there is an allowance: they end on the line that is cut where a piece lies on the fold
//! or an edge has none, and go on along it.
//!
//! ```text
//!   cut  ┌──────────────┐
//!        │ ┌╌╌╌ seam ╌╌╌┤   from where the seamline ends on the line that is cut
//!        │ ╎            ┃   they are one
//!        │ └╌╌╌╌╌╌╌╌╌╌╌╌┤
//!        └──────────────┘
//! ```

use std::collections::HashSet;
use std::f64::consts::PI;

use crate::adopt::beside::allowances;
use crate::adopt::chain::{FoundStroke, JoinedStrokes, chains, stands_on};
use crate::adopt::ring::{CornerAngle, ring};
use crate::adopt::sorter::Sorter;
use crate::curve::{Curve, Point};
use crate::tolerance::{SHARP_AS_A_TIP, WELD};

/// Lines that are looked at; in a drawing of more they are hatching.
const MOST_LINES: usize = 2_000;

/// The shortest part of a seamline, mm.
const SHORTEST: f64 = 5.0;

/// Shorter lines that end on the line that is cut are no parts of a seamline: notches, and the legs of darts that run out
/// through the allowance (mm).
const LONGEST_STUB: f64 = 60.0;

/// How much of its line that is cut a seamline goes round at least.
const LEAST_SHARE: f64 = 0.3;

/// Closes open lines that are seamlines along the line that is cut, and takes them out of the open ones.
pub(super) fn closed_along(
    sorter: &Sorter<'_>,
    large: &[JoinedStrokes],
    open: &mut Vec<JoinedStrokes>,
    corner: CornerAngle,
) -> Vec<JoinedStrokes> {
    let is_part = |line: &Curve| {
        let on_cut = |end| large.iter().any(|cut| stands_on(&cut.curve, end));
        let ends = [line.start(), line.end()].map(on_cut);
        line.length() >= SHORTEST && (line.length() > LONGEST_STUB || ends == [false, false])
    };
    let long: Vec<usize> = (0..open.len()).filter(|at| is_part(&open[*at].curve)).collect();
    if long.len() > MOST_LINES {
        return Vec::new();
    }
    let (darts, parts): (Vec<usize>, Vec<usize>) = long.iter().partition(|at| is_dart(&open[**at].curve));
    let ends: Vec<Point> =
        parts.iter().flat_map(|at| [open[*at].curve.start(), open[*at].curve.end()]).collect();
    let own = open.len();
    let mut strokes: Vec<(usize, FoundStroke)> =
        parts.iter().map(|at| (*at, sorter.as_stroke(&open[*at]))).collect();
    // Over the mouth of a dart a seamline is straight; the dart stays a line of its own.
    for (k, dart) in darts.iter().enumerate() {
        if let Some(curve) = mouth(&open[*dart].curve, &ends) {
            strokes.push((own + k, FoundStroke { curve, ..sorter.as_stroke(&open[*dart]) }));
        }
    }
    let picked: Vec<(usize, &FoundStroke)> = strokes.iter().map(|(at, stroke)| (*at, stroke)).collect();
    let mut used: HashSet<usize> = HashSet::new();
    let mut closed = Vec::new();
    for chain in chains(&picked) {
        let beside = |cut: &JoinedStrokes| match chain.is_closed() {
            true => runs_beside(&chain.curve, &cut.curve, corner).then(|| chain.curve.clone()),
            false => closed_on(&chain.curve, &cut.curve, corner),
        };
        let Some(curve) = large.iter().find_map(beside) else { continue };
        let drawn = chain.strokes.iter().copied().filter(|at| *at < own);
        used.extend(drawn.clone());
        let strokes = drawn.flat_map(|at| open[at].strokes.clone()).collect();
        closed.push(JoinedStrokes { curve, strokes });
    }
    let mut at = 0;
    open.retain(|_| {
        at += 1;
        !used.contains(&(at - 1))
    });
    closed
}

/// Whether a line is the two legs of a dart: it has one sharp tip about half way.
fn is_dart(line: &Curve) -> bool {
    /// How far from the middle the tip may be, as a share of the line.
    const ASIDE: f64 = 0.15;
    let tips: Vec<f64> = line
        .joints()
        .iter()
        .filter(|joint| joint.turn.abs() > PI - SHARP_AS_A_TIP)
        .map(|joint| joint.at)
        .collect();
    let [tip] = tips.as_slice() else { return false };
    line.start() != line.end() && (tip / line.length() - 0.5).abs() <= ASIDE
}

/// From leg to leg of a dart, between the outermost ends of other lines on them: legs may be drawn out through the allowance.
fn mouth(legs: &Curve, ends: &[Point]) -> Option<Curve> {
    let near = ends.iter().map(|end| (legs.nearest(*end), *end)).filter(|(near, _)| near.distance <= WELD);
    let (first, second): (Vec<_>, Vec<_>) = near.partition(|(near, _)| near.at < legs.length() / 2.0);
    let first = first.into_iter().min_by(|(a, _), (b, _)| a.at.total_cmp(&b.at))?;
    let second = second.into_iter().max_by(|(a, _), (b, _)| a.at.total_cmp(&b.at))?;
    Curve::line(first.1, second.1).ok()
}

/// A line closed along another on which it ends, where it then runs evenly beside it. It has a corner: what has none is a line
/// across a piece.
fn closed_on(line: &Curve, cut: &Curve, corner: CornerAngle) -> Option<Curve> {
    if !stands_on(cut, line.start()) || !stands_on(cut, line.end()) {
        return None;
    }
    let turns = line.joints().iter().any(|joint| joint.turn.abs() >= corner.in_degrees().to_radians());
    if !turns {
        return None;
    }
    let (start, end) = (cut.nearest(line.start()).at, cut.nearest(line.end()).at);
    let back = [forward(cut, end, start), forward(cut, start, end).map(|way| way.reversed())];
    let rings = back.into_iter().flatten().filter_map(|back| {
        let ring = line.joined_within(&back, 2.0 * WELD).ok()?;
        ring.with_ends(line.start(), line.start()).ok()
    });
    let closed = rings.max_by(|a, b| a.swept_area().abs().total_cmp(&b.swept_area().abs()))?;
    (line.length() >= LEAST_SHARE * closed.length() && runs_beside(&closed, cut, corner)).then_some(closed)
}

/// Whether a closed line runs evenly beside another that is larger.
fn runs_beside(closed: &Curve, cut: &Curve, corner: CornerAngle) -> bool {
    if !cut.bounds().inflate(WELD, WELD).contains(closed.start()) {
        return false;
    }
    let (own, whole) = (closed.swept_area().abs(), cut.swept_area().abs());
    let edges = ring(closed, corner).edges;
    own < whole && own >= LEAST_SHARE * whole && allowances(&edges, std::slice::from_ref(cut)).is_some()
}

/// The stretch of a closed line from one place on to another, over its start where that comes first.
fn forward(line: &Curve, from: f64, to: f64) -> Option<Curve> {
    line.onward(from, if from < to { to } else { to + line.length() }).ok()
}
