//! Uneven light across a picture, taken out where the cloth has no pattern across.
//!
//! Every row of the cloth then has one colour, so that what differs along a row is light. Light falls off smoothly: it is
//! fitted by a surface of low degree to how far each cell's light is from its row's. Where what is left is more than can
//! be seen, the cloth has a pattern across, and nothing is changed. Light that changes along the cloth cannot be told from
//! its colours.

use crate::cloth::colours::Colour;
use crate::tolerance::PLAIN_ACROSS;

/// Whether a cloth has a pattern across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// None: uneven light across has been evened out.
    Plain,
    /// It has; its light is as photographed.
    Patterned,
}

/// Cells of light in rows along the cloth.
pub(super) struct Cells {
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Row by row, red, green and blue.
    pub(super) light: Vec<[f64; 3]>,
}

/// How many terms the surface has.
const TERMS: usize = 6;

/// The least light that is looked at: darker cells tell nothing of what falls on them.
const LEAST_LIGHT: f64 = 0.002;

/// Cells that are taken together when it is told whether a pattern is left, across and along: what a photograph's grain
/// makes of a single cell is evened out in them.
const BLOCK: (usize, usize) = (8, 4);

/// The terms of the surface at a place, from -1 to 1 across and along; each is nothing on the mean of a row.
fn terms(across: f64, along: f64) -> [f64; TERMS] {
    let (slope, bow) = (across, across * across - 1.0 / 3.0);
    [slope, bow, slope * along, bow * along, slope * along * along, bow * along * along]
}

impl Cells {
    fn place(&self, cell: usize) -> (f64, f64) {
        let share = |i: usize, of: usize| (2 * i + 1) as f64 / of as f64 - 1.0;
        (share(cell % self.columns, self.columns), share(cell / self.columns, self.rows))
    }

    fn row_mean(&self, row: usize) -> [f64; 3] {
        let cells = &self.light[row * self.columns..][..self.columns];
        [0, 1, 2].map(|channel| cells.iter().map(|light| light[channel]).sum::<f64>() / self.columns as f64)
    }

    /// Evens out the light where the cloth has no pattern across, and says whether it has one.
    pub(super) fn even(&mut self) -> Across {
        let evened = self.evened();
        let plain = Cells { light: evened, ..*self };
        if plain.pattern_across() > PLAIN_ACROSS {
            return Across::Patterned;
        }
        self.light = plain.light;
        Across::Plain
    }

    fn evened(&self) -> Vec<[f64; 3]> {
        let means: Vec<[f64; 3]> = (0..self.rows).map(|row| self.row_mean(row)).collect();
        let surfaces = [0, 1, 2].map(|channel| self.surface(&means, channel));
        let even = |(cell, light): (usize, &[f64; 3])| {
            let (across, along) = self.place(cell);
            let terms = terms(across, along);
            [0, 1, 2].map(|channel| light[channel] / dot(&surfaces[channel], &terms).exp())
        };
        self.light.iter().enumerate().map(even).collect()
    }

    /// The surface of the logarithm of a channel's light over that of its row, by least squares.
    fn surface(&self, means: &[[f64; 3]], channel: usize) -> [f64; TERMS] {
        let mut sums = [[0.0; TERMS + 1]; TERMS];
        for (cell, light) in self.light.iter().enumerate() {
            let (light, mean) = (light[channel], means[cell / self.columns][channel]);
            if light < LEAST_LIGHT || mean < LEAST_LIGHT {
                continue;
            }
            let (across, along) = self.place(cell);
            let terms = terms(across, along);
            let off = (light / mean).ln();
            for (row, sums) in sums.iter_mut().enumerate() {
                for column in 0..TERMS {
                    sums[column] += terms[row] * terms[column];
                }
                sums[TERMS] += terms[row] * off;
            }
        }
        solved(sums)
    }

    /// How different blocks of the cloth look from their row, on the average.
    fn pattern_across(&self) -> f64 {
        let (wide, high) = (BLOCK.0.min(self.columns), BLOCK.1.min(self.rows));
        let (mut sum, mut count) = (0.0, 0.0);
        for row in (0..self.rows / high).map(|block| block * high) {
            let block = |from: usize, columns: usize| {
                let cells = (row..row + high)
                    .flat_map(|row| self.light[row * self.columns + from..][..columns].iter());
                let total = cells.fold([0.0; 3], |sum, light| [0, 1, 2].map(|i| sum[i] + light[i]));
                Colour::of_light(total.map(|light| light / (columns * high) as f64))
            };
            let whole = block(0, self.columns);
            for from in (0..self.columns / wide).map(|block| block * wide) {
                sum += block(from, wide).difference(whole);
                count += 1.0;
            }
        }
        if count > 0.0 { sum / count } else { 0.0 }
    }
}

fn dot(surface: &[f64; TERMS], terms: &[f64; TERMS]) -> f64 {
    surface.iter().zip(terms).map(|(a, b)| a * b).sum()
}

/// Solves equations given as rows with their right sides last, the largest pivot first. A term that nothing tells of is
/// left at nothing.
fn solved(mut rows: [[f64; TERMS + 1]; TERMS]) -> [f64; TERMS] {
    /// A pivot under this share of the largest entry is nothing but rounding.
    const NOTHING: f64 = 1e-9;
    let largest =
        rows.iter().flat_map(|row| &row[..TERMS]).fold(0.0_f64, |most, entry| most.max(entry.abs()));
    let mut found = [0.0; TERMS];
    let mut pivots = [None; TERMS];
    for column in 0..TERMS {
        let free = (0..TERMS).filter(|row| !pivots.contains(&Some(*row)));
        let Some(pivot) = free.max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))
        else {
            break;
        };
        if rows[pivot][column].abs() <= largest * NOTHING {
            continue;
        }
        pivots[column] = Some(pivot);
        let leading = rows[pivot];
        for (_, entries) in rows.iter_mut().enumerate().filter(|(row, _)| *row != pivot) {
            let share = entries[column] / leading[column];
            entries.iter_mut().zip(leading).for_each(|(entry, led)| *entry -= led * share);
        }
    }
    for (column, pivot) in pivots.iter().enumerate() {
        if let Some(pivot) = pivot {
            found[column] = rows[*pivot][TERMS] / rows[*pivot][column];
        }
    }
    found
}
