//! Lines that pass a corner where four pages meet so near to it that the page between shows nothing of them.

use std::collections::HashSet;

use kurbo::{Point, Vec2};

use super::cut::{PartOf, WhichEnd};
use super::grid::Cell;
use crate::tolerance::{AROUND_CORNER, JOIN_TURN};

/// An end of a line at the edge of a page, where none goes on on the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct UnmetEnd {
    pub part: PartOf,
    pub end: WhichEnd,
    /// The page's cell, and that to which the line leads.
    pub from: Cell,
    pub to: Cell,
    /// Where it ends on the sheet, and the way out.
    pub at: Point,
    pub out: Vec2,
}

/// Pairs of ends that lead to the same cell from two others and go on in one another past its corner.
pub(super) fn around_corners(unmet: &[UnmetEnd]) -> Vec<(usize, usize)> {
    /// Ends that are looked at.
    const MOST: usize = 2_000;
    let unmet = &unmet[..unmet.len().min(MOST)];
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (i, one) in unmet.iter().enumerate() {
        let others = unmet.iter().enumerate().skip(i + 1).filter(|(_, other)| is_opposite(one, other));
        pairs.extend(others.map(|(j, other)| (one.at.distance(other.at), i, j)));
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut used = HashSet::new();
    pairs.retain(|(_, i, j)| !used.contains(i) && !used.contains(j) && used.insert(*i) && used.insert(*j));
    pairs.into_iter().map(|(_, i, j)| (i, j)).collect()
}

fn is_opposite(one: &UnmetEnd, other: &UnmetEnd) -> bool {
    let way = other.at - one.at;
    let faces =
        |out: Vec2, way: Vec2| way.hypot() <= SAME_END || out.dot(way) >= JOIN_TURN.cos() * way.hypot();
    one.to == other.to
        && one.from != other.from
        && way.hypot() <= AROUND_CORNER
        && faces(one.out, way)
        && faces(other.out, -way)
}

/// Ends as near as this have no way from one to the other, mm.
const SAME_END: f64 = 0.1;
