//! Pages laid in a grid in the order in which they stand in the file: row by row or column by column, some places left out.
//!
//! One line that goes on on another page may do so by chance; that all pages follow one another in rows of one length, and most
//! of their lines go on, does not. Rows of each length are tried, and of the ways to leave places out the best few are
//! carried on from page to page.

use std::collections::HashMap;
use std::rc::Rc;

use super::grid::Cell;
use super::neighbours::Neighbours;
use super::way::Way;
use super::window::WindowSide;

/// The longest row that is tried.
const LONGEST: usize = 40;

/// The most places in a row that are left out.
const MOST_LEFT_OUT: usize = 12;

/// Ways that are carried on for each length of a row.
const KEPT: usize = 40;

/// Pages times ways that are looked at; beyond, fewer are carried on.
const MOST_WORK: usize = 400_000;

/// What a line that goes on counts; all else only decides where lines do not. A line that does not go on on the page beside its
/// own counts little more than one beside which no page lies: a line may end at an edge by chance.
const GOES_ON: f64 = 4.0;
const GOES_NOWHERE: f64 = -0.05;
const LEFT_OUT: f64 = -0.04;
const LEFT_OUT_FIRST: f64 = -0.1;
const BELONGS_TO_NOTHING: f64 = -0.05;
const BEGINS: f64 = -0.5;

/// Where as large a share of the ends of lines meets another, no other order is tried. A column that goes on below is met in rows
/// of one page as well, so that three of four say nothing.
const MOST_MET: [usize; 2] = [19, 20];

/// Pages in cells, in groups that no line joins; and how many lines go on.
#[derive(Clone, Debug, Default)]
pub(super) struct Ordered {
    pub groups: Vec<Vec<(usize, Cell)>>,
    pub met: usize,
}

/// The order in which most lines go on from page to page.
pub(super) fn in_order(neighbours: &Neighbours) -> Ordered {
    let pages: Vec<usize> = (0..neighbours.pages()).filter(|page| neighbours.all_ends(*page) > 0).collect();
    let ends: usize = pages.iter().map(|page| neighbours.all_ends(*page)).sum();
    let mut best = Ordered::default();
    for way in Way::ALL {
        let ordered = best_of(way, &pages, neighbours);
        if ordered.met > best.met {
            best = ordered;
        }
        if MOST_MET[1] * 2 * best.met >= MOST_MET[0] * ends {
            break;
        }
    }
    best
}

/// One way to lay the pages up to some page.
#[derive(Clone)]
struct Trial {
    /// The drawing before, where another one began.
    before: Option<Rc<Trial>>,
    long: usize,
    /// The page in each place of the order, those that show no line among them.
    at: Vec<Option<usize>>,
    last: Option<usize>,
    score: f64,
}

impl Trial {
    fn new(long: usize, before: Option<Rc<Trial>>) -> Trial {
        let score = before.as_ref().map_or(0.0, |before| before.score + BEGINS);
        Trial { before, long, at: Vec::new(), last: None, score }
    }

    /// What speaks for a page in a place.
    fn worth(&self, page: usize, place: usize, way: Way, neighbours: &Neighbours) -> f64 {
        let cell = way.cell(place, self.long);
        let worth = |side: WindowSide| {
            let next = way.place(cell.beside(side), self.long)?;
            let next = self.at.get(next).copied().flatten()?;
            let met = neighbours.met(page, next, side) as f64;
            Some(GOES_ON * met + GOES_NOWHERE * neighbours.unmet(page, next, side) as f64)
        };
        WindowSide::ALL.into_iter().filter_map(worth).sum()
    }

    /// The same with one more page. Where as many places as pages without a line lie between, these are in them.
    fn with(&self, page: usize, (place, score): (usize, f64), neighbours: &Neighbours) -> Trial {
        let mut trial = self.clone();
        let between = self.last.map_or(page..page, |last| last + 1..page);
        if place - trial.at.len() == between.len() {
            trial.at.extend(between.map(|page| Some(page).filter(|page| neighbours.all_ends(*page) == 0)));
        }
        trial.at.resize(place, None);
        trial.at.push(Some(page));
        trial.last = Some(page);
        trial.score = score;
        trial
    }

    /// The pages of its drawing that show lines, each in its cell.
    fn cells(&self, way: Way, neighbours: &Neighbours) -> HashMap<Cell, usize> {
        let placed = self.at.iter().enumerate();
        let placed = placed.filter_map(|(place, page)| {
            Some((place, (*page).filter(|page| neighbours.all_ends(*page) > 0)?))
        });
        placed.map(|(place, page)| (way.cell(place, self.long), page)).collect()
    }
}

/// A step by which a trial is carried on: from which, to which place (none where the page belongs to nothing), at which score.
struct OrderStep {
    from: usize,
    place: Option<usize>,
    score: f64,
}

