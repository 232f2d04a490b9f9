//! Joining strokes end to end: outlines that were broken into many paths come out whole.

use std::collections::HashMap;

use kurbo::{Point, Vec2};

use crate::adopt::look::{StyleId, Surface};
use crate::curve::{Curve, turn_between};
use crate::tolerance::{SAME_POINT, WELD};

/// Whether a stroke bounds a small filled shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Solidity {
    /// It is a line.
    Line,
    /// It is a small filled shape.
    Solid,
}

/// A line in a drawing.
#[derive(Clone, Debug)]
pub(super) struct FoundStroke {
    pub curve: Curve,
    pub style: StyleId,
    pub surface: Surface,
    /// Whether it is a small filled shape, as in [`DrawnThings::solids`].
    pub solid: Solidity,
    /// Names of the groups around it, outermost first.
    pub layer: String,
    /// Its own id.
    pub id: Option<String>,
}

impl FoundStroke {
    /// Whether it ends where it begins.
    pub fn is_closed(&self) -> bool {
        self.curve.start() == self.curve.end()
    }
}

/// What strokes joined end to end make.
#[derive(Clone, Debug)]
pub(super) struct JoinedStrokes {
    /// The whole line; closed where it ends bit for bit where it begins.
    pub curve: Curve,
    /// The strokes, in order.
    pub strokes: Vec<usize>,
}

impl JoinedStrokes {
    pub fn is_closed(&self) -> bool {
        self.curve.start() == self.curve.end()
    }
}

/// Whether a place lies on a line, away from its ends where it has any: what ends there stands on the line and does not go
/// on in it.
pub(super) fn stands_on(line: &Curve, at: Point) -> bool {
    if !line.bounds().inflate(WELD, WELD).contains(at) {
        return false;
    }
    let near = line.nearest(at);
    let closed = line.start() == line.end();
    near.distance <= WELD && (closed || (near.at > WELD && near.at < line.length() - WELD))
}

/// An end of a stroke.
#[derive(Clone, Copy)]
struct End {
    stroke: usize,
    at: Point,
    /// Direction out of the stroke.
    out: Vec2,
}

/// Ends looked at around one; more lie together only in hatching.
const MOST_NEAR: usize = 48;

/// A turn of 10° weighs as much as a gap of a twentieth of a millimetre where it is chosen which ends belong together.
const TURN_WEIGHT: f64 = 0.3;

/// Joins strokes, each used once. Ends within [`WELD`] of each other are joined, the nearest and straightest first.
pub(super) fn chains(strokes: &[(usize, &FoundStroke)]) -> Vec<JoinedStrokes> {
    let ends: Vec<End> = strokes
        .iter()
        .enumerate()
        .flat_map(|(at, (_, stroke))| {
            let curve = &stroke.curve;
            [
                End { stroke: at, at: curve.start(), out: -curve.start_tangent() },
                End { stroke: at, at: curve.end(), out: curve.end_tangent() },
            ]
        })
        .collect();
    let partner = partners(strokes, &ends);
    let mut used = vec![false; strokes.len()];
    let mut chains = Vec::new();
    for start in 0..strokes.len() {
        if !used[start] {
            let parts = follow(start, &partner, &mut used);
            for parts in without_ticks(strokes, &parts) {
                chains.extend(joined(strokes, parts));
            }
        }
    }
    chains
}

