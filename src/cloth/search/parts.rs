//! The parts of a problem that have nothing to do with each other: items that share no sheet, even by way of others.

use std::sync::Arc;

use super::likeness::{JoinedItems, Shades};
use super::problem::{Item, Problem};

/// A part of a problem, as a problem of its own.
pub(super) struct SubProblem {
    pub problem: Problem,
    /// Its items' places in the whole problem.
    pub items: Vec<usize>,
    /// Its sheets' places in the whole problem.
    pub sheets: Vec<usize>,
}

impl SubProblem {
    /// Whether it is the whole problem.
    pub fn is_whole(&self, problem: &Problem) -> bool {
        self.items.len() == problem.items.len() && self.sheets.len() == problem.sheets.len()
    }
}

/// The parts that have items, in the order of their first sheets.
pub(super) fn parts(problem: &Problem) -> Vec<SubProblem> {
    let mut part_of: Vec<usize> = (0..problem.sheets.len()).collect();
    for item in &problem.items {
        let joined: Vec<usize> = item.sheets.iter().map(|sheet| part_of[*sheet]).collect();
        let Some(least) = joined.iter().copied().min() else { continue };
        for part in &mut part_of {
            if joined.contains(part) {
                *part = least;
            }
        }
    }
    (0..problem.sheets.len())
        .filter_map(|part| {
            let sheets: Vec<usize> =
                (0..problem.sheets.len()).filter(|sheet| part_of[*sheet] == part).collect();
            let items: Vec<usize> = (0..problem.items.len())
                .filter(|item| problem.items[*item].sheets.iter().any(|sheet| sheets.contains(sheet)))
                .collect();
            (!items.is_empty()).then(|| SubProblem {
                problem: taken(problem, &sheets, &items),
                items,
                sheets,
            })
        })
        .collect()
}

fn taken(problem: &Problem, sheets: &[usize], items: &[usize]) -> Problem {
    Problem {
        sheets: sheets.iter().map(|sheet| problem.sheets[*sheet].clone()).collect(),
        items: items.iter().map(|item| renumbered(&problem.items[*item], sheets)).collect(),
        goal: problem.goal,
        likeness: problem.likeness.as_ref().map(|likeness| taken_likeness(likeness, sheets, items)),
    }
}

/// What a part looks like, with the joints of which it has both items.
fn taken_likeness(likeness: &Shades, sheets: &[usize], items: &[usize]) -> Shades {
    let place = |item: usize| items.iter().position(|known| *known == item);
    let joint = |joint: &JoinedItems| {
        let [first, second] = joint.items.map(place);
        Some(JoinedItems { items: [first?, second?], ..joint.clone() })
    };
    Shades {
        grids: sheets.iter().map(|sheet| likeness.grids[*sheet].clone()).collect(),
        table: Arc::clone(&likeness.table),
        joints: likeness.joints.iter().filter_map(joint).collect(),
    }
}

/// An item whose sheets are named by their places in a part.
fn renumbered(item: &Item, sheets: &[usize]) -> Item {
    let place = |sheet: usize| sheets.iter().position(|known| *known == sheet);
    let mut item = item.clone();
    item.sheets = item.sheets.iter().filter_map(|sheet| place(*sheet)).collect();
    item.holds.retain_mut(|hold| place(hold.sheet).map(|sheet| hold.sheet = sheet).is_some());
    item.phases.retain_mut(|phase| place(phase.sheet).map(|sheet| phase.sheet = sheet).is_some());
    item
}
