//! What grounds look like, as the search knows it: shades in cells, and how different each shade is from each.
//!
//! Colours are gathered into at most [`MOST_SHADES`] shades, so that comparing two places is looking into a table. What is
//! told of a layout is measured on the colours themselves.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::cloth::colours::Colour;
use crate::cloth::layout::sheets::Ground;
use crate::cloth::search::{JoinedItems, ShadeGrid, ShadeTable, Shades, UNKNOWN_SHADE};
use crate::cloth::{Stock, StripesAlong, StripesAt};
use crate::curve::Point;
use crate::tolerance::{COLOUR_CELL, COLOUR_STEP, MOST_SHADES, STRIPE_CELL, UNKNOWN_COLOUR};

/// What a ground looks like: its columns, the size of a cell, and the colours of its cells, where they are known.
struct ColouredGround {
    columns: usize,
    cell: (f64, f64),
    cells: Vec<Option<Colour>>,
}

/// The likeness of grounds at joints; none where no ground has colours, or stripes along its length that repeat.
pub(super) fn likeness(stock: &Stock, grounds: &[Ground], joints: Vec<JoinedItems>) -> Option<Shades> {
    if joints.is_empty() {
        return None;
    }
    let looks: Vec<ColouredGround> = grounds.iter().map(|ground| ColouredGround::of(stock, ground)).collect();
    let colours: Vec<Colour> =
        looks.iter().flat_map(|ground| ground.cells.iter().flatten()).copied().collect();
    let (shades, of_colour) = gathered(&colours);
    let mut steps = shades.len();
    let mut striped: Vec<(usize, Repeat)> = Vec::new();
    let mut grids = Vec::new();
    for (look, ground) in looks.into_iter().zip(grounds) {
        grids.push(match Repeat::of(stock, ground) {
            Some(repeat) => {
                let known =
                    striped.iter().find(|(_, known)| known.repeat == repeat.repeat).map(|(first, _)| *first);
                let first = known.unwrap_or(steps);
                if known.is_none() {
                    striped.push((first, repeat));
                    steps += repeat.steps;
                }
                repeat.grid(first)
            }
            None => {
                let shade = |colour: Option<Colour>| colour.map_or(UNKNOWN_SHADE, &of_colour);
                let cells = look.cells.into_iter().map(shade).collect();
                ShadeGrid { columns: look.columns, cell: look.cell, cells }
            }
        });
    }
    let difference = |first: usize, second: usize| match (shades.get(first), shades.get(second)) {
        (Some(first), Some(second)) => first.difference(*second),
        (None, None) => {
            let of = |shade: usize| striped.iter().rev().find(|(from, _)| *from <= shade);
            match (of(first), of(second)) {
                (Some((from, repeat)), Some((other, _))) if from == other => {
                    repeat.apart(first - from, second - from)
                }
                _ => UNKNOWN_COLOUR,
            }
        }
        _ => UNKNOWN_COLOUR,
    };
    let table = Arc::new(ShadeTable::new(steps, UNKNOWN_COLOUR, difference));
    Some(Shades { grids, table, joints })
}

impl ColouredGround {
    fn of(stock: &Stock, ground: &Ground) -> ColouredGround {
        let (across, along) = ground.size();
        let patterned = ground.is_patterned_across(stock);
        let cell = if patterned { (COLOUR_CELL, COLOUR_CELL) } else { (across, STRIPE_CELL) };
        if !ground.has_colours(stock) {
            return ColouredGround { columns: 0, cell, cells: Vec::new() };
        }
        let count = |size: f64, cell: f64| (size / cell).ceil().max(1.0) as usize;
        let (columns, rows) = (count(across, cell.0), count(along, cell.1));
        let middle = |i: usize| {
            let (column, row) = ((i % columns) as f64, (i / columns) as f64);
            Point::new((column + 0.5) * cell.0, (row + 0.5) * cell.1)
        };
        let cells = (0..columns * rows).map(|i| ground.colour_at(stock, middle(i))).collect();
        ColouredGround { columns, cell, cells }
    }
}

/// Colours gathered into shades, and the shade of a colour: those of one cell of a grid in L*a*b*, as fine as leaves no
/// more of them than can be kept.
fn gathered(colours: &[Colour]) -> (Vec<Colour>, impl Fn(Colour) -> u16 + use<>) {
    /// The finest grid, and how much coarser each next is.
    const GRID: (f64, f64) = (0.5, 1.3);
    let mut size = GRID.0;
    loop {
        let mut found: FxHashMap<[i32; 3], (u16, Colour)> = FxHashMap::default();
        for colour in colours {
            let next = u16::try_from(found.len()).unwrap_or(UNKNOWN_SHADE);
            found.entry(colour.in_grid(size)).or_insert((next, *colour));
            if found.len() > MOST_SHADES {
                break;
            }
        }
        if found.len() <= MOST_SHADES {
            let mut shades: Vec<(u16, Colour)> = found.values().copied().collect();
            shades.sort_by_key(|(shade, _)| *shade);
            let shades = shades.into_iter().map(|(_, colour)| colour).collect();
            let of = move |colour: Colour| {
                found.get(&colour.in_grid(size)).map_or(UNKNOWN_SHADE, |(shade, _)| *shade)
            };
            return (shades, of);
        }
        size *= GRID.1;
    }
}

/// Stripes along the length of a ground that repeat, in steps.
#[derive(Clone, Copy, Debug)]
struct Repeat {
    repeat: f64,
    steps: usize,
    /// How far across the ground reaches, mm.
    across: f64,
}

impl Repeat {
    fn of(stock: &Stock, ground: &Ground) -> Option<Repeat> {
        let stripes = stock.find(&ground.cloth)?.stripes_along(StripesAlong::Length)?;
        let StripesAt::Every { repeat, .. } = stripes.at() else { return None };
        ground.shows_stripes(StripesAlong::Length).then(|| Repeat {
            repeat: *repeat,
            steps: (repeat / STRIPE_CELL).ceil().clamp(1.0, MOST_SHADES as f64) as usize,
            across: ground.size().0,
        })
    }

    fn step(&self) -> f64 {
        self.repeat / self.steps as f64
    }

    /// Cells across, each the step of the repeat that it lies in; the first of its shades is so many.
    fn grid(&self, first: usize) -> ShadeGrid {
        let columns = (self.across / self.step()).ceil().max(1.0) as usize;
        let shade = |column: usize| u16::try_from(first + column % self.steps).unwrap_or(UNKNOWN_SHADE);
        ShadeGrid { columns, cell: (self.step(), COLOUR_STEP), cells: (0..columns).map(shade).collect() }
    }

    /// How far two steps of the repeat are apart, mm.
    fn apart(&self, first: usize, second: usize) -> f64 {
        let off = first.abs_diff(second) % self.steps;
        off.min(self.steps - off) as f64 * self.step()
    }
}
