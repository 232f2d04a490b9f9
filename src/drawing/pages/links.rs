//! What shows how two pages lie to each other: shapes that both draw, and lines cut off between them.

use std::cmp::Ordering;
use std::collections::{HashMap, HashSet};

use kurbo::{Rect, Shape, Vec2};

use super::cut::{CutEnd, CutPage};
use super::grid::Link;
use super::shapes::Shapes;
use super::window::Side;
use crate::drawing::drawn::{Drawn, DrawnPage};
use crate::tolerance::{CUT_AT_FRAME, JOIN_MISS, JOIN_TURN, SAME_PLACE_OF_PAGES, SAME_SHIFT};

/// A shift between two pages, and which shapes speak for it.
#[derive(Debug)]
struct Voted {
    shift: Vec2,
    votes: usize,
    /// How many of them run off a page, as what is cut by its edge does.
    running_off: usize,
}

/// As many shapes that lie whole within both pages must agree, where none that runs off a page does.
const LEAST_WHOLE: usize = 3;

/// Shifts that are told apart between two pages.
const MOST_SHIFTS: usize = 64;

/// All pairs of places, or of ends, that are compared; no drawing on a hundred pages has as many.
const MOST_WORK: usize = 4_000_000;

/// How pages lie by shapes that are drawn on several. Each distinct shape has one vote for each shift.
pub(super) fn by_shapes(pages: &[&DrawnPage], shapes: &Shapes, windows: &[Option<Rect>]) -> Vec<Link> {
    /// A shape that is drawn more often on one page is a dash or a dot, and tells nothing.
    const MOST_ON_PAGE: usize = 8;
    let mut voted: HashMap<(usize, usize), Vec<Voted>> = HashMap::new();
    let mut work = MOST_WORK;
    for places in shapes.drawn().filter(|places| places.len() > 1) {
        let on_page = |page: usize| places.iter().filter(|place| place.page == page).count();
        if places.len() > MOST_ON_PAGE * pages.len()
            || places.iter().any(|place| on_page(place.page) > MOST_ON_PAGE)
        {
            continue;
        }
        let pairs = places.len() * places.len();
        let Some(left) = work.checked_sub(pairs) else { break };
        work = left;
        let mut own: HashMap<(usize, usize), Vec<(Vec2, bool)>> = HashMap::new();
        for (at, one) in places.iter().enumerate() {
            for other in &places[at + 1..] {
                let (one, other) = if one.page < other.page { (one, other) } else { (other, one) };
                let shift = one.at - other.at;
                if one.page == other.page || shift.hypot() <= SAME_PLACE_OF_PAGES {
                    continue;
                }
                let shifts = own.entry((one.page, other.page)).or_default();
                if !shifts.iter().any(|(known, _)| (*known - shift).hypot() <= SAME_SHIFT) {
                    let off = runs_off(pages, windows, one.page, one.thing)
                        || runs_off(pages, windows, other.page, other.thing);
                    shifts.push((shift, off));
                }
            }
        }
        for (pair, shifts) in own {
            for (shift, off) in shifts {
                vote(voted.entry(pair).or_default(), shift, usize::from(off));
            }
        }
    }
    let mut links: Vec<Link> =
        voted.into_iter().filter_map(|((from, to), voted)| chosen(from, to, &voted)).collect();
    links.sort_by_key(|link| (link.from, link.to));
    links
}

fn vote(voted: &mut Vec<Voted>, shift: Vec2, running_off: usize) {
    let has_room = voted.len() < MOST_SHIFTS;
    match voted.iter_mut().find(|known| (known.shift - shift).hypot() <= SAME_SHIFT) {
        Some(known) => {
            known.shift += (shift - known.shift) / (known.votes + 1) as f64;
            known.votes += 1;
            known.running_off += running_off;
        }
        None if has_room => voted.push(Voted { shift, votes: 1, running_off }),
        None => {}
    }
}

/// The shift that most shapes agree in, where twice as many do as in any other. Each distinct shape has one vote, whether it
/// runs off a page or not.
fn chosen(from: usize, to: usize, voted: &[Voted]) -> Option<Link> {
    let best = voted.iter().max_by_key(|voted| voted.votes)?;
    let others = voted.iter().filter(|other| !std::ptr::eq(*other, best));
    let second = others.map(|other| other.votes).max().unwrap_or(0);
    let enough = best.running_off > 0 || best.votes >= LEAST_WHOLE;
    (enough && best.votes >= 2 * second).then_some(Link { from, to, shift: best.shift, votes: best.votes })
}

