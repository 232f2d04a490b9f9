//! Which pages may lie beside each other by the lines that are cut off at their edges.

use std::cmp::Ordering;
use std::collections::{HashMap, HashSet};

use kurbo::{Rect, Vec2};

use super::cut::{CutEnd, CutPage};
use super::grid::{Cell, Link};
use super::window::WindowSide;
use crate::tolerance::{CORNER_ON_EDGE, JOIN_MISS, JOIN_TURN};

/// All pairs of ends that are compared; no drawing on a hundred pages has as many.
const MOST_WORK: usize = 4_000_000;

/// Ends that meet across the edge between two pages, and how far each pair misses.
pub(super) fn met<'a>(one: &[&'a CutEnd], other: &[&'a CutEnd]) -> Vec<(&'a CutEnd, &'a CutEnd, f64)> {
    let pair = |a: &CutEnd, b: &CutEnd| {
        let aslant = a.out.dot(a.side.outward()).max(b.out.dot(b.side.outward()));
        let miss = (a.along - b.along).abs() * aslant;
        let turn = (-a.out.dot(b.out)).clamp(-1.0, 1.0).acos();
        (miss <= JOIN_MISS && turn <= JOIN_TURN).then_some(miss)
    };
    nearest_pairs(one, other, pair)
}

/// The same, and then those at which a line turns a corner on the very edge.
pub(super) fn met_or_turned<'a>(
    one: &[&'a CutEnd],
    other: &[&'a CutEnd],
) -> Vec<(&'a CutEnd, &'a CutEnd, f64)> {
    let mut pairs = met(one, other);
    let is_free = |end: &&&'a CutEnd, pairs: &[(&'a CutEnd, &'a CutEnd, f64)]| {
        !pairs.iter().any(|(a, b, _)| std::ptr::eq(*a, **end) || std::ptr::eq(*b, **end))
    };
    let free =
        |ends: &[&'a CutEnd]| ends.iter().filter(|end| is_free(end, &pairs)).copied().collect::<Vec<_>>();
    let (one, other) = (free(one), free(other));
    let at_corner = |a: &CutEnd, b: &CutEnd| {
        let miss = (a.along - b.along).abs();
        (miss <= CORNER_ON_EDGE).then_some(miss)
    };
    pairs.extend(nearest_pairs(&one, &other, at_corner));
    pairs
}

/// Pairs of ends, the nearest first, each end in one.
fn nearest_pairs<'a>(
    one: &[&'a CutEnd],
    other: &[&'a CutEnd],
    miss: impl Fn(&CutEnd, &CutEnd) -> Option<f64>,
) -> Vec<(&'a CutEnd, &'a CutEnd, f64)> {
    let mut pairs: Vec<(usize, usize, f64)> = Vec::new();
    for (i, a) in one.iter().enumerate() {
        pairs.extend(other.iter().enumerate().filter_map(|(j, b)| Some((i, j, miss(a, b)?))));
    }
    pairs.sort_by(|a, b| a.2.total_cmp(&b.2));
    let (mut used, mut used_other) = (vec![false; one.len()], vec![false; other.len()]);
    let mut met = Vec::new();
    for (i, j, miss) in pairs {
        if !used[i] && !used_other[j] {
            (used[i], used_other[j]) = (true, true);
            met.push((one[i], other[j], miss));
        }
    }
    met
}

/// How many lines are cut off at each side of each page, and how many go on between any two.
#[derive(Clone, Debug)]
pub(super) struct Neighbours {
    ends: Vec<[usize; 4]>,
    /// Of each page to the left of each other, and above it: how many lines go on.
    across: Vec<usize>,
    down: Vec<usize>,
}

impl Neighbours {
    /// Those of pages.
    pub fn of(cut: &[Option<CutPage>]) -> Neighbours {
        let at =
            |page: &Option<CutPage>, side: WindowSide| page.as_ref().map_or(0, |page| page.at(side).len());
        let ends = cut.iter().map(|page| WindowSide::ALL.map(|side| at(page, side))).collect();
        let mut work = MOST_WORK;
        let across = going_on(cut, WindowSide::Right, &mut work);
        let down = going_on(cut, WindowSide::Bottom, &mut work);
        Neighbours { ends, across, down }
    }

    /// How many pages there are.
    pub fn pages(&self) -> usize {
        self.ends.len()
    }

    /// How many lines are cut off at a side of a page.
    pub fn ends(&self, page: usize, side: WindowSide) -> usize {
        let at = WindowSide::ALL.iter().position(|other| *other == side);
        at.map_or(0, |at| self.ends[page][at])
    }

    /// How many lines are cut off at any side of a page.
    pub fn all_ends(&self, page: usize) -> usize {
        self.ends[page].iter().sum()
    }

    /// How many lines of a page go on on the page that lies at a side of it.
    pub fn met(&self, page: usize, next: usize, side: WindowSide) -> usize {
        let of = |first: usize, second: usize| first * self.pages() + second;
        match side {
            WindowSide::Right => self.across[of(page, next)],
            WindowSide::Left => self.across[of(next, page)],
            WindowSide::Bottom => self.down[of(page, next)],
            WindowSide::Top => self.down[of(next, page)],
        }
    }

    /// How many lines are cut off at the edge between a page and the one at a side of it, and do not go on on the other.
    pub fn unmet(&self, page: usize, next: usize, side: WindowSide) -> usize {
        self.ends(page, side) + self.ends(next, side.opposite()) - 2 * self.met(page, next, side)
    }

    /// How many lines go on where pages lie in cells.
    pub fn all_met(&self, cells: &HashMap<Cell, usize>) -> usize {
        let next = |cell: Cell, side: WindowSide| cells.get(&cell.beside(side)).copied();
        let both = [WindowSide::Right, WindowSide::Bottom];
        let met = |(cell, page): (&Cell, &usize)| -> usize {
            both.iter().filter_map(|side| Some(self.met(*page, next(*cell, *side)?, *side))).sum()
        };
        cells.iter().map(met).sum()
    }
}

/// How many lines go on from each page to each other at a side of it.
fn going_on(cut: &[Option<CutPage>], side: WindowSide, work: &mut usize) -> Vec<usize> {
    let at = |side: WindowSide| -> Vec<Vec<&CutEnd>> {
        cut.iter().map(|page| page.as_ref().map(|page| page.at(side)).unwrap_or_default()).collect()
    };
    let (from_ends, to_ends) = (at(side), at(side.opposite()));
    let mut all = vec![0; cut.len() * cut.len()];
    for (from, one) in from_ends.iter().enumerate().filter(|(_, ends)| !ends.is_empty()) {
        for (to, other) in to_ends.iter().enumerate().filter(|(to, ends)| *to != from && !ends.is_empty()) {
            let Some(left) = work.checked_sub(one.len() * other.len()) else { return all };
            *work = left;
            all[from * cut.len() + to] = met(one, other).len();
        }
    }
    all
}

/// Two pages, one at a side of the other, and what speaks for it.
#[derive(Clone, Copy, Debug)]
struct NeighbourPair {
    from: usize,
    to: usize,
    side: WindowSide,
    met: usize,
    score: i64,
}

/// How pages lie by the lines that are cut off at their edges, in whatever order they stand: where one page fits better than
/// all others.
pub(super) fn by_ends(neighbours: &Neighbours, windows: &[Option<Rect>]) -> Vec<Link> {
    let mut found = Vec::new();
    for side in [WindowSide::Right, WindowSide::Bottom] {
        let all = pairs(neighbours, side);
        let (from, to) = (best_of(&all, |one| one.from), best_of(&all, |one| one.to));
        let is_best = |one: &NeighbourPair| {
            let only = Some(&(one.score, 1));
            from.get(&one.from) == only && to.get(&one.to) == only
        };
        let sure: Vec<NeighbourPair> =
            all.iter().filter(|one| one.met > 1 && one.score > 0 && is_best(one)).copied().collect();
        let ways = sure.iter().map(|one| one.to as i64 - one.from as i64);
        let mut counted: HashMap<i64, usize> = HashMap::new();
        ways.for_each(|way| *counted.entry(way).or_default() += 1);
        let usual =
            counted.into_iter().max_by_key(|(way, count)| (*count, -way.abs(), *way)).map(|(way, _)| way);
        let known_from: HashSet<usize> = sure.iter().map(|one| one.from).collect();
        let known_to: HashSet<usize> = sure.iter().map(|one| one.to).collect();
        let likely = all.iter().filter(|one| {
            !known_from.contains(&one.from)
                && !known_to.contains(&one.to)
                && one.score > 0
                && Some(one.to as i64 - one.from as i64) == usual
        });
        found.extend(sure.iter().chain(likely).copied());
    }
    found
        .into_iter()
        .filter_map(|one: NeighbourPair| {
            let shift = beside(windows[one.from]?, windows[one.to]?, one.side);
            Some(Link { from: one.from, to: one.to, shift, votes: usize::try_from(one.score).unwrap_or(0) })
        })
        .collect()
}

fn pairs(neighbours: &Neighbours, side: WindowSide) -> Vec<NeighbourPair> {
    let pages = neighbours.pages();
    let all = (0..pages).flat_map(|from| (0..pages).map(move |to| (from, to)));
    let pair = |(from, to)| {
        let met = neighbours.met(from, to, side);
        let score = 2 * met as i64 - neighbours.unmet(from, to, side) as i64;
        NeighbourPair { from, to, side, met, score }
    };
    all.map(pair).filter(|pair| pair.met > 0).collect()
}

/// The best score of each page, and how many have it.
fn best_of(all: &[NeighbourPair], page: impl Fn(&NeighbourPair) -> usize) -> HashMap<usize, (i64, usize)> {
    let mut best: HashMap<usize, (i64, usize)> = HashMap::new();
    for one in all {
        let known = best.entry(page(one)).or_insert((i64::MIN, 0));
        match one.score.cmp(&known.0) {
            Ordering::Greater => *known = (one.score, 1),
            Ordering::Equal => known.1 += 1,
            Ordering::Less => {}
        }
    }
    best
}

/// How far the page at a side of another lies from it, where their windows touch.
pub(super) fn beside(window: Rect, next: Rect, side: WindowSide) -> Vec2 {
    match side {
        WindowSide::Left => Vec2::new(window.x0 - next.x1, window.y0 - next.y0),
        WindowSide::Top => Vec2::new(window.x0 - next.x0, window.y0 - next.y1),
        WindowSide::Right => Vec2::new(window.x1 - next.x0, window.y0 - next.y0),
        WindowSide::Bottom => Vec2::new(window.x0 - next.x0, window.y1 - next.y0),
    }
}