/// The end that each end is joined to.
fn partners(strokes: &[(usize, &FoundStroke)], ends: &[End]) -> Vec<Option<usize>> {
    let cell = |at: Point| ((at.x / WELD).floor() as i64, (at.y / WELD).floor() as i64);
    let mut grid: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
    for (i, end) in ends.iter().enumerate() {
        grid.entry(cell(end.at)).or_default().push(i);
    }
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (i, end) in ends.iter().enumerate() {
        let (x, y) = cell(end.at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let near = around.filter_map(|cell| grid.get(&cell)).flatten();
        for &j in near.take(MOST_NEAR).filter(|j| **j > i) {
            let other = &ends[j];
            let gap = end.at.distance(other.at);
            let own = end.stroke == other.stroke;
            if gap > WELD || (own && strokes[end.stroke].1.curve.length() <= 4.0 * WELD) {
                continue;
            }
            let turn = turn_between(end.out, -other.out).0.abs();
            pairs.push((gap + TURN_WEIGHT * turn, i, j));
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut partner = vec![None; ends.len()];
    for (_, i, j) in pairs {
        if partner[i].is_none() && partner[j].is_none() {
            partner[i] = Some(j);
            partner[j] = Some(i);
        }
    }
    partner
}

/// The strokes of a chain in order, each with whether it is travelled backward. End `2n` is the start of stroke `n`,
/// `2n + 1` its end.
fn follow(start: usize, partner: &[Option<usize>], used: &mut [bool]) -> Vec<(usize, Backward)> {
    let mut first = 2 * start;
    for _ in 0..used.len() {
        match partner[first] {
            Some(before) if before / 2 != start => first = before ^ 1,
            _ => break,
        }
    }
    let mut parts = Vec::new();
    let mut enter = first;
    while !used[enter / 2] {
        used[enter / 2] = true;
        parts.push((enter / 2, if enter % 2 == 1 { Backward::Yes } else { Backward::No }));
        match partner[enter ^ 1] {
            Some(next) => enter = next,
            None => break,
        }
    }
    parts
}

/// The parts of an open line with the ticks at its ends apart: a notch may begin where a level or a leg ends.
fn without_ticks<'a>(
    strokes: &[(usize, &FoundStroke)],
    parts: &'a [(usize, Backward)],
) -> Vec<&'a [(usize, Backward)]> {
    let length = |at: usize| strokes[parts[at].0].1.curve.length();
    let is_tick =
        |at: usize, next: usize| length(at) <= LONGEST_TICK && length(next) > STANDS_OUT * length(at);
    let last = parts.len() - 1;
    let end_of = |at: usize, way: Backward| {
        let curve = &strokes[parts[at].0].1.curve;
        if parts[at].1 == way { curve.start() } else { curve.end() }
    };
    if end_of(0, Backward::No).distance(end_of(last, Backward::Yes)) <= WELD {
        return vec![parts];
    }
    let (mut from, mut to) = (0, parts.len());
    if last > 0 && is_tick(0, 1) {
        from = 1;
    }
    if to - from > 1 && is_tick(last, last - 1) {
        to = last;
    }
    let all = [&parts[..from], &parts[from..to], &parts[to..]];
    all.into_iter().filter(|some| !some.is_empty()).collect()
}

/// The longest tick of a notch that is kept apart from a line that ends where it begins, mm.
const LONGEST_TICK: f64 = 12.0;

/// How many times as long as a tick the line must be.
const STANDS_OUT: f64 = 3.0;

/// Which way a stroke is travelled.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Backward {
    Yes,
    No,
}

fn joined(strokes: &[(usize, &FoundStroke)], parts: &[(usize, Backward)]) -> Option<JoinedStrokes> {
    let curves: Vec<Curve> = parts
        .iter()
        .map(|(at, backward)| {
            let curve = &strokes[*at].1.curve;
            if *backward == Backward::Yes { curve.reversed() } else { curve.clone() }
        })
        .collect();
    let indices = parts.iter().map(|(at, _)| strokes[*at].0).collect();
    Some(JoinedStrokes { curve: concatenated(curves)?, strokes: indices })
}

/// Curves that nearly meet as one, ends welded half way; closed where the last meets the first.
pub(super) fn concatenated(curves: Vec<Curve>) -> Option<Curve> {
    let first = curves.first()?.start();
    let last = curves.last()?.end();
    let length: f64 = curves.iter().map(Curve::length).sum();
    let closes = first.distance(last) <= WELD && length > 4.0 * WELD;
    let closing = if closes { Some(first.midpoint(last)) } else { None };
    let mut segments = Vec::new();
    let mut start = closing.unwrap_or(first);
    for (i, curve) in curves.iter().enumerate() {
        let end = match curves.get(i + 1) {
            Some(next) => curve.end().midpoint(next.start()),
            None => closing.unwrap_or(last),
        };
        if let Ok(welded) = curve.with_ends(start, end) {
            segments.extend_from_slice(welded.segments());
            start = end;
        }
    }
    let whole = Curve::new(segments).ok()?;
    if closes && whole.start() != whole.end() && whole.start().distance(whole.end()) <= WELD + SAME_POINT {
        return whole.with_ends(whole.start(), whole.start()).ok();
    }
    Some(whole)
}