/// Whether a shape goes on beyond its page's window.
pub(super) fn runs_off(pages: &[&DrawnPage], windows: &[Option<Rect>], page: usize, thing: usize) -> bool {
    let Drawn::Shape { path, .. } = &pages[page].things[thing].what else { return false };
    let bounds = path.bounding_box();
    let window = windows[page].or(pages[page].seen);
    window.is_some_and(|window| {
        let window = window.inflate(CUT_AT_FRAME, CUT_AT_FRAME);
        bounds.x0 < window.x0 || bounds.y0 < window.y0 || bounds.x1 > window.x1 || bounds.y1 > window.y1
    })
}

/// Ends that meet across the edge between two pages, and how far each pair misses.
pub(super) fn met<'a>(one: &[&'a CutEnd], other: &[&'a CutEnd]) -> Vec<(&'a CutEnd, &'a CutEnd, f64)> {
    let mut pairs: Vec<(usize, usize, f64)> = Vec::new();
    for (i, a) in one.iter().enumerate() {
        for (j, b) in other.iter().enumerate() {
            let aslant = a.out.dot(a.side.outward()).max(b.out.dot(b.side.outward()));
            let miss = (a.along - b.along).abs() * aslant;
            let turn = (-a.out.dot(b.out)).clamp(-1.0, 1.0).acos();
            if miss <= JOIN_MISS && turn <= JOIN_TURN {
                pairs.push((i, j, miss));
            }
        }
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

/// How two pages may lie beside each other.
#[derive(Clone, Copy, Debug)]
struct Neighbours {
    from: usize,
    to: usize,
    side: Side,
    met: usize,
    unmet: usize,
}

impl Neighbours {
    fn score(&self) -> i64 {
        2 * self.met as i64 - self.unmet as i64
    }
}

/// How pages lie by the lines that are cut off at their edges.
pub(super) fn by_ends(cut: &[Option<CutPage>], windows: &[Option<Rect>]) -> Vec<Link> {
    let mut found = Vec::new();
    for side in [Side::Right, Side::Bottom] {
        let all = candidates(cut, side);
        let (from, to) = (best_of(&all, |one| one.from), best_of(&all, |one| one.to));
        let is_best = |one: &Neighbours| {
            let only = Some(&(one.score(), 1));
            from.get(&one.from) == only && to.get(&one.to) == only
        };
        let sure: Vec<Neighbours> =
            all.iter().filter(|one| one.met > 1 && one.score() > 0 && is_best(one)).copied().collect();
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
                && one.score() > 0
                && Some(one.to as i64 - one.from as i64) == usual
        });
        found.extend(sure.iter().chain(likely).copied());
    }
    found
        .into_iter()
        .filter_map(|one: Neighbours| {
            let shift = beside(windows[one.from]?, windows[one.to]?, one.side);
            Some(Link { from: one.from, to: one.to, shift, votes: usize::try_from(one.score()).unwrap_or(0) })
        })
        .collect()
}

/// The best score of each page, and how many have it.
fn best_of(all: &[Neighbours], page: impl Fn(&Neighbours) -> usize) -> HashMap<usize, (i64, usize)> {
    let mut best: HashMap<usize, (i64, usize)> = HashMap::new();
    for one in all {
        let known = best.entry(page(one)).or_insert((i64::MIN, 0));
        match one.score().cmp(&known.0) {
            Ordering::Greater => *known = (one.score(), 1),
            Ordering::Equal => known.1 += 1,
            Ordering::Less => {}
        }
    }
    best
}

fn candidates(cut: &[Option<CutPage>], side: Side) -> Vec<Neighbours> {
    let at = |side: Side| -> Vec<Vec<&CutEnd>> {
        cut.iter().map(|page| page.as_ref().map(|page| page.at(side)).unwrap_or_default()).collect()
    };
    let (from_ends, to_ends) = (at(side), at(side.opposite()));
    let mut work = MOST_WORK;
    let mut all = Vec::new();
    for (from, one) in from_ends.iter().enumerate().filter(|(_, ends)| !ends.is_empty()) {
        for (to, other) in to_ends.iter().enumerate().filter(|(to, ends)| *to != from && !ends.is_empty()) {
            let Some(left) = work.checked_sub(one.len() * other.len()) else { return all };
            work = left;
            let met = met(one, other).len();
            if met > 0 {
                all.push(Neighbours { from, to, side, met, unmet: one.len() + other.len() - 2 * met });
            }
        }
    }
    all
}

/// How far the page at a side of another lies from it, where their windows touch.
pub(super) fn beside(window: Rect, next: Rect, side: Side) -> Vec2 {
    match side {
        Side::Left => Vec2::new(window.x0 - next.x1, window.y0 - next.y0),
        Side::Top => Vec2::new(window.x0 - next.x0, window.y0 - next.y1),
        Side::Right => Vec2::new(window.x1 - next.x0, window.y0 - next.y0),
        Side::Bottom => Vec2::new(window.x0 - next.x0, window.y1 - next.y0),
    }
}
