//! How alike the sheets look where items are joined.

use std::sync::Arc;

use kurbo::{Point, Vec2};

use super::ground::SHEETS_APART;
use super::lying::Lay;
use super::turning::TurnAboutOrigin;
use super::ways::ItemPlace;

/// What sheets look like, and where items are to look alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Likeness {
    /// Of each sheet.
    pub grids: Vec<ShadeGrid>,
    /// How different shades are.
    pub table: Arc<ShadeTable>,
    /// Where items are joined.
    pub joints: Vec<Joint>,
}

/// What a sheet looks like: its shade in cells from its corner at nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct ShadeGrid {
    /// How many cells there are across.
    pub columns: usize,
    /// The size of a cell, across and along.
    pub cell: (f64, f64),
    /// Row by row along the sheet, each a shade of the table. Beyond the last row it is as there; a sheet without any has
    /// no shade that is known.
    pub cells: Vec<u16>,
}

/// How different shades are from each other.
#[derive(Clone, Debug, PartialEq)]
pub struct ShadeTable {
    /// How many there are.
    count: usize,
    differences: Vec<f32>,
    /// How different what is not known counts.
    unknown: f64,
}

/// Two items that are joined, and the places that come to lie on each other, in the coordinates of their outlines.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// The two, as places among the items.
    pub items: [usize; 2],
    /// Pairs of places.
    pub places: Vec<[Point; 2]>,
    /// How much it counts.
    pub weight: f64,
}

impl ShadeTable {
    /// A table of so many shades, from the difference of each two of them.
    #[must_use]
    pub fn new(count: usize, unknown: f64, difference: impl Fn(usize, usize) -> f64) -> ShadeTable {
        let mut differences = vec![0.0; count * count];
        for first in 0..count {
            for second in 0..first {
                let found = difference(first, second) as f32;
                differences[first * count + second] = found;
                differences[second * count + first] = found;
            }
        }
        ShadeTable { count, differences, unknown }
    }

    fn between(&self, first: Option<u16>, second: Option<u16>) -> f64 {
        let (Some(first), Some(second)) = (first, second) else { return self.unknown };
        let place = usize::from(first) * self.count + usize::from(second);
        self.differences.get(place).map_or(self.unknown, |difference| f64::from(*difference))
    }
}

impl ShadeGrid {
    /// A sheet of which nothing is known.
    #[must_use]
    pub fn unknown() -> ShadeGrid {
        ShadeGrid { columns: 0, cell: (1.0, 1.0), cells: Vec::new() }
    }

    fn at(&self, place: Point) -> Option<u16> {
        if self.columns == 0 || self.cells.is_empty() {
            return None;
        }
        let column = ((place.x / self.cell.0).max(0.0) as usize).min(self.columns - 1);
        let last = self.cells.len() / self.columns - 1;
        let row = ((place.y / self.cell.1).max(0.0) as usize).min(last);
        let shade = self.cells[row * self.columns + column];
        (shade != UNKNOWN_SHADE).then_some(shade)
    }
}

/// The shade of a cell of which nothing is known.
pub const UNKNOWN_SHADE: u16 = u16::MAX;

/// Where an item lies, for places on it.
struct OnSheet<'a> {
    turning: TurnAboutOrigin,
    shift: Vec2,
    middle: Vec2,
    grid: &'a ShadeGrid,
}

impl OnSheet<'_> {
    fn shade(&self, place: Point) -> Option<u16> {
        self.grid.at(self.turning.turn(place - self.middle) + self.shift)
    }
}

impl Lay<'_> {
    fn on_sheet<'l>(&self, item: usize, spot: ItemPlace, likeness: &'l Likeness) -> Option<OnSheet<'l>> {
        let ready = &self.prepared.items[item];
        let sheet = ready.ways[spot.way].sheet;
        let grid = likeness.grids.get(sheet)?;
        Some(OnSheet {
            turning: TurnAboutOrigin::new(spot.degrees),
            shift: Vec2::new(spot.x - sheet as f64 * SHEETS_APART, spot.y),
            middle: ready.figure.middle.to_vec2(),
            grid,
        })
    }

    /// How unlike the sheet looks at the joints of an item, were it at a spot, summed with their weights; of those
    /// with items that pass a test.
    pub fn unlike_at(&self, item: usize, spot: ItemPlace, counts: &dyn Fn(usize) -> bool) -> f64 {
        let Some(likeness) = &self.prepared.likeness else { return 0.0 };
        let Some(own) = self.on_sheet(item, spot, likeness) else { return 0.0 };
        let joints = self.prepared.joints_of[item].iter().map(|joint| &likeness.joints[*joint]);
        let mut sum = 0.0;
        for joint in joints {
            let side = usize::from(joint.items[0] != item);
            let other = joint.items[1 - side];
            let there = if other == item { Some(spot) } else { counts(other).then(|| self.spots[other]) };
            let Some(there) = there.and_then(|there| self.on_sheet(other, there, likeness)) else { continue };
            let differences = joint
                .places
                .iter()
                .map(|places| likeness.table.between(own.shade(places[side]), there.shade(places[1 - side])));
            sum += joint.weight * differences.sum::<f64>() / joint.places.len().max(1) as f64;
        }
        sum
    }

    /// How unlike the sheets look at all joints, on their weighted mean.
    pub fn unlike(&self) -> f64 {
        let Some(likeness) = &self.prepared.likeness else { return 0.0 };
        let weights: f64 = likeness.joints.iter().map(|joint| joint.weight).sum();
        let all: f64 = likeness
            .joints
            .iter()
            .map(|joint| {
                let [first, second] = joint.items.map(|item| self.on_sheet(item, self.spots[item], likeness));
                let (Some(first), Some(second)) = (first, second) else { return 0.0 };
                let differences = joint
                    .places
                    .iter()
                    .map(|places| likeness.table.between(first.shade(places[0]), second.shade(places[1])));
                joint.weight * differences.sum::<f64>() / joint.places.len().max(1) as f64
            })
            .sum();
        if weights > 0.0 { all / weights } else { 0.0 }
    }
}
