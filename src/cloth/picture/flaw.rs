//! A flaw as it is drawn: its outline, with slanting lines over it.

use kurbo::{BezPath, Point, Vec2};

use crate::canvas::{chords, hatched};

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
