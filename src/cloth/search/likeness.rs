//! What sheets look like, and where items are joined that are to look alike.

use std::sync::Arc;

use kurbo::Point;

/// What sheets look like, and where items are to look alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Shades {
    /// Of each sheet.
    pub grids: Vec<ShadeGrid>,
    /// How different shades are.
    pub table: Arc<ShadeTable>,
    /// Where items are joined.
    pub joints: Vec<JoinedItems>,
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
pub struct JoinedItems {
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

    pub(super) fn between(&self, first: Option<u16>, second: Option<u16>) -> f64 {
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

    pub(super) fn at(&self, place: Point) -> Option<u16> {
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
