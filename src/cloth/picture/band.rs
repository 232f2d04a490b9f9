//! One length or panel of cloth, as far as it is drawn, and the rows that it is drawn in.
//!
//! A long cloth is as wide on paper as a thread where it lies in one row; in several its lettering can be read.

use kurbo::{BezPath, Point, Shape, Vec2};

use crate::canvas::{chords, hatched};
use crate::cloth::Cloth;
use crate::cloth::layout::{Ground, GroundUse, Laid, LayTask, Spread, used_told};
use crate::cloth::picture::surface::GroundCloth;
use crate::units::{Length, Unit};

/// How much of an unused rest is drawn, as a share of what is used.
const REST_DRAWN: f64 = 0.12;

/// The least rest that is drawn, mm.
const LEAST_REST: f64 = 150.0;

/// By how much of its length a row may be longer or shorter, so that it ends where few pieces lie.
const ROW_OVER: f64 = 0.12;

/// A length or panel of cloth on the page, from its start as far as it is drawn.
pub(super) struct ClothOnPage<'a> {
    pub(super) task: &'a LayTask<'a>,
    pub(super) laid: &'a Laid,
    /// Which ground.
    pub(super) which: usize,
    pub(super) usage: GroundUse,
    pub(super) unit: Unit,
    /// How much of its length is drawn, mm.
    pub(super) drawn: f64,
}

impl<'a> ClothOnPage<'a> {
    pub(super) fn of(task: &'a LayTask<'a>, laid: &'a Laid, ground: usize, unit: Unit) -> ClothOnPage<'a> {
        let usage = laid.uses[ground];
        let (_, length) = task.grounds[ground].size();
        let rest = (usage.used * REST_DRAWN).max(LEAST_REST);
        let whole = length - usage.used <= 2.0 * rest || !task.grounds[ground].has_selvedges();
        let drawn = if whole { length } else { usage.used + rest };
        ClothOnPage { task, laid, which: ground, usage, unit, drawn }
    }

    /// How wide it is, mm.
    pub(super) fn width(&self) -> f64 {
        self.ground().size().0
    }

    /// In how many rows of a length it is drawn. A panel is drawn as it is.
    pub(super) fn count(&self, length: f64) -> usize {
        if self.ground().has_selvedges() {
            (self.drawn / length - ROW_OVER).ceil().max(1.0) as usize
        } else {
            1
        }
    }

    /// From where to where along the cloth rows of about a length reach, divided where the fewest pieces lie, mm.
    pub(super) fn rows(&self, length: f64) -> Vec<(f64, f64)> {
        let count = self.count(length);
        let each = self.drawn / count as f64;
        let mut ends: Vec<f64> =
            (1..count).map(|row| self.clearest(row as f64 * each, each * ROW_OVER)).collect();
        ends.push(self.drawn);
        let from = std::iter::once(0.0).chain(ends.clone());
        from.zip(ends).collect()
    }

    /// The place within a reach of another along the cloth that the fewest pieces lie over, the nearest of those.
    fn clearest(&self, wanted: f64, reach: f64) -> f64 {
        const STEPS: i32 = 12;
        let here = self.laid.lying.iter().filter(|lying| lying.ground == self.which);
        let spans: Vec<(f64, f64)> = here
            .map(|lying| lying.path(self.task).bounding_box())
            .map(|bounds| (bounds.y0, bounds.y1))
            .collect();
        let over = |at: f64| spans.iter().filter(|(from, to)| *from < at && at < *to).count();
        let places = (-STEPS..=STEPS).map(|step| wanted + reach * f64::from(step) / f64::from(STEPS));
        let least = places
            .min_by(|a, b| over(*a).cmp(&over(*b)).then((a - wanted).abs().total_cmp(&(b - wanted).abs())));
        least.unwrap_or(wanted)
    }

    pub(super) fn ground(&self) -> &'a Ground {
        &self.task.grounds[self.which]
    }

    pub(super) fn surface(&self) -> GroundCloth<'a> {
        GroundCloth { stock: self.task.stock, ground: self.ground() }
    }

    pub(super) fn cloth(&self) -> Option<&'a Cloth> {
        self.task.stock.find(&self.ground().cloth)
    }

    pub(super) fn is_torn(&self) -> bool {
        self.drawn < self.ground().size().1
    }

    pub(super) fn show(&self, mm: f64) -> String {
        Length::from_mm(mm.round()).show(self.unit)
    }

    pub(super) fn title(&self) -> String {
        let ground = self.ground();
        let (width, length) = ground.size();
        let spread = match ground.spread {
            Spread::Single => "single layer, right side up",
            Spread::Folded => "folded lengthwise, right sides together",
        };
        format!(
            "{}: {} × {}, {spread}; {} used",
            ground.name(),
            self.show(width),
            self.show(length),
            used_told(Length::from_mm(self.usage.used), self.unit)
        )
    }
}

/// Distance of the lines over a flaw, mm.
const LINES: f64 = 6.0;

/// The lines of a flaw with an outline.
#[must_use]
pub fn flaw_lines(outline: &BezPath) -> Vec<(Point, Point)> {
    let mut lines = chords(outline, 1.0);
    let slant = Vec2::new(std::f64::consts::FRAC_1_SQRT_2, -std::f64::consts::FRAC_1_SQRT_2);
    let over = hatched(&lines, slant, LINES);
    lines.extend(over);
    lines
}
