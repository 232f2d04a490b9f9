//! A photograph of a stretch of cloth laid flat, straightened by its four corners.

use image::RgbImage;

use crate::cloth::Width;
use crate::cloth::colours::evened::{Across, Cells};
use crate::cloth::colours::projective::Projective;
use crate::cloth::colours::{Colour, ColourError, picture_file};
use crate::curve::Point;
use crate::tolerance::{COARSEST_PIXEL, COLOUR_CELL, SCALES_APART};
use crate::units::{Length, Unit};

/// Where the cloth's corners are in a picture, pixels from its left and top: left start, right start, right end, left
/// end.
pub type Corners = [[f64; 2]; 4];

/// What corners are called.
const CORNERS: [&str; 4] = ["left start", "right start", "right end", "left end"];

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShownCloth {
    /// From where along the cloth.
    pub from: Length,
    /// To where.
    pub to: Length,
    /// Its corners; the picture's own where none are told.
    pub corners: Option<Corners>,
}

/// What is to be known of a photograph.
#[derive(Clone, Debug, PartialEq)]
pub enum PhotographNote {
    /// Its scale along is not that across.
    ScalesApart {
        /// Where the picture begins on the cloth.
        from: Length,
        /// How many times as large it is along as across.
        times: f64,
    },
}

impl PhotographNote {
    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        match self {
            PhotographNote::ScalesApart { from, times } => format!(
                "the picture from {}: by its corners the cloth is {} {:.0} % along than across for the length and width \
                 told; look at `corners`, `from` and `to`",
                from.show(unit),
                if *times > 1.0 { "larger by" } else { "smaller by" },
                (times - 1.0).abs() * 100.0
            ),
        }
    }
}

/// A photograph of a stretch of cloth: its colours in cells, straightened.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    shown: ShownCloth,
    /// How far the cells reach across, mm.
    reach: f64,
    columns: usize,
    rows: usize,
    /// Row by row along the cloth.
    cells: Vec<Colour>,
    across: Across,
    /// How many times as many pixels a length of cloth has along as across.
    scale: f64,
}

impl Photograph {
    /// Reads a PNG or JPEG of cloth of a width and a length, mm.
    ///
    /// # Errors
    ///
    /// What is no such picture or has too many pixels, a stretch that is not on the cloth, corners outside the picture,
    /// that cross or go round as in a mirror, and one too coarse to be of use.
    pub fn read(
        bytes: &[u8],
        shown: ShownCloth,
        width: &Width,
        length: f64,
    ) -> Result<Photograph, ColourError> {
        let (from, to) = (shown.from.mm(), shown.to.mm());
        if to <= from || from < 0.0 {
            return Err(ColourError::NoStretch { from: shown.from, to: shown.to });
        }
        if to > length {
            return Err(ColourError::BeyondEnd { found: shown.to, length: Length::from_mm(length) });
        }
        let picture = picture_file::read(bytes)?;
        let corners = corners_in(&picture, shown.corners)?;
        let (start, end) = (width.at(from), width.at(to));
        let cloth = [(0.0, from), (start, from), (end, to), (0.0, to)].map(Point::from);
        let to_pixels = Projective::carry(cloth, corners).ok_or(ColourError::CornersCross)?;
        let side = |a: usize, b: usize| corners[a].distance(corners[b]);
        let across = f64::midpoint(side(0, 1) / start, side(3, 2) / end);
        let along = f64::midpoint(side(0, 3), side(1, 2)) / (to - from);
        let coarsest = 1.0 / across.min(along);
        if coarsest > COARSEST_PIXEL {
            let [found, most] = [coarsest, COARSEST_PIXEL].map(Length::from_mm);
            return Err(ColourError::TooCoarse { found: found.up_to_tenths(), most });
        }
        let reach = width.greatest(from, to);
        let count = |measure: f64| (measure / COLOUR_CELL).round().max(1.0) as usize;
        let (columns, rows) = (count(reach), count(to - from));
        let mut cells = Cells { columns, rows, light: Vec::new() };
        let samples = (COLOUR_CELL * across.max(along)).ceil().clamp(1.0, MOST_SAMPLES) as usize;
        let size = (reach / columns as f64, (to - from) / rows as f64);
        let sampler = Sampler { picture: &picture, to_pixels, light: light_of_bytes(), samples };
        cells.light = (0..columns * rows)
            .map(|cell| {
                let corner =
                    Point::new((cell % columns) as f64 * size.0, from + (cell / columns) as f64 * size.1);
                sampler.cell(corner, size)
            })
            .collect();
        let plain = cells.even();
        let cells = cells.light.iter().map(|light| Colour::of_light(*light)).collect();
        Ok(Photograph { shown, reach, columns, rows, cells, across: plain, scale: along / across })
    }

