//! A problem made ready to be searched.

use super::figure::{Figure, TurnedFigure};
use super::ground::{BedRow, SHEETS_APART};
use super::likeness::Shades;
use super::problem::{Pose, Problem};
use super::turning::TurnAboutOrigin;
use super::ways::{AllowedWay, ItemPlace, LineGroups, ways};

/// A problem made ready to be searched.
#[derive(Clone, Debug)]
pub(super) struct Prepared {
    pub ground: BedRow,
    pub items: Vec<PreparedItem>,
    pub groups: LineGroups,
    /// What the sheets look like, where there are joints.
    pub likeness: Option<Shades>,
    /// For each item its joints, as places among them.
    pub joints_of: Vec<Vec<usize>>,
}

/// An item made ready.
#[derive(Clone, Debug)]
pub(super) struct PreparedItem {
    pub figure: Figure,
    pub ways: Vec<AllowedWay>,
    /// The figure at the exact turn of each way.
    pub turned: Vec<TurnedFigure>,
}

impl Prepared {
    /// Makes a problem ready.
    pub fn new(problem: &Problem) -> Prepared {
        let ground = BedRow::new(&problem.sheets);
        let mut groups = LineGroups::default();
        let items = problem
            .items
            .iter()
            .map(|item| {
                let figure = Figure::new(&item.outline, &item.clearance);
                let ways = ways(problem, &ground, item, &figure, &mut groups);
                let turned = ways.iter().map(|way| figure.turned(way.degrees)).collect();
                PreparedItem { figure, ways, turned }
            })
            .collect();
        let likeness = problem.likeness.clone().filter(|likeness| !likeness.joints.is_empty());
        let mut joints_of = vec![Vec::new(); problem.items.len()];
        for (place, joint) in likeness.iter().flat_map(|likeness| likeness.joints.iter().enumerate()) {
            joints_of[joint.items[0]].push(place);
            if joint.items[1] != joint.items[0] {
                joints_of[joint.items[1]].push(place);
            }
        }
        Prepared { ground, items, groups, likeness, joints_of }
    }

    /// The pose of an item at a spot.
    pub fn pose(&self, item: usize, spot: ItemPlace) -> Pose {
        let ready = &self.items[item];
        let way = &ready.ways[spot.way];
        let middle = TurnAboutOrigin::new(spot.degrees).turn(ready.figure.middle);
        Pose {
            sheet: way.sheet,
            turn: way.turn,
            degrees: spot.degrees,
            x: spot.x - way.sheet as f64 * SHEETS_APART - middle.x,
            y: spot.y - middle.y,
        }
    }

    /// How far the tallest item reaches along the cloth (mm).
    pub fn tallest(&self) -> f64 {
        let turned = self.items.iter().flat_map(|item| &item.turned);
        turned.map(|turned| turned.bounds.height()).fold(0.0, f64::max)
    }

    /// How many items there are.
    pub fn count(&self) -> usize {
        self.items.len()
    }
}
