//! The cutting layout as a drawing to scale: one user unit is a millimetre.
//!
//! The cloth lies along the page, its start at the left, its left selvedge below, the right side up.
//!
//! ```text
//!      led-out labels
//!   ┌──────────────────────┐ right selvedge
//!   │  pieces              │ left over
//!   └──────────────────────┘ left selvedge, or the fold
//!   0   10   20   30   ruler
//! ```

mod fabric;
mod label;
mod pieces;
mod ruler;
mod svg;
mod told;

use kurbo::Point;

use crate::cloth::layout::{Laid, LayTask};
use crate::units::Unit;

use fabric::Band;
use svg::SvgPage;

/// The space around what is drawn, mm.
const MARGIN: f64 = 20.0;

/// The drawing of a layout; of what is at hand, only what is used.
#[must_use]
pub fn layout(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> String {
    let used = laid.uses.iter().enumerate().filter(|(_, usage)| usage.copies > 0);
    let mut bands: Vec<Band<'_>> = used.map(|(ground, _)| Band::of(task, laid, ground, unit)).collect();
    let longest = bands.iter().map(|band| band.drawn).fold(0.0, f64::max);
    let size = text_size(longest);
    let mut page = SvgPage::default();
    let mut top = MARGIN;
    for band in &mut bands {
        band.text = size;
        let labels = pieces::labels(task, laid, band);
        top += band.draw(&mut page, top, &labels);
        top += 2.0 * size;
    }
    top += told::draw(&mut page, laid, unit, Point::new(MARGIN, top), longest, size);
    page.finish(longest + 2.0 * MARGIN, top + MARGIN)
}

/// Size of the lettering for a length that is drawn, mm: as large as can be read on a screen that shows all of it.
fn text_size(longest: f64) -> f64 {
    (longest / 110.0).clamp(9.0, 32.0)
}