    /// Where it begins, mm along.
    #[must_use]
    pub fn from(&self) -> f64 {
        self.shown.from.mm()
    }

    /// Where it ends, mm along.
    #[must_use]
    pub fn to(&self) -> f64 {
        self.shown.to.mm()
    }

    /// Where it begins.
    #[must_use]
    pub fn begins(&self) -> Length {
        self.shown.from
    }

    /// Where it ends.
    #[must_use]
    pub fn ends(&self) -> Length {
        self.shown.to
    }

    /// Whether the cloth has a pattern across.
    #[must_use]
    pub fn across(&self) -> Across {
        self.across
    }

    /// What is to be looked at twice.
    pub fn notes(&self) -> impl Iterator<Item = PhotographNote> {
        let apart = (self.scale - 1.0).abs() > SCALES_APART;
        apart.then_some(PhotographNote::ScalesApart { from: self.shown.from, times: self.scale }).into_iter()
    }

    /// The colour at a place of the cloth, between those of the cells around it; none where it does not show it.
    #[must_use]
    pub fn at(&self, across: f64, along: f64) -> Option<Colour> {
        if !(self.from()..=self.to()).contains(&along) {
            return None;
        }
        let place = |share: f64, count: usize| {
            let at = (share * count as f64 - 0.5).clamp(0.0, (count - 1) as f64);
            let cell = (at as usize).min(count.saturating_sub(2));
            (cell, (cell + 1).min(count - 1), at - cell as f64)
        };
        let (left, right, over) = place(across / self.reach, self.columns);
        let (start, end, down) = place((along - self.from()) / (self.to() - self.from()), self.rows);
        let cell = |column: usize, row: usize| self.cells[row * self.columns + column];
        let upper = cell(left, start).toward(cell(right, start), over);
        Some(upper.toward(cell(left, end).toward(cell(right, end), over), down))
    }
}

/// The most samples of a cell each way: more of them change nothing that is seen.
const MOST_SAMPLES: f64 = 12.0;

/// Takes the light of cells out of a picture.
struct Sampler<'a> {
    picture: &'a RgbImage,
    to_pixels: Projective,
    light: [f64; 256],
    samples: usize,
}

impl Sampler<'_> {
    /// The mean light of a cell of the cloth.
    fn cell(&self, corner: Point, size: (f64, f64)) -> [f64; 3] {
        let mut sum = [0.0; 3];
        let share = |i: usize| (i as f64 + 0.5) / self.samples as f64;
        for i in 0..self.samples {
            for j in 0..self.samples {
                let place = Point::new(corner.x + size.0 * share(i), corner.y + size.1 * share(j));
                let pixel = self.pixel(self.to_pixels.apply(place));
                sum = [0, 1, 2].map(|channel| sum[channel] + self.light[usize::from(pixel[channel])]);
            }
        }
        sum.map(|sum| sum / (self.samples * self.samples) as f64)
    }

    fn pixel(&self, at: Point) -> [u8; 3] {
        let within = |at: f64, size: u32| (at.max(0.0) as u32).min(size - 1);
        let (x, y) = (within(at.x, self.picture.width()), within(at.y, self.picture.height()));
        self.picture.get_pixel(x, y).0
    }
}

/// The light that each value of a channel stands for, by the curve of sRGB (IEC 61966-2-1, from memory).
fn light_of_bytes() -> [f64; 256] {
    std::array::from_fn(|value| palette::Srgb::new(value as u8, 0, 0).into_linear::<f64>().red)
}

/// The corners in a picture, looked at.
fn corners_in(picture: &RgbImage, told: Option<Corners>) -> Result<[Point; 4], ColourError> {
    let (width, height) = picture.dimensions();
    let (right, bottom) = (f64::from(width), f64::from(height));
    let corners = told.unwrap_or([[0.0, 0.0], [right, 0.0], [right, bottom], [0.0, bottom]]);
    for (corner, [x, y]) in CORNERS.into_iter().zip(corners) {
        if !((0.0..=right).contains(&x) && (0.0..=bottom).contains(&y)) {
            return Err(ColourError::CornerOutside { corner, x, y, width, height });
        }
    }
    let corners = corners.map(|[x, y]| Point::new(x, y));
    let turn = |i: usize| {
        let [before, here, after] = [corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]];
        (here - before).cross(after - here)
    };
    let turns = [0, 1, 2, 3].map(turn);
    if turns.iter().all(|turn| *turn > 0.0) {
        Ok(corners)
    } else if turns.iter().all(|turn| *turn < 0.0) {
        Err(ColourError::CornersMirrored)
    } else {
        Err(ColourError::CornersCross)
    }
}