fn best_of(way: Way, pages: &[usize], neighbours: &Neighbours) -> Ordered {
    let lengths = pages.len().min(LONGEST);
    let kept = (MOST_WORK / (pages.len() * lengths * MOST_LEFT_OUT).max(1)).clamp(4, KEPT);
    let mut trials: Vec<Vec<Trial>> = (1..=lengths).map(|long| vec![Trial::new(long, None)]).collect();
    for page in pages {
        let finished = best(trials.iter().flatten()).cloned().map(Rc::new);
        for (of_length, long) in trials.iter_mut().zip(1..) {
            if let Some(before) = finished.as_ref().filter(|before| before.last.is_some()) {
                of_length.push(Trial::new(long, Some(Rc::clone(before))));
            }
            let mut steps: Vec<OrderStep> = of_length
                .iter()
                .enumerate()
                .flat_map(|(from, trial)| steps(from, trial, *page, way, neighbours))
                .collect();
            steps.sort_by(|a, b| b.score.total_cmp(&a.score));
            steps.truncate(kept);
            let carried = steps.iter().map(|step| match step.place {
                Some(place) => of_length[step.from].with(*page, (place, step.score), neighbours),
                None => Trial { score: step.score, ..of_length[step.from].clone() },
            });
            *of_length = carried.collect();
        }
    }
    let mut ordered = Ordered::default();
    let mut trial = best(trials.iter().flatten()).cloned().map(Rc::new);
    while let Some(one) = trial {
        let cells = one.cells(way, neighbours);
        ordered.met += neighbours.all_met(&cells);
        ordered.groups.extend(groups(&cells, neighbours));
        trial = one.before.clone();
    }
    ordered.groups.sort_by_key(|group| group.iter().map(|(page, _)| *page).min());
    ordered
}

fn best<'a>(trials: impl Iterator<Item = &'a Trial>) -> Option<&'a Trial> {
    trials.max_by(|a, b| a.score.total_cmp(&b.score).then(b.long.cmp(&a.long)))
}

/// All places in which a trial may have the next page. Pages between that show no line want a place of their own.
fn steps(from: usize, trial: &Trial, page: usize, way: Way, neighbours: &Neighbours) -> Vec<OrderStep> {
    let between = trial.last.map_or(0, |last| page - last - 1);
    let first = trial.at.len();
    let place = |left_out: usize| {
        let place = first + left_out;
        let other = left_out.abs_diff(between) as f64;
        let each = if first == 0 { LEFT_OUT_FIRST } else { LEFT_OUT };
        let score = trial.score + trial.worth(page, place, way, neighbours) + each * other;
        OrderStep { from, place: Some(place), score }
    };
    let most = if first == 0 { trial.long - 1 } else { trial.long + between };
    let mut steps: Vec<OrderStep> = (0..=most.min(MOST_LEFT_OUT + between)).map(place).collect();
    steps.push(OrderStep { from, place: None, score: trial.score + BELONGS_TO_NOTHING });
    steps
}

/// Pages that lines join; and those between them in the order, which stand in the same grid.
fn groups(cells: &HashMap<Cell, usize>, neighbours: &Neighbours) -> Vec<Vec<(usize, Cell)>> {
    let mut left: Vec<(usize, Cell)> = cells.iter().map(|(cell, page)| (*page, *cell)).collect();
    left.sort_unstable();
    let mut groups: Vec<Vec<(usize, Cell)>> = Vec::new();
    while let Some(first) = left.first().copied() {
        left.remove(0);
        let (mut group, mut open) = (Vec::new(), vec![first]);
        while let Some((page, cell)) = open.pop() {
            group.push((page, cell));
            for side in WindowSide::ALL {
                let next = cell.beside(side);
                let joined =
                    left.iter().position(|(other, at)| *at == next && neighbours.met(page, *other, side) > 0);
                open.extend(joined.map(|at| left.remove(at)));
            }
        }
        groups.push(group);
    }
    let (mut groups, single): (Vec<_>, Vec<_>) = groups.into_iter().partition(|group| group.len() > 1);
    let ends = |group: &[(usize, Cell)]| {
        let pages = group.iter().map(|(page, _)| *page);
        (pages.clone().min(), pages.max())
    };
    let mut together: Vec<Vec<(usize, Cell)>> = Vec::new();
    groups.sort_by_key(|group| ends(group));
    for group in groups {
        match together.last_mut().filter(|last| ends(last).1 > ends(&group).0) {
            Some(last) => last.extend(group),
            None => together.push(group),
        }
    }
    for page in single.into_iter().flatten() {
        let around = together.iter_mut().find(|group| {
            let (first, last) = ends(group);
            first < Some(page.0) && Some(page.0) < last
        });
        if let Some(group) = around {
            group.push(page);
        }
    }
    together
}
