//! Lines that sizes share: where the chosen size's line ends on a line of another kind, it goes on along that line
//! to where its own begins again.
//!
//! ```text
//!   chosen  ──────┐         ┌────   the chosen line ends on the shared one twice
//!   shared  ══════╪═════════╪═══    and takes the stretch between
//! ```

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use kurbo::Point;

use crate::curve::Curve;
use crate::tolerance::WELD;

/// Lines looked at at most; in a drawing of more, sizes do not share lines but are layers of a picture.
const MOST_LINES: usize = 2_500;

/// What a step costs besides its length, mm: of equal ways that with the fewest steps is taken.
const STEP: f64 = 0.01;

/// What lying off a line weighs against length: the ends of the next size may lie within what is welded.
const OFF_WEIGHT: f64 = 10.0;

/// A place on a line.
struct BridgeStop {
    at: f64,
    node: usize,
    /// How far the place lies off the line.
    off: f64,
}

/// A way from one stop to the next.
#[derive(Clone)]
struct BridgeWay {
    to: usize,
    line: usize,
    from_at: f64,
    to_at: f64,
    cost: f64,
}

/// The stretches of other lines that lead from one open end to another, each open end used once.
pub(super) fn bridges(open_ends: &[Point], lines: &[&Curve]) -> Vec<Vec<Curve>> {
    if open_ends.len() < 2 || open_ends.len() > MOST_LINES || lines.len() > MOST_LINES {
        return Vec::new();
    }
    let ways = ways(open_ends, lines);
    let mut found: Vec<(f64, usize, usize, Vec<BridgeWay>)> = Vec::new();
    for start in 0..open_ends.len() {
        if let Some((cost, end, path)) = shortest(start, open_ends.len(), &ways) {
            found.push((cost, start, end, path));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut used = vec![false; open_ends.len()];
    let mut bridges = Vec::new();
    for (_, start, end, path) in found {
        if used[start] || used[end] {
            continue;
        }
        used[start] = true;
        used[end] = true;
        bridges.push(
            in_one(path).iter().filter_map(|way| stretch(lines[way.line], way.from_at, way.to_at)).collect(),
        );
    }
    bridges
}

/// A way with its steps along one line taken together: between sizes they may be shorter than what is welded.
fn in_one(path: Vec<BridgeWay>) -> Vec<BridgeWay> {
    let mut taken: Vec<BridgeWay> = Vec::new();
    for way in path {
        match taken.last_mut() {
            Some(last) if last.line == way.line && last.to_at == way.from_at => last.to_at = way.to_at,
            _ => taken.push(way),
        }
    }
    taken
}

/// The stretch of a line from one place to another, in that direction; on a closed line a way over its start is told
/// by a place beyond its length or below nothing.
fn stretch(line: &Curve, from: f64, to: f64) -> Option<Curve> {
    match from > to {
        true => line.onward(to, from).ok().map(|part| part.reversed()),
        false => line.onward(from, to).ok(),
    }
}

fn ways(open_ends: &[Point], lines: &[&Curve]) -> Vec<Vec<BridgeWay>> {
    let mut stops: Vec<Vec<BridgeStop>> = lines.iter().map(|_| Vec::new()).collect();
    let boxes: Vec<kurbo::Rect> = lines.iter().map(|line| line.bounds().inflate(WELD, WELD)).collect();
    let mut nodes = open_ends.len();
    let touching = |point: Point| {
        lines.iter().zip(&boxes).enumerate().filter_map(move |(at, (line, bounds))| {
            let near = bounds.contains(point).then(|| line.nearest(point))?;
            (near.distance <= WELD).then_some((at, near.at, near.distance))
        })
    };
    for (node, point) in open_ends.iter().enumerate() {
        for (line, at, off) in touching(*point) {
            stops[line].push(BridgeStop { at, node, off });
        }
    }
    for (own, line) in lines.iter().enumerate() {
        for (point, own_at) in [(line.start(), 0.0), (line.end(), line.length())] {
            let mut met = false;
            for (other, at, off) in touching(point).filter(|(other, ..)| *other != own) {
                stops[other].push(BridgeStop { at, node: nodes, off });
                met = true;
            }
            if met {
                stops[own].push(BridgeStop { at: own_at, node: nodes, off: 0.0 });
                nodes += 1;
            }
        }
    }
    let mut ways: Vec<Vec<BridgeWay>> = vec![Vec::new(); nodes];
    for (line, stops) in stops.iter_mut().enumerate() {
        stops.sort_by(|a, b| a.at.total_cmp(&b.at));
        let length = lines[line].length();
        let mut join = |a: &BridgeStop, b: &BridgeStop, from_at: f64, to_at: f64| {
            let cost = (to_at - from_at).abs() + STEP + OFF_WEIGHT * (a.off + b.off);
            ways[a.node].push(BridgeWay { to: b.node, line, from_at, to_at, cost });
            ways[b.node].push(BridgeWay { to: a.node, line, from_at: to_at, to_at: from_at, cost });
        };
        for pair in stops.windows(2) {
            join(&pair[0], &pair[1], pair[0].at, pair[1].at);
        }
        if let ([first, .., last], true) = (&stops[..], lines[line].start() == lines[line].end()) {
            join(last, first, last.at, first.at + length);
        }
    }
    ways
}

/// A place reached, the cheapest first.
struct Reached {
    cost: f64,
    node: usize,
}

impl PartialEq for Reached {
    fn eq(&self, other: &Reached) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Reached {}

impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Reached) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Reached {
    fn cmp(&self, other: &Reached) -> Ordering {
        other.cost.total_cmp(&self.cost).then(other.node.cmp(&self.node))
    }
}

/// The cheapest way from an open end to another one.
fn shortest(start: usize, open_ends: usize, ways: &[Vec<BridgeWay>]) -> Option<(f64, usize, Vec<BridgeWay>)> {
    let mut best = vec![f64::INFINITY; ways.len()];
    let mut came: Vec<Option<(usize, BridgeWay)>> = vec![None; ways.len()];
    let mut queue = BinaryHeap::from([Reached { cost: 0.0, node: start }]);
    best[start] = 0.0;
    while let Some(Reached { cost, node }) = queue.pop() {
        if cost > best[node] {
            continue;
        }
        if node != start && node < open_ends {
            let mut path = Vec::new();
            let mut at = node;
            while let Some((before, way)) = &came[at] {
                path.push(way.clone());
                at = *before;
            }
            path.reverse();
            return Some((cost, node, path));
        }
        for way in &ways[node] {
            let reached = cost + way.cost;
            if reached < best[way.to] {
                best[way.to] = reached;
                came[way.to] = Some((node, way.clone()));
                queue.push(Reached { cost: reached, node: way.to });
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shortest_stretch_of_a_shared_line_closes_an_open_one() {
        let shared = Curve::line(Point::new(0.0, -50.0), Point::new(0.0, 300.0)).unwrap();
        let astray = Curve::line(Point::new(0.0, -50.0), Point::new(400.0, -50.0)).unwrap();
        let ends = [Point::new(0.2, 10.0), Point::new(0.0, 200.0)];
        let found = bridges(&ends, &[&shared, &astray]);
        assert_eq!(found.len(), 1);
        let length: f64 = found[0].iter().map(Curve::length).sum();
        assert!((length - 190.0).abs() < 1e-6);
    }
}
