//! Which pages may be of one drawing: those of one paper, held the same way, and those on which what they show goes on.

use std::collections::HashMap;

use super::by_lines;
use super::grid::Link;
use super::links;
use super::neighbours::Neighbours;
use super::paper::{PagesOfOne, of_one_paper};
use super::shapes::Shapes;
use super::window::{self, Telling, WindowSide, Windows};
use crate::drawing::drawn::DrawnPage;
use crate::tolerance::SAME_FRAME;

/// As many shapes, or lines that go on, join pages of two papers; fewer do so by chance.
const LEAST_JOINING: usize = 3;

/// Pages of one paper, together with those of others on which what they show goes on: the last column of a drawing may be
/// on narrower paper.
pub(super) fn of_one_drawing(pages: &[&DrawnPage]) -> Vec<PagesOfOne> {
    let mut papers = of_one_paper(pages);
    if papers.len() < 2 {
        return papers;
    }
    let of: HashMap<usize, usize> =
        papers.iter().enumerate().flat_map(|(at, paper)| paper.iter().map(move |page| (*page, at))).collect();
    for (from, to) in joining(pages, &of) {
        let [one, other] = [from, to].map(|page| papers.iter().position(|paper| paper.contains(&page)));
        if let (Some(one), Some(other)) = (one, other)
            && one != other
        {
            let more = papers.remove(one.max(other));
            papers[one.min(other)].extend(more);
        }
    }
    papers.iter_mut().for_each(|paper| paper.sort_unstable());
    papers
}

/// Two pages of different papers each, on which what they show goes on.
fn joining(pages: &[&DrawnPage], of: &HashMap<usize, usize>) -> Vec<(usize, usize)> {
    let shapes = Shapes::of(pages);
    let windows = window::windows(pages, &shapes, Telling::Clips);
    let by_shapes = links::by_shapes(pages, &shapes, &windows.of);
    let is_joining = |link: &&Link| {
        of[&link.from] != of[&link.to] && link.votes >= LEAST_JOINING && is_beside(link, &windows)
    };
    let by_shapes = by_shapes.iter().filter(is_joining).map(|link| (link.from, link.to));
    by_shapes.chain(going_on(pages, &shapes, of)).collect()
}

/// Whether pages lie beside each other by a shift: no more than half of the smaller lies on the larger.
fn is_beside(link: &Link, windows: &Windows) -> bool {
    let (Some(from), Some(to)) = (windows.of[link.from], windows.of[link.to]) else { return false };
    let both = from.intersect(to + link.shift);
    (both.width().max(0.0) * both.height().max(0.0)) <= 0.5 * from.area().min(to.area())
}

/// Two pages of different papers each, of which the lines cut off at sides of one length go on on each other, and on no page
/// of their own paper as many.
fn going_on(pages: &[&DrawnPage], shapes: &Shapes, of: &HashMap<usize, usize>) -> Vec<(usize, usize)> {
    let windows = window::windows(pages, shapes, Telling::CutLines);
    let neighbours = Neighbours::of(&by_lines::cut_pages(pages, shapes, &windows.of));
    let all = || 0..pages.len();
    let most_of_own = |page: usize, side: WindowSide| {
        let own = all().filter(|other| *other != page && of[other] == of[&page]);
        own.map(|other| neighbours.met(page, other, side)).max().unwrap_or(0)
    };
    let goes_on = |from: usize, to: usize, side: WindowSide| {
        let met = neighbours.met(from, to, side);
        met >= LEAST_JOINING
            && 2 * met > neighbours.unmet(from, to, side)
            && is_as_long(&windows, (from, to), side)
            && most_of_own(from, side).max(most_of_own(to, side.opposite())) < met
    };
    let pairs = all().flat_map(|from| all().map(move |to| (from, to)));
    let pairs = pairs.filter(|(from, to)| of[from] != of[to]);
    pairs
        .filter(|(from, to)| {
            [WindowSide::Right, WindowSide::Bottom].iter().any(|side| goes_on(*from, *to, *side))
        })
        .collect()
}

/// Whether the windows of two pages that lie beside each other at a side are as long there.
fn is_as_long(windows: &Windows, (from, to): (usize, usize), side: WindowSide) -> bool {
    let (Some(from), Some(to)) = (windows.of[from], windows.of[to]) else { return false };
    let off = match side {
        WindowSide::Left | WindowSide::Right => from.height() - to.height(),
        WindowSide::Top | WindowSide::Bottom => from.width() - to.width(),
    };
    off.abs() <= SAME_FRAME
}
