//! What shows how two pages lie to each other where they draw the whole: shapes that both draw.

use std::collections::HashMap;

use kurbo::{Rect, Vec2};

use super::grid::Link;
use super::shapes::{ShapePlace, Shapes};
use crate::drawing::drawn::DrawnPage;
use crate::tolerance::{CUT_AT_FRAME, SAME_PLACE_OF_PAGES, SAME_SHIFT};

/// A shift between two pages, and which shapes speak for it.
#[derive(Debug)]
struct Voted {
    shift: Vec2,
    votes: usize,
    /// How many of them run off a page, as what is cut by its edge does.
    running_off: usize,
}

/// A shift between two pages that a shape speaks for.
#[derive(Debug)]
struct OfShape {
    shift: Vec2,
    /// Whether it runs off a page.
    off: bool,
    /// How many of its copies on the one page come to lie on those of the other.
    copies: usize,
}

/// As many shapes that lie whole within both pages must agree, where none that runs off a page does.
const LEAST_WHOLE: usize = 3;

/// Shifts that are told apart between two pages.
const MOST_SHIFTS: usize = 64;

/// All pairs of places that are compared; no drawing on a hundred pages has as many.
const MOST_WORK: usize = 4_000_000;

/// How pages lie by shapes that are drawn on several. Each distinct shape has one vote for each shift; where one shift brings
/// all its copies on the one page onto all on the other, as pages that draw the whole do, for this alone.
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
        let mut own: HashMap<(usize, usize), Vec<OfShape>> = HashMap::new();
        let places: Vec<(ShapePlace, bool)> = places
            .into_iter()
            .map(|place| (place, runs_off(pages, shapes, windows, (place.page, place.thing))))
            .collect();
        for (at, (one, one_off)) in places.iter().enumerate() {
            for (other, other_off) in &places[at + 1..] {
                let off = *one_off || *other_off;
                let (one, other) = if one.page < other.page { (one, other) } else { (other, one) };
                let shift = one.at - other.at;
                if one.page == other.page || shift.hypot() <= SAME_PLACE_OF_PAGES {
                    continue;
                }
                let shifts = own.entry((one.page, other.page)).or_default();
                match shifts.iter_mut().find(|known| (known.shift - shift).hypot() <= SAME_SHIFT) {
                    Some(known) => known.copies += 1,
                    None => shifts.push(OfShape { shift, off, copies: 1 }),
                }
            }
        }
        for (pair, shifts) in own {
            let copies = |page: usize| places.iter().filter(|(place, _)| place.page == page).count();
            let (from, to) = (copies(pair.0), copies(pair.1));
            let is_of_all = |of_shape: &OfShape| of_shape.copies == from && of_shape.copies == to;
            let only_all = shifts.iter().any(is_of_all);
            for of_shape in shifts.iter().filter(|of_shape| !only_all || is_of_all(of_shape)) {
                vote(voted.entry(pair).or_default(), of_shape.shift, usize::from(of_shape.off));
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
pub(super) fn runs_off(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &[Option<Rect>],
    (page, thing): (usize, usize),
) -> bool {
    if shapes.id(page, thing).is_none() {
        return false;
    }
    let bounds = shapes.bounds(page, thing);
    let window = windows[page].or(pages[page].seen);
    window.is_some_and(|window| {
        let window = window.inflate(CUT_AT_FRAME, CUT_AT_FRAME);
        bounds.x0 < window.x0 || bounds.y0 < window.y0 || bounds.x1 > window.x1 || bounds.y1 > window.y1
    })
}
